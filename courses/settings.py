"""Settings of the site. This is the only file that reads the environment.

Every variable has a default that suits the demo on one machine; DEVELOPERS.md lists them all
(a test compares that list with this file).
"""

from __future__ import annotations

import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF

from courses.signing_key import kept_or_passing_key

ROOT = Path(__file__).resolve().parent.parent


def _is_on(name: str) -> bool:
    return os.environ.get(name, "").strip().lower() in {"1", "true", "yes", "on"}


def _words(name: str, default: str) -> list[str]:
    return [word for word in os.environ.get(name, default).replace(",", " ").split() if word]


# --- Environment -----------------------------------------------------------------------------
DATA_DIR = Path(os.environ.get("DATA_DIR", ROOT / ".demo"))
IS_PRODUCTION = _is_on("PRODUCTION")
DEBUG = _is_on("DEBUG") and not IS_PRODUCTION
SECRET_KEY = os.environ.get("SECRET_KEY", "") or ("" if IS_PRODUCTION else kept_or_passing_key(DATA_DIR))
ALLOWED_HOSTS = _words("ALLOWED_HOSTS", "localhost 127.0.0.1 [::1]")
CSRF_TRUSTED_ORIGINS = _words("CSRF_TRUSTED_ORIGINS", "")
DATABASE_URL = os.environ.get("DATABASE_URL", f"sqlite:///{DATA_DIR / 'site.sqlite3'}")
TIME_ZONE = os.environ.get("PLANT_TIME_ZONE", "Europe/London")
SITE_NAME = os.environ.get("SITE_NAME", "Alder Ferry maintenance school")
IS_CI = _is_on("CI")  # a part of the tests that could not run is then a failure
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")  # for the browser tests
# ---------------------------------------------------------------------------------------------

BASE_DIR = ROOT

INSTALLED_APPS = [
    "courses.apps.CoursesConfig",
    "courses.people.apps.PeopleConfig",
    "courses.tasks.apps.TasksConfig",
    "courses.machines.apps.MachinesConfig",
    "courses.lessons.apps.LessonsConfig",
    "assessments.ledger.apps.LedgerConfig",
    "assessments.scenarios.apps.ScenariosConfig",
    "assessments.drills.apps.DrillsConfig",
    "assessments.standing.apps.StandingConfig",
    "assessments.desks.apps.DesksConfig",
    "crispy_forms",
    "crispy_bootstrap5",
    "axes",
    "csp",
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every page is closed unless its view is marked @login_not_required.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "courses.people.middleware.pages_are_not_kept",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "courses.urls"
WSGI_APPLICATION = "courses.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "courses.people.context.site",
            ],
        },
    },
]

DATABASES = {"default": dj_database_url.parse(DATABASE_URL, conn_max_age=60, conn_health_checks=True)}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # Measured: with Django's defaults more than half of concurrent writes fail as "locked";
    # with these none did. IMMEDIATE takes the write lock at BEGIN, so no ATOMIC_REQUESTS.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;",
    }

AUTH_USER_MODEL = "people.Person"
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "desks:bench"
LOGOUT_REDIRECT_URL = "people:sign_in"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
# NIST SP 800-63B-4, 3.1.1.2: 15 characters where the password stands alone, a blocklist,
# no composition rules, no forced change.
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 15},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "courses.people.passwords.PlantWordsValidator"},
]

# Sign-ins and signatures: after five misses a name waits ten minutes.
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 1 / 6
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "people/sign_in_slowed.html"
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address", "old_password", "new_password1", "new_password2"]
AXES_VERBOSE = False

SESSION_COOKIE_AGE = 60 * 60 * 12  # one long shift
SESSION_COOKIE_HTTPONLY = True
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "courses.views.form_too_old"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if IS_PRODUCTION:
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "connect-src": [SELF],
        "font-src": [SELF],
        "img-src": [SELF, "data:"],  # form icons are data: addresses
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "staticfiles"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}

CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"
CRISPY_FAIL_SILENTLY = False  # crispy's default hides errors in forms

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "loggers": {
        "refusals": {"handlers": ["console"], "level": "WARNING", "propagate": True},
        # Who added whom, gave which role, and switched a sign-in on or off.
        "accounts": {"handlers": ["console"], "level": "INFO", "propagate": True},
        "axes": {"handlers": ["console"], "level": "ERROR"},
        # Django itself says nothing of a failed page where DEBUG is off.
        "django.request": {"handlers": ["console"], "level": "ERROR", "propagate": False},
    },
}
