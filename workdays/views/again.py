"""Public pages of those who have been here before: asked for a mailbox, sent their links."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.throttle import is_flood
from workdays import access
from workdays.actions.again import mail_own_links
from workdays.forms.again import AgainForm
from workdays.models import Workday


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def again(request: HttpRequest) -> HttpResponse:
    """Ask for a mailbox and mail the links to the own pages behind it."""
    return _ask(request, None)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def again_for_day(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a mailbox and mail links that lead to signing up for a day."""
    return _ask(request, access.public_day(pk))


@login_not_required
@require_safe
def again_sent(request: HttpRequest) -> HttpResponse:
    """Say what happens now; the same for every mailbox, known or not."""
    return render(request, "workdays/again/sent.html")


def _ask(request: HttpRequest, day: Workday | None) -> HttpResponse:
    form, status = AgainForm(request.POST if request.method == "POST" else None), 200
    if form.is_valid():
        mailbox = form.cleaned_data["email"]
        if not _is_flood(request, mailbox):
            mail_own_links(mailbox, day)
            return redirect("again_sent")
        form.add_error(None, _("That was asked for many times. Try again later or telephone."))
        status = 429
    return render(request, "workdays/again/ask.html", {"form": form, "day": day}, status=status)


def _is_flood(request: HttpRequest, mailbox: str) -> bool:
    """Count one request against its network and its mailbox, known or not."""
    return is_flood(
        request,
        "again",
        mailbox,
        network_most=settings.LINKS_PER_NETWORK_HOUR,
        mailbox_most=settings.LINKS_PER_MAILBOX_DAY,
    )
