from __future__ import annotations

from tests.threads import in_threads  # noqa: F401  (a fixture)
