"""What every page knows."""

from dataclasses import dataclass

from django.conf import settings
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

PLACES = (
    ("week", _("This week")),
    ("days", _("Days")),
    ("ground", _("Ground")),
    ("people", _("People")),
    ("training", _("Training")),
)
"""Names of addresses that staff reach from every page, in order, and the word for each."""


@dataclass(frozen=True)
class Place:
    """One word of the navigation.

    ``is_here`` says that the page's path lies below it; a view knows better by giving the
    place's ``key`` as ``here`` in its context.
    """

    key: str
    word: str
    href: str
    is_here: bool


def navigation(path: str) -> list[Place]:
    """Return the places that exist, in order; ``path`` is that of the page itself."""
    addresses = [(key, str(word), _address(key)) for key, word in PLACES]
    return [
        Place(key, word, href, path == href or (href != "/" and path.startswith(href)))
        for key, word, href in addresses
        if href
    ]


def whose() -> dict[str, object]:
    """Return what the programme is called and its telephone, for what leaves the house too."""
    return {
        "programme_name": settings.PROGRAMME_NAME,
        "programme_telephone": settings.PROGRAMME_TELEPHONE,
    }


def programme(request: HttpRequest) -> dict[str, object]:
    """Return the programme's name, the navigation, and whether somebody of the staff is here."""
    user = getattr(request, "user", None)
    staff_is_here = bool(user and user.is_authenticated)
    return {
        **whose(),
        "staff_is_here": staff_is_here,
        "nav": navigation(request.path) if staff_is_here else [],
        "home_href": _address("week" if staff_is_here else "days_public") or "/",
        "demo": settings.DEMO,
    }


def _address(name: str) -> str:
    """Return the path of a named page, or nothing while there is none."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
