"""A one-shot link that signs somebody of the staff in: for the first organiser, and the demo.

GET shows whom it signs in, POST does it. It dies with the next log-in of that account; in the
demo it lives on, so that the printed links can be opened again.
"""

from datetime import timedelta

from django.conf import settings
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from coordinator import links
from coordinator.models import User

PURPOSE = links.Purpose("log-in", timedelta(days=1))


def _state(pk: int) -> str | None:
    user = User.objects.filter(pk=pk, is_active=True).first()
    if user is None:
        return None
    return user.email if settings.DEMO else f"{user.email}:{user.last_login}"


def link_for(user: User) -> str:
    """Return the full address that signs a user in, for one day."""
    return links.absolute("log_in_link", links.make(PURPOSE, user.pk, _state(user.pk) or ""))


@never_cache
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def log_in_link(request: HttpRequest, token: str) -> HttpResponse:
    """Show whom a link signs in; sign in on POST."""
    try:
        user = User.objects.get(pk=links.read(PURPOSE, token, _state))
    except links.Dead:
        return render(request, "coordinator/log_in_link.html", {"dead": True}, status=410)
    if request.method != "POST":
        return render(request, "coordinator/log_in_link.html", {"person": user, "dead": False})
    login(request, user, backend=settings.AUTHENTICATION_BACKENDS[0])
    return redirect(settings.LOGIN_REDIRECT_URL)
