"""What every test stands on."""

from __future__ import annotations

import io
import traceback

import pytest
from hypothesis import settings as hypothesis_settings


def pytest_configure(config):
    from django.conf import settings

    from tests.ledger_guards import let_tests_empty_their_database

    let_tests_empty_their_database()
    # Slow on purpose in the site; no test is about how slow.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    # A slow machine is no failure: nothing is timed inside tests.
    hypothesis_settings.register_profile("house", deadline=None)
    hypothesis_settings.load_profile("house")


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment, django_db_blocker, django_db_keepdb, django_db_modify_db_settings):
    """Make the test database, also when no test is marked for it.

    The plugin's own fixture makes none where nothing but `demo_plant` asks, and the site's database would be used.
    """
    from django.test.utils import setup_databases, teardown_databases

    with django_db_blocker.unblock():
        made = setup_databases(verbosity=0, interactive=False, keepdb=django_db_keepdb)
    yield
    if not django_db_keepdb:
        with django_db_blocker.unblock():
            teardown_databases(made, verbosity=0)


@pytest.fixture(scope="module")
def demo_plant(django_db_setup, django_db_blocker):
    """The whole demo plant, loaded once for the tests of one module and rolled back after them.

    The module's tests share its rows: they read, and take back what they write. They do not ask for `db` as well.
    """
    from django.db import connection, transaction

    from fixtures_demo.load import load_demo

    assert "memory" in connection.settings_dict["NAME"] or connection.settings_dict["NAME"].startswith("test_")
    with django_db_blocker.unblock(), transaction.atomic():
        try:
            load_demo(io.StringIO())
        except Exception as trouble:  # noqa: BLE001  (told once: every test of the module would repeat the whole traceback)
            traceback.print_exc()
            pytest.fail(f"the demo plant could not be loaded: {trouble!r}", pytrace=False)
        yield
        transaction.set_rollback(True)
