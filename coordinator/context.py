"""What every page knows."""

from django.conf import settings
from django.http import HttpRequest


def programme(request: HttpRequest) -> dict[str, object]:
    """Return the programme's name, and whether somebody of the staff is logged in."""
    user = getattr(request, "user", None)
    return {
        "programme_name": settings.PROGRAMME_NAME,
        "programme_telephone": settings.PROGRAMME_TELEPHONE,
        "staff_is_here": bool(user and user.is_authenticated),
        "demo": settings.DEMO,
    }
