"""Start-up checks: what would go wrong later, said once at the start with a hint."""

import ctypes
import os
from typing import Any

import redis
from django.conf import settings
from django.core.checks import CheckMessage, Tags, Warning, register

PDF_LIBRARIES = ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0")


@register(Tags.urls)
def site_address(**_kwargs: Any) -> list[CheckMessage]:
    """C001: links in mails lead to SITE_URL, so it must be https outside a laptop."""
    if settings.IS_LAPTOP or settings.SECURE_HTTPS:
        return []
    hint = "Set SITE_URL=https://… and end TLS in front of the site (BEHIND_PROXY=true)."
    return [Warning("SITE_URL is not https.", hint=hint, id="coordinator.C001")]


@register
def mail_server(**_kwargs: Any) -> list[CheckMessage]:
    """C002: kept mail reaches nobody."""
    if settings.IS_LAPTOP or settings.EMAIL_HOST:
        return []
    hint = "Set EMAIL_HOST and MAIL_FROM_ADDRESS; only a demo does without."
    return [Warning("Mail is kept and not sent.", hint=hint, id="coordinator.C002")]


def _broker_trouble() -> str:
    if not settings.REDIS_URL:
        folder = settings.QUEUE_DIR
        return "" if os.access(folder, os.W_OK) else f"The folder {folder.name} cannot be written."
    try:
        with redis.Redis.from_url(settings.REDIS_URL, socket_connect_timeout=2) as client:
            client.ping()
    except (redis.RedisError, ValueError) as error:
        return f"Redis does not answer ({type(error).__name__})."
    return ""


@register(deploy=True)
def broker(**_kwargs: Any) -> list[CheckMessage]:
    """C003: without a broker mail waits for the next sweep."""
    trouble = _broker_trouble()
    hint = "Start Redis and set REDIS_URL, or leave it empty on a single machine."
    return [Warning(trouble, hint=hint, id="coordinator.C003")] if trouble else []


def missing_pdf_libraries() -> list[str]:
    """Return the names of the libraries that a PDF needs and this machine lacks."""
    missing = []
    for name in PDF_LIBRARIES:
        try:
            ctypes.CDLL(name)
        except OSError:
            missing.append(name)
    return missing


@register
def pdf_libraries(**_kwargs: Any) -> list[CheckMessage]:
    """C004: without these libraries sheets can be printed, but not saved as PDF."""
    missing = missing_pdf_libraries()
    hint = "Debian: libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core."
    message = f"No PDF without {', '.join(missing)}; pages offer printing."
    return [Warning(message, hint=hint, id="coordinator.C004")] if missing else []
