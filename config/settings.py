"""Every setting in one file, from the environment; a missing folder or a misspelt name stops the start.

What may be set is what is read from `env` below, each name with LEGWORTHY_ before it; a secret may be given
as a file with _FILE after its name. DATA (the data folder) also works without the prefix.
"""

import logging
import os
from pathlib import Path
from typing import Any

from django.core.exceptions import ImproperlyConfigured
from environs import Env, EnvError

from config.data_folder import open_data_folder, secret_key
from config.database import on_board
from config.environment import PREFIX, refuse_unknown_names, secret_from
from config.hosts import address_on_the_lan, own_names
from config.logs import STYLES, logging_settings
from vessel.feeds.address import listed

BASE_DIR = Path(__file__).resolve().parent.parent

env = Env(prefix=PREFIX)
try:
    DATA_NAMED = env.str("DATA", os.environ.get("DATA") or str(BASE_DIR / "data"))
    DEBUG = env.bool("DEBUG", False)
    SECURE = env.bool("SECURE", False)
    MORE_HOSTS: list[str] = env.list("HOSTS", [])
    LOG_STYLE = env.str("LOG", "plain")
    LOG_LEVEL = env.log_level("LOG_LEVEL", logging.INFO)
    KEY_TEXT = env.str("SECRET_KEY", None)
    KEY_FILE = env.str("SECRET_KEY_FILE", None)
    # Computers of the boat's own network that forecasts may be fetched from, each by its exact address.
    FEEDS_ON_BOARD: list[str] = env.list("FEED_ADDRESSES", [])
    # Read by the tests, listed here so that they are known names.
    env.list("REQUIRE", [])
    env.str("REFDATA", "")
except EnvError as reason:
    raise ImproperlyConfigured(f"A setting in the environment cannot be read: {reason}") from reason
refuse_unknown_names(env.dump())
if LOG_STYLE not in STYLES:
    raise ImproperlyConfigured(f"LEGWORTHY_LOG is {LOG_STYLE!r}; it can be {' or '.join(STYLES)}.")

try:
    FEED_ADDRESSES = listed(FEEDS_ON_BOARD)
except ValueError as reason:
    raise ImproperlyConfigured(f"LEGWORTHY_FEED_ADDRESSES holds what is no address: {reason}.") from reason

DATA = open_data_folder(Path(DATA_NAMED))
SECRET_KEY = secret_from(KEY_TEXT, KEY_FILE, "SECRET_KEY") or secret_key(DATA / "secret_key")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "readiness",  # ours stand before the libraries whose pages they replace
    "maintenance",
    "vessel",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "axes",
    "django_htmx",
    "rest_framework",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "django_filters",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.gzip.GZipMiddleware",  # a leg's page is 80 KB of words and lines, an eighth when packed
    "config.csp.ContentSecurityPolicyMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",  # a page is closed unless it says otherwise
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "axes.middleware.AxesMiddleware",  # last: it counts refused sign-ins
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "vessel.views.frame.frame",
            ],
        },
    },
]

