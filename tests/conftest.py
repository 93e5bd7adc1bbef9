"""What every test stands on."""

from __future__ import annotations

import io

import pytest
from hypothesis import settings as hypothesis_settings


def pytest_configure(config):
    from django.conf import settings

    # Slow on purpose in the site; no test is about how slow.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    # A slow machine is no failure: nothing is timed inside tests.
    hypothesis_settings.register_profile("house", deadline=None)
    hypothesis_settings.load_profile("house")


@pytest.fixture(scope="module")
def demo_plant(django_db_setup, django_db_blocker):
    """The whole demo plant, loaded once for the tests of one module and rolled back after them.

    The module's tests share its rows: they read, and take back what they write. They do not ask for `db` as well.
    """
    from django.db import transaction

    from fixtures_demo.load import load_demo

    with django_db_blocker.unblock(), transaction.atomic():
        load_demo(io.StringIO())
        yield
        transaction.set_rollback(True)
