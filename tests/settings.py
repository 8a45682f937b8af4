"""Settings of the tests: the product's own, with what a test run needs changed."""

import tempfile
from pathlib import Path

from coordinator.settings import *  # noqa: F403
from coordinator.settings import DATABASES, MIDDLEWARE

VAR_DIR = Path(tempfile.mkdtemp(prefix="stone-days-tests-"))
MEDIA_ROOT = VAR_DIR / "files"
# The migrations run once for all workers, in tests/conftest.py.
DATABASES["default"]["TEST"] = {"MIGRATE": False}
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
CACHES = {
    name: {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": name}
    for name in ("default", "pages")
}
SIGN_UPS_PER_NETWORK_HOUR = 1000
CELERY_BROKER_URL = "memory://"
CELERY_BROKER_TRANSPORT_OPTIONS = {}
FORM_LEAST_SECONDS = 0
# Static files are the live server's business in tests.
MIDDLEWARE = [name for name in MIDDLEWARE if "whitenoise" not in name]
# Each test sees what it has just changed.
PUBLIC_PAGE_SECONDS = 0
