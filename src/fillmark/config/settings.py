"""Django's settings. What a household may set stands in environment variables that begin with FILLMARK_."""

import os
from pathlib import Path

from csp.constants import NONE, SELF

from fillmark.config.database import database_settings
from fillmark.services.environment import read_stated
from fillmark.services.home import data_home, secret_key

DEBUG = os.environ.get("FILLMARK_DEBUG") == "1"
SECRET_KEY = secret_key()
STATED = read_stated()
ALLOWED_HOSTS = list(STATED.hosts or ("localhost", "127.0.0.1", "[::1]"))
SCREENS = Path(__file__).parent.parent / "web"
IS_HTTPS = STATED.is_https

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "fillmark.records",
    "fillmark.web",
]
MIDDLEWARE = [
    "fillmark.web.out_of_reach.alive_and_ready",
    "fillmark.web.encrypted.Security",
    # Django pads each answer by chance, so that its packed length tells nothing of the secrets in it.
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "fillmark.web.turned_away.turn_away",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        # A screen's folder holds its templates too: "walk/step.html" stands beside walk/views.py.
        "DIRS": [SCREENS, SCREENS / "errors"],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]
ROOT_URLCONF = "fillmark.config.urls"
WSGI_APPLICATION = "fillmark.config.wsgi.application"

DATABASES = {"default": database_settings(os.environ.get("FILLMARK_DATABASE"), home=data_home())}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-us"
USE_I18N = True

# Served out of the installed package: nothing to collect by hand.
STATIC_URL = "static/"
STATICFILES_DIRS = [SCREENS]
STATICFILES_FINDERS = [
    "fillmark.web.static_files.ScreenFiles",
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
]
WHITENOISE_USE_FINDERS = True
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MAX_AGE = 0 if DEBUG else 3600

LOGIN_URL = "sign_in"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

# A phone stays signed in for 90 days: nobody types a password at 3 a.m.
SESSION_COOKIE_AGE = 90 * 24 * 3600
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = IS_HTTPS
CSRF_COOKIE_SECURE = IS_HTTPS
PUBLIC_HOST = STATED.public_host
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if PUBLIC_HOST else 0
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    },
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
