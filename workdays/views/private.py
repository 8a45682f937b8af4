"""What pages behind a mailed link have in common: no index, no store, no address passed on."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils.cache import add_never_cache_headers

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


def behind_a_link(view: View[P]) -> View[P]:
    """Open a view to whoever has its link, and keep the link from spreading.

    "same-origin" keeps the address from other hosts; "no-referrer" would make browsers send
    "Origin: null" with our own forms, which the check against forged forms refuses.
    """

    @wraps(view)
    def opened(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        response = view(request, *args, **kwargs)
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
        response.headers["Referrer-Policy"] = "same-origin"
        add_never_cache_headers(response)
        return response

    return login_not_required(opened)