DATABASES = {"default": on_board(DATA / "legworthy.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True  # served from where they lie: no gathering step before the first start
MEDIA_ROOT = DATA / "attachments"
FILE_UPLOAD_PERMISSIONS = 0o600
DATA_UPLOAD_MAX_MEMORY_SIZE = 10 * 1024 * 1024

# What a browser may do with our pages. SECURE=1 is for https; without it the cookies work on http:// in the
# boat's own network, under names of their own.
LAN_ADDRESS = address_on_the_lan()
ALLOWED_HOSTS = [*own_names(LAN_ADDRESS), *MORE_HOSTS]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in MORE_HOSTS] if SECURE else []
SECURE_CSP = {
    "default-src": ["'self'"],
    "img-src": ["'self'", "data:", "blob:"],
    "object-src": ["'none'"],
    "base-uri": ["'none'"],
    "form-action": ["'self'"],
    "frame-ancestors": ["'none'"],
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if SECURE else None
SECURE_SSL_REDIRECT = SECURE
SECURE_REDIRECT_EXEMPT = ["^live$", "^ready$"]
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SECURE else None
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
X_FRAME_OPTIONS = "DENY"
COOKIE_PREFIX = "__Host-legworthy" if SECURE else "legworthy_on_board"
SESSION_COOKIE_NAME = f"{COOKIE_PREFIX}_session"
SESSION_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_NAME = f"{COOKIE_PREFIX}_csrf"
CSRF_COOKIE_SECURE = SECURE
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"

LOGGING = logging_settings(LOG_STYLE, logging.DEBUG if DEBUG else LOG_LEVEL)

# --- Signing in --------------------------------------------------------------------------------------------
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "allauth.account.auth_backends.AuthenticationBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "/"
SESSION_COOKIE_AGE = 90 * 24 * 3600  # long enough to stay signed in through a season's passages
ACCOUNT_ADAPTER = "vessel.views.account.NoSignUp"
ACCOUNT_LOGIN_METHODS = {"username", "email"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "email", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_EMAIL_NOTIFICATIONS = False
ACCOUNT_PREVENT_ENUMERATION = True
ACCOUNT_RATE_LIMITS = {"login": "60/m/ip", "login_failed": "60/m/ip"}  # the wait below is the real brake
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
MFA_TOTP_ISSUER = "Legworthy"
AXES_VERBOSE = False
AXES_FAILURE_LIMIT = 5
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]  # nobody on another device can shut the owner out
AXES_USERNAME_FORM_FIELD = "login"
AXES_USERNAME_CALLABLE = "vessel.views.account.name_typed"
AXES_COOLOFF_TIME = "vessel.views.account.wait_after"
AXES_LOCKOUT_CALLABLE = "vessel.views.account.told_to_wait"
AXES_HTTP_RESPONSE_CODE = 429
AXES_RESET_ON_SUCCESS = True
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_ENABLE_ACCESS_FAILURE_LOG = True
AXES_DISABLE_ACCESS_LOG = True
# --- end of signing in -------------------------------------------------------------------------------------

# --- API ---------------------------------------------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_SCHEMA_CLASS": "config.api_schema.ProblemSchema",
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "vessel.api.authentication.TokenAuthentication",  # first: it words the 401
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["vessel.api.json_parser.StrictJSONParser"],
    "EXCEPTION_HANDLER": "config.api_errors.answer_problem",
    "DEFAULT_THROTTLE_RATES": {"read": "600/min", "judge": "12/min", "write": "60/min"},  # of one account
    "URL_FORMAT_OVERRIDE": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Legworthy",
    "DESCRIPTION": "Legs with their verdicts, and defects. SI units, the unit in the name; times in UTC; not known is"
    " null. It advises; the skipper decides.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.IsAuthenticated"],
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "ENUM_NAME_OVERRIDES": {
        "VerdictEnum": "readiness.api.verdict.VERDICTS",
        "OutcomeEnum": "readiness.api.verdict.OUTCOMES",
        "OutlookEnum": "readiness.api.verdict.OUTLOOKS",
    },
}
# --- end of API --------------------------------------------------------------------------------------------

# The contents page of a handover: each chapter is called with the vessel's id and gives rows with units.
HANDOVER_CHAPTERS: list[str] = [
    "vessel.queries.handover.particulars",
    "maintenance.queries.handover.defects",
    "maintenance.queries.handover.jobs",
    "maintenance.queries.handover.services",
    "maintenance.queries.handover.spares",
    "vessel.queries.handover.equipment",
    "vessel.queries.handover.readings",
    "vessel.queries.handover.log",
    "readiness.queries.handover.passages",
    "readiness.queries.handover.decisions",
    "vessel.queries.handover.history",
]

# What a new vessel may begin with: called with vessel, by and at.
STARTING_LIST = "maintenance.actions.template.load_template"
