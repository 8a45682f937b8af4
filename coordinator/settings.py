"""Settings of the site. The environment is the only source; the defaults suit a laptop.

With DEBUG off, a missing secret, SITE_URL or mail set-up stops the start with one sentence.
"""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

import django_stubs_ext
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from coordinator import env

django_stubs_ext.monkeypatch()

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env.text("VAR_DIR", str(BASE_DIR / "var")))
VAR_DIR.mkdir(parents=True, exist_ok=True)

DEMO = env.boolean("DEMO", default=False)
DEBUG = env.boolean("DEBUG", default=not DEMO)
IS_LAPTOP = DEBUG or DEMO


def required(name: str, value: str, hint: str) -> str:
    """Return a value that a public site cannot do without; on a laptop it may be empty."""
    if not value and not IS_LAPTOP:
        raise ImproperlyConfigured(f"{name} is missing: {hint}")
    return value


SECRET_KEY = required(
    "SECRET_KEY",
    env.secret(
        "SECRET_KEY", "for a laptop only; a public site refuses to start with it" * IS_LAPTOP
    ),
    "set it, or SECRET_KEY_FILE, to fifty random characters.",
)
SITE_URL = (
    required("SITE_URL", env.text("SITE_URL"), "set it to the address people type, with https.")
    or "http://127.0.0.1:8000"
).rstrip("/")
SITE_HOST = urlsplit(SITE_URL).hostname or "127.0.0.1"
ALLOWED_HOSTS = [SITE_HOST, *env.words("EXTRA_HOSTS"), *(["127.0.0.1", "localhost"] * IS_LAPTOP)]
CSRF_TRUSTED_ORIGINS = [SITE_URL]
LISTEN = env.text(
    "LISTEN", f"{SITE_HOST}:{urlsplit(SITE_URL).port or 8000}" if IS_LAPTOP else "127.0.0.1:8000"
)

PROGRAMME_NAME = env.text("PROGRAMME_NAME", "Hollin County stone days")
PROGRAMME_TELEPHONE = env.text("PROGRAMME_TELEPHONE", "555-0100")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "crispy_forms",
    "crispy_bootstrap5",
    "django_htmx",
    "csp",
    "coordinator",
    "training",
    "workdays",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "coordinator.log_ins.sessions.sessions_end",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "coordinator.urls"
WSGI_APPLICATION = "coordinator.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "coordinator.context.programme",
                "workdays.context.organiser_places",
            ]
        },
    }
]
FORM_RENDERER = "django.forms.renderers.DjangoTemplates"
CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"

DATABASES = {
    "default": env.database(env.secret("DATABASE_URL"), sqlite_path=VAR_DIR / "stone_days.sqlite3")
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 3000

REDIS_URL = env.secret("REDIS_URL")
CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "cache_rows"},
    "pages": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "pages"},
}
PUBLIC_PAGE_SECONDS = env.integer("PUBLIC_PAGE_SECONDS", default=5, low=0)

QUEUE_DIR = VAR_DIR / "queue"
CELERY_BROKER_URL = REDIS_URL or "folder://localhost"
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_TIME_LIMIT = 900
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TIMEZONE = "UTC"
CELERY_BROKER_TRANSPORT_OPTIONS: dict[str, object] = {"visibility_timeout": 1200}
if not REDIS_URL:
    QUEUE_DIR.mkdir(parents=True, exist_ok=True)
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(QUEUE_DIR),
        "data_folder_out": str(QUEUE_DIR),
        "control_folder": str(VAR_DIR / "queue_control"),
        "store_processed": False,
        "polling_interval": 0.2,
    }
SWEEP_SECONDS = env.integer("SWEEP_SECONDS", default=60, low=1, high=3600)
CELERY_BEAT_SCHEDULE_FILENAME = str(VAR_DIR / "beat_schedule")
CELERY_BEAT_SCHEDULE = {
    "heartbeat": {"task": "coordinator.tasks.heartbeat", "schedule": timedelta(minutes=1)},
    "sweep": {"task": "coordinator.tasks.sweep", "schedule": timedelta(seconds=SWEEP_SECONDS)},
}

AUTH_USER_MODEL = "coordinator.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
ACCOUNT_ADAPTER = "coordinator.adapter.StaffAdapter"
ACCOUNT_FORMS = {
    "request_login_code": "coordinator.adapter.MailboxForm",
    "confirm_login_code": "coordinator.adapter.CodeForm",
}
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*"]
ACCOUNT_LOGIN_BY_CODE_ENABLED = True
ACCOUNT_LOGIN_BY_CODE_TIMEOUT = 900
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_PREVENT_ENUMERATION = True
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
ACCOUNT_LOGOUT_ON_GET = False
ACCOUNT_SESSION_REMEMBER = True
# A passkey lets in by itself, as the mailed code does: neither is a second factor of the other.
MFA_SUPPORTED_TYPES = ["webauthn"]
MFA_PASSKEY_LOGIN_ENABLED = True
LOGIN_URL = "account_request_login_code"
LOGIN_REDIRECT_URL = "/week/"
LOG_IN_IDLE_HOURS = env.integer("LOG_IN_IDLE_HOURS", default=72, low=1, high=24 * 366)
LOG_IN_DAYS = env.integer("LOG_IN_DAYS", default=14, low=1, high=366)
CODES_PER_MAILBOX_HOUR = env.integer("CODES_PER_MAILBOX_HOUR", default=6, low=1)
LOG_INS_PER_NETWORK_HOUR = env.integer("LOG_INS_PER_NETWORK_HOUR", default=60, low=1)
SESSION_COOKIE_AGE = 60 * 60 * 24 * LOG_IN_DAYS

