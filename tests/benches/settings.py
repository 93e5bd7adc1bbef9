"""The site's settings, with the addresses and the meter of the benches added."""

from __future__ import annotations

from courses.settings import *  # noqa: F403
from courses.settings import ALLOWED_HOSTS, MIDDLEWARE

IS_BENCH = True
ALLOWED_HOSTS = [*ALLOWED_HOSTS, "testserver"]  # the name that Django's test client goes by
ROOT_URLCONF = "tests.benches.urls"
WSGI_APPLICATION = "tests.benches.wsgi.application"
MIDDLEWARE = ["tests.benches.meter.meter", *MIDDLEWARE]
