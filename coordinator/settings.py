"""Settings; replaced whole by the commit that brings the kernel."""

SECRET_KEY = "development only"  # noqa: S105
INSTALLED_APPS: list[str] = []
USE_TZ = True
