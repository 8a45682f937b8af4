"""Public pages kept for a few seconds in each web process: many look, little changes.

When a day is passed around by a town's newsletter, hundreds open one page within minutes. Who
gets a place is decided by the form, never by what a page said some seconds ago.
"""

from collections.abc import Callable
from functools import wraps

from django.conf import settings
from django.core.cache import caches
from django.http import HttpRequest, HttpResponse

# Whoever has one of these may be shown something of their own.
OWN_COOKIES = frozenset({settings.SESSION_COOKIE_NAME, "messages"})


def kept_for_a_moment(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Show strangers the page of a moment ago; PUBLIC_PAGE_SECONDS 0 makes it anew each time."""

    @wraps(view)
    def inner(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        seconds = settings.PUBLIC_PAGE_SECONDS
        if not seconds or request.GET or OWN_COOKIES & request.COOKIES.keys():
            return view(request, *args, **kwargs)
        kept = caches["pages"]
        octets = kept.get(request.path)
        if octets is not None:
            return HttpResponse(octets)
        response = view(request, *args, **kwargs)
        if response.status_code == 200:
            kept.set(request.path, response.content, seconds)
        return response

    return inner
