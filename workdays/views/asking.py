"""The host's side: asking for a clinic, answering the mailed link, the host's own page."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator import links
from coordinator.refused import attempt, refusals_told
from coordinator.throttle import is_flood
from workdays import access
from workdays.actions.bookings import (
    ask_for_clinic,
    booking_of_token,
    confirm_booking,
    withdraw_booking,
)
from workdays.forms.bookings import AskForm
from workdays.queries.bookings import bookings_of_host
from workdays.queries.days import day_rows
from workdays.views.private import behind_a_link


def _is_flood(request: HttpRequest, form: AskForm) -> bool:
    """Count one request for a clinic against its network and its mailbox."""
    return is_flood(
        request,
        "ask",
        form.cleaned_data["email"],
        network_most=settings.SIGN_UPS_PER_NETWORK_HOUR,
        mailbox_most=settings.SIGN_UPS_PER_MAILBOX_DAY,
    )


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def ask(request: HttpRequest) -> HttpResponse:
    """Ask for a clinic."""
    form = AskForm(request.POST if request.method == "POST" else None)
    status = 200
    if form.is_valid():
        if _is_flood(request, form):
            form.add_error(None, _("Many requests came from here. Please try again later."))
            status = 429
        elif attempt(form, lambda: ask_for_clinic(form.wishes(), today=timezone.localdate())):
            return redirect("clinic_asked")
    return render(request, "workdays/bookings/ask.html", {"form": form}, status=status)


@login_not_required
@require_safe
def asked(request: HttpRequest) -> HttpResponse:
    """Say where to look now."""
    return render(request, "workdays/bookings/asked.html")


@behind_a_link
@require_http_methods(["GET", "HEAD", "POST"])
def confirm(request: HttpRequest, token: str) -> HttpResponse:
    """Show what a mailed link would confirm; confirm it when the button is pressed."""
    try:
        if request.method == "POST":
            booking = confirm_booking(token, now=timezone.now())
            messages.success(request, _("Your request stands. We answer on this page and by mail."))
            return redirect("host_page", booking.host.secret)
        booking = booking_of_token(token)
    except links.Dead as dead:
        context = {"why": dead.why}
        return render(request, "workdays/bookings/dead_link.html", context, status=410)
    return render(request, "workdays/bookings/confirm.html", {"booking": booking})


@behind_a_link
@require_safe
def host_page(request: HttpRequest, secret: str) -> HttpResponse:
    """Show a host what they asked for and what was answered."""
    host = access.host_by_link(secret)
    bookings = list(bookings_of_host(host))
    days = day_rows([b.day for b in bookings if b.day], now=timezone.now())
    rows = {row.day.pk: row for row in days}
    asked_for = [(booking, rows.get(booking.day_id or 0)) for booking in bookings]
    return render(request, "workdays/bookings/host.html", {"host": host, "asked_for": asked_for})


@behind_a_link
@require_POST
def host_withdraw(request: HttpRequest, secret: str, pk: int) -> HttpResponse:
    """Take a request back."""
    host = access.host_by_link(secret)
    booking = get_object_or_404(host.bookings, pk=pk)
    with refusals_told(request):
        withdraw_booking(booking.pk, now=timezone.now())
        messages.success(request, _("Your request is withdrawn. The organiser is told."))
    return redirect("host_page", host.secret)