MAIL_FROM_ADDRESS = env.text("MAIL_FROM_ADDRESS", "days@hollin.example")
DEFAULT_FROM_EMAIL = f"{PROGRAMME_NAME} <{MAIL_FROM_ADDRESS}>"
SERVER_EMAIL = MAIL_FROM_ADDRESS
EMAIL_HOST = required(
    "EMAIL_HOST", env.text("EMAIL_HOST"), "set it to the mail server that sends for you."
)
EMAIL_PORT = env.integer("EMAIL_PORT", default=587 if not IS_LAPTOP else 25, low=1, high=65535)
EMAIL_HOST_USER = env.text("EMAIL_HOST_USER")
EMAIL_HOST_PASSWORD = env.secret("EMAIL_HOST_PASSWORD")
EMAIL_USE_TLS = env.boolean("EMAIL_USE_TLS", default=not IS_LAPTOP)
EMAIL_TIMEOUT = 30
# Without a mail server the row in the outbox is the mail, readable on the organiser's mail page.
EMAIL_BACKEND = (
    "django.core.mail.backends.smtp.EmailBackend"
    if EMAIL_HOST
    else "coordinator.kept_mail.EmailBackend"
)
MAIL_CLAIM_SECONDS = env.integer("MAIL_CLAIM_SECONDS", default=600, low=1)
MAIL_MOST_TRIES = env.integer("MAIL_MOST_TRIES", default=8, low=1, high=50)

SIGN_UPS_PER_NETWORK_HOUR = env.integer("SIGN_UPS_PER_NETWORK_HOUR", default=30, low=1)
SIGN_UPS_PER_GROUP_HOUR = env.integer("SIGN_UPS_PER_GROUP_HOUR", default=60, low=1)
SIGN_UPS_PER_MAILBOX_DAY = env.integer("SIGN_UPS_PER_MAILBOX_DAY", default=6, low=1)
LINKS_PER_NETWORK_HOUR = env.integer("LINKS_PER_NETWORK_HOUR", default=20, low=1)
LINKS_PER_MAILBOX_DAY = env.integer("LINKS_PER_MAILBOX_DAY", default=5, low=1)
MESSAGES_PER_ORGANISER_HOUR = env.integer("MESSAGES_PER_ORGANISER_HOUR", default=20, low=1)
# Nobody reads and fills a page in less; a machine does. 0 turns the check off.
FORM_LEAST_SECONDS = env.integer("FORM_LEAST_SECONDS", default=2, high=60)
# Claims for an injury end in US states after one to six years, mostly two to three (from memory).
CLAIM_YEARS = env.integer("CLAIM_YEARS", default=6, low=1, high=30)
LANGUAGES_SPOKEN = env.words("LANGUAGES_SPOKEN", default="en,es,de")

LANGUAGE_CODE = "en-us"
TIME_ZONE = env.text("TIME_ZONE", "America/Detroit")
USE_I18N = True
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "static"
STATIC_ROOT.mkdir(exist_ok=True)
MEDIA_ROOT = VAR_DIR / "files"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if IS_LAPTOP
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = IS_LAPTOP

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
SECURE_HTTPS = SITE_URL.startswith("https://")
SECURE_SSL_REDIRECT = SECURE_HTTPS and not IS_LAPTOP
BEHIND_PROXY = env.boolean("BEHIND_PROXY", default=False)
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_PROXY else None
SECURE_REDIRECT_EXEMPT = [r"^health/$"]
SECURE_HSTS_SECONDS = 31_536_000 if SECURE_SSL_REDIRECT else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = bool(SECURE_HSTS_SECONDS)
SECURE_HSTS_PRELOAD = bool(SECURE_HSTS_SECONDS)
SESSION_COOKIE_SECURE = SECURE_HTTPS
CSRF_COOKIE_SECURE = SECURE_HTTPS
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"masked": {"()": "coordinator.masking.MaskedLog"}},
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {
        "stdout": {
            "class": "logging.StreamHandler",
            "stream": "ext://sys.stdout",
            "formatter": "line",
            "filters": ["masked"],
        }
    },
    "root": {"handlers": ["stdout"], "level": env.text("LOG_LEVEL", "INFO").upper()},
    "loggers": {"django": {"handlers": [], "level": "INFO", "propagate": True}},
}
