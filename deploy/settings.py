"""All settings, read from the environment; with none set, a working development house.

SECRET_KEY, DEBUG, ALLOWED_HOSTS, HTTPS, HSTS, HTTPS_PORT, BEHIND_PROXY, CSRF_TRUSTED_ORIGINS,
DATABASE_URL, REDIS_URL, LOG_LEVEL, PUBLIC_URL, EMAIL_URL, EMAIL_FROM, VAPID_PRIVATE_KEY.
SECRET_KEY, DATABASE_URL, REDIS_URL, EMAIL_URL and VAPID_PRIVATE_KEY may come from a file: *_FILE.
"""

from datetime import timedelta
from typing import Any, Final

from deploy import addresses, env, mail
from deploy.addresses import ROOT
from deploy.place import KEPT

_DEVELOPMENT_KEY: Final = "for-development-only-never-serve-the-world-with-this-key-0123456789"

DEBUG = env.flag("DEBUG", default=True)
SECRET_KEY = env.secret("SECRET_KEY", default=_DEVELOPMENT_KEY)
ALLOWED_HOSTS = env.words("ALLOWED_HOSTS")
CSRF_TRUSTED_ORIGINS = env.words("CSRF_TRUSTED_ORIGINS")
if not DEBUG and SECRET_KEY == _DEVELOPMENT_KEY:
    raise env.BadSetting("DEBUG is off: set SECRET_KEY to a long random text of your own.")
if not DEBUG and not ALLOWED_HOSTS:
    raise env.BadSetting("DEBUG is off: set ALLOWED_HOSTS to the names this server answers to.")

_AT = addresses.from_environment()

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.postgres",
    "rest_framework",
    "drf_spectacular",
    "django_htmx",
    "facility",
    "tanks",
    "quarantine",
    "deploy",
]
MIDDLEWARE = [
    "deploy.headers.onto_https",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "deploy.headers.content_security_policy",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "facility.views.clock.on_site_time",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
ROOT_URLCONF = "deploy.urls"
WSGI_APPLICATION = "deploy.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# Commands own their transactions: no ATOMIC_REQUESTS.
DATABASES = {
    "default": addresses.database(_AT.database_url)
    | {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True},
}
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.redis.RedisCache",
        "LOCATION": addresses.cache(_AT.redis_url),
    },
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "facility.Person"
LOGIN_URL = "facility:sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "facility:sign-in"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = ROOT / "static-collected"
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage",
    },
}

# Plain http is for one machine or a trusted network; phones need https for camera and offline work.
_HTTPS = env.flag("HTTPS", default=not DEBUG)
SECURE_SSL_REDIRECT = _HTTPS
# What a phone must reach before it trusts our own certificate, and what asks whether we live.
SECURE_REDIRECT_EXEMPT = [r"^trust/", r"^static/", r"^alive/$"]
# Where https is served when the server itself serves both; 0: a proxy in front sees to it.
HTTPS_PORT = env.number("HTTPS_PORT", default=0)
CERTIFICATES = ROOT / KEPT / "https"
# Not with a certificate of the house's own (RFC 6797, 11.3): one that lapses would lock phones out.
_HSTS = env.flag("HSTS", default=_HTTPS)
SECURE_HSTS_SECONDS = int(timedelta(days=365).total_seconds()) if _HSTS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = _HSTS
SECURE_HSTS_PRELOAD = _HSTS
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if _HTTPS else None
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if env.flag("BEHIND_PROXY", default=False) else None
)
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_AGE = int(timedelta(days=30).total_seconds())
SESSION_COOKIE_SECURE = _HTTPS
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = _HTTPS
CSRF_COOKIE_SAMESITE = "Lax"

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "rest_framework.authentication.SessionAuthentication",
        "facility.api.passwords.CountedBasicAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "facility.api.refusals.handle",
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Penstock",
    "DESCRIPTION": "The same commands as the pages, for devices and scripts.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "COMPONENT_SPLIT_REQUEST": True,
}

# Where people reach this server, for the links in messages; without it they hold only the path.
PUBLIC_URL = env.text("PUBLIC_URL", default="")
_MAIL = mail.from_url(env.secret("EMAIL_URL", default=""), folder=ROOT / KEPT / "mail")
EMAIL_BACKEND = _MAIL.get("EMAIL_BACKEND", "")
EMAIL_FILE_PATH = _MAIL.get("EMAIL_FILE_PATH")
EMAIL_HOST = _MAIL.get("EMAIL_HOST", "")
EMAIL_PORT = _MAIL.get("EMAIL_PORT", 25)
EMAIL_HOST_USER = _MAIL.get("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = _MAIL.get("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_TLS = _MAIL.get("EMAIL_USE_TLS", False)
EMAIL_USE_SSL = _MAIL.get("EMAIL_USE_SSL", False)
EMAIL_TIMEOUT = 10
DEFAULT_FROM_EMAIL = env.text("EMAIL_FROM", default="penstock@localhost")
# Push servers know a house by its key; a new key would silence every phone that subscribed.
VAPID_PRIVATE_KEY = env.secret("VAPID_PRIVATE_KEY", default="")
VAPID_FILE = ROOT / KEPT / "push.pem"
VAPID_CONTACT = DEFAULT_FROM_EMAIL

CELERY_BROKER_URL = addresses.broker(_AT.redis_url)
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_TIME_LIMIT = 240
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
# A job that lost its broker comes back to the queue anyway: do not also finish it here.
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = True
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# A killed worker's jobs come back after visibility_timeout, which outlasts the longest job.
# By default kombu looks for them only every 100 s: 10 s times a throttle of 10.
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "visibility_timeout": 300,
    "unacked_restore_interval": 5,
    "unacked_restore_throttle": 1,
    # A page that asks for a job while the broker is down fails at once instead of after 6 s.
    "max_retries": 0,
}
CELERY_TIMEZONE = "UTC"

_LEVEL = env.text("LOG_LEVEL", default="INFO").upper()
LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": _LEVEL},
    "loggers": {
        "django": {"handlers": ["console"], "level": _LEVEL, "propagate": False},
        "django.request": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "django.server": {"handlers": ["console"], "level": "WARNING", "propagate": False},
    },
}
