"""Settings of every installation; what differs comes from the environment."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from csp.constants import NONE, SELF
from django.contrib.messages import constants as message_levels
from django.utils.translation import gettext_lazy as _

from clubsite.settings.env import (
    database_from_url,
    env_bool,
    env_broker,
    env_choice,
    env_folder,
    env_hosts,
    env_int,
    env_origins,
    env_secret,
    env_text,
)

ROOT = Path(__file__).resolve().parents[2]
DATA = env_folder("WITHIN_EIGHT_DATA", ROOT / "var")

DEBUG = env_bool("DEBUG")
DEMO = env_bool("DEMO")
SECRET_KEY = env_secret("SECRET_KEY")
ALLOWED_HOSTS = env_hosts("ALLOWED_HOSTS") or ["localhost", "127.0.0.1", "[::1]"]
CSRF_TRUSTED_ORIGINS = env_origins("CSRF_TRUSTED_ORIGINS")
NUM_PROXIES = env_int("NUM_PROXIES", 0)
SECURE = env_bool("SECURE")
SECURE_REDIRECT = env_bool("SECURE_REDIRECT", True)
# Unset: nobody is told figures of the site.
METRICS_TOKEN = env_secret("METRICS_TOKEN") if env_text("METRICS_TOKEN") else ""

INSTALLED_APPS = [
    "clubsite",
    "training",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "knox",
    "rest_framework",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "clubsite.middleware.Compressed",
    "clubsite.static_files.StaticFiles",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    # What the browser asks for, of LANGUAGES; before all that answers in words.
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "training.services.sessions.SessionsKnowTheirClubs",
    "training.api.limits.RateLimits",
    # What the person or the club speaks, once it is known who asks.
    "clubsite.middleware.ReadersLanguage",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "clubsite.middleware.PrivatePages",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "clubsite.urls"
WSGI_APPLICATION = "clubsite.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "training" / "web", ROOT / "training" / "api" / "templates"],
        "OPTIONS": {
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    [
                        "clubsite.template_sources.WithoutIndentation",
                        "django.template.loaders.app_directories.Loader",
                    ],
                )
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "training.web.navigation.club_of_page",
            ],
            "libraries": {"read_aloud": "training.web.parts.read_aloud"},
        },
    },
]

DATABASES = {"default": database_from_url(env_text("DATABASE_URL"), data=DATA)}
# Of copies made by `backup` in the data folder: 0 keeps all.
COPIES_KEPT = env_int("COPIES_KEPT", 0)
COPIES_MOST_MB = env_int("COPIES_MOST_MB", 0)
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
# Counters of throttles live in the one web process. A cache in the broker would be lost with it.
CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}

# People -------------------------------------------------------------------
AUTH_USER_MODEL = "training.Person"
# Unique whatever the case, by a constraint on Lower(sign_in_name), which this check cannot see.
# And the domain around a club's site is not the club's to promise https for.
SILENCED_SYSTEM_CHECKS = ["auth.W004", "security.W005", "security.W021"]
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "training.services.backends.PhraseBackend",
    "training.services.backends.OneTimeCodeBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
    {"NAME": "training.services.phrases.NotTheSignInName"},
]
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/"
SESSION_ENGINE = "training.services.session_store"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 60
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "training.web.pages.errors.views.csrf_failure"
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
# Our kinds of notice, as `parts/notice.html` and its style know them.
MESSAGE_TAGS = {
    message_levels.SUCCESS: "kept",
    message_levels.INFO: "",
    message_levels.WARNING: "mark",
    message_levels.ERROR: "loss",
}

# django-axes by default locks an address for ever after three failures, and a
# whole club sits behind one address: count by name and address together.
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
# What ends a count is decided where people prove who they are (training.services.sign_in).
AXES_RESET_ON_SUCCESS = False
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_USERNAME_CALLABLE = "training.services.failures.counted_name"
# Its default is the user model's field, under which our credentials do not come.
AXES_USERNAME_FORM_FIELD = "username"
AXES_ENABLE_ACCESS_FAILURE_LOG = False
AXES_CLIENT_IP_CALLABLE = "training.services.failures.client_address"
AXES_LOCKOUT_CALLABLE = "training.services.failures.locked_out"
AXES_VERBOSE = False

# Pages --------------------------------------------------------------------
# One language so far. A second one is a folder below LOCALE_PATHS and a line here.
LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
LOCALE_PATHS = [ROOT / "clubsite" / "locale"]
FORMAT_MODULE_PATH = ["clubsite.formats"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"
STATIC_URL = "/static/"
STATICFILES_DIRS = [ROOT / "training" / "web" / "static"]
# Many files to read, one to send (`clubsite.static_contents`). Of styles a later one outweighs an
# earlier one.
SENT_TOGETHER = {
    f"training/together/{name}": [f"training/{kind}/{one}.{kind}" for one in files.split()]
    for name, kind, files in (
        ("style.css", "css", "tokens base layout parts drawn pages large"),
        ("every-page.js", "js", "drafts later"),
        ("steps.js", "js", "drawn stepper"),
        ("attempt.js", "js", "keys attempt read_here"),
    )
}
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "clubsite.static_files.NamedByContent"},
}
# Served straight from the packages: there is no build step and no collected copy to go stale.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
# No other site has a use for our files.
WHITENOISE_ALLOW_ALL_ORIGINS = False
DATA_UPLOAD_MAX_MEMORY_SIZE = 256 * 1024

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "connect-src": [SELF],
        "font-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if SECURE:
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_SSL_REDIRECT = SECURE_REDIRECT
    SECURE_REDIRECT_EXEMPT = [r"^health/$"]
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 30
if NUM_PROXIES:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# API ----------------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "training.api.authentication.BearerToken",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": [
        "rest_framework.permissions.IsAuthenticated",
        "training.api.scopes.TokenReaches",
    ],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["training.api.parsers.Json"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "training.api.errors.problem_details",
    "DEFAULT_THROTTLE_CLASSES": [
        "training.api.throttles.PerAddress",
        "training.api.throttles.PerPerson",
    ],
    "DEFAULT_THROTTLE_RATES": {
        "address": "1200/min",
        "person": "240/min",
        "sign-in": "20/min",
        "hand-in": "60/min",
    },
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Within Eight",
    "DESCRIPTION": _(
        "A club's practice on the cross: today's set, plans handed in, verdicts, the table and "
        "the coach's overview. Times are ISO 8601 in UTC. What is refused is refused with a "
        "problem details object (RFC 9457): [every kind of problem](/api/v1/problems/)."
    ),
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "ENUM_ADD_EXPLICIT_BLANK_NULL_CHOICE": False,
    "ENUM_GENERATE_CHOICE_DESCRIPTION": False,
    "ENUM_NAME_OVERRIDES": {
        "StateEnum": "training.api.serializers.plans.STATES",
        "ColourEnum": "solverworker.report.COLOURS",
        "CorrectionKind": "training.api.serializers.corrections.KINDS",
        "AnswersToEnum": "training.api.serializers.challenges.ANSWERS",
        "PostedWordKindEnum": "training.api.serializers.challenges.PRAISES",
        "SightEnum": "training.api.serializers.series.SIGHTS",
        "SeriesKindEnum": "training.api.serializers.series.KINDS",
        "HookEventEnum": "training.api.serializers.hooks.EVENTS",
        "TechniqueCode": "training.selectors.reviews.TECHNIQUES",
        "OtherLossCode": "training.selectors.reviews.OTHER_CODES",
    },
}
REST_KNOX = {
    "TOKEN_TTL": timedelta(days=30),
    "TOKEN_LIMIT_PER_USER": 10,
    "AUTH_HEADER_PREFIX": "Bearer",
}

# Work queue ---------------------------------------------------------------
REDIS_URL = env_broker("REDIS_URL", "redis://localhost:6379/0")
WAITING_TOO_LONG_SECONDS = 10

LOG_LEVEL = env_choice("LOG_LEVEL", "INFO", ("DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL"))
# What the club's own pages cannot know: the machine, the queue, the copies.
SURROUNDINGS = "clubsite.surroundings.look"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {
            "()": "clubsite.logs.LineWithoutTokens",
            "format": "{asctime} {levelname} {name}: {message}",
            "style": "{",
        }
    },
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "line",
        }
    },
    "root": {"handlers": ["console"], "level": LOG_LEVEL},
    "loggers": {"axes": {"level": "WARNING"}},
}
