"""The key that signs sessions and forms where nobody set SECRET_KEY: on the demo's machine and a developer's."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

FILE_NAME = "signing_key"


def kept_or_passing_key(folder: Path) -> str:
    """The key kept in the folder; without one, a new key that lasts as long as this process."""
    try:
        return (folder / FILE_NAME).read_text()
    except OSError:
        return secrets.token_urlsafe(50)


def keep_key(folder: Path) -> None:
    """Make the folder's key, readable by its owner alone, unless there is one."""
    try:
        handle = os.open(folder / FILE_NAME, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(50))
