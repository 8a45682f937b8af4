"""The organiser's side of bookings: reading them, making the clinic, or saying no with words."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.refused import attempt
from workdays import access
from workdays.actions.bookings import accept_booking, refuse_booking
from workdays.forms.bookings import AcceptForm, NoForm, accept_initial
from workdays.forms.days import new_day_initial
from workdays.models import Booking
from workdays.queries.bookings import bookings_for


@require_safe
def bookings(request: HttpRequest) -> HttpResponse:
    """List requests: those that wait, then those that were answered."""
    rows = list(bookings_for(access.organiser(request).organised()))
    waiting = [row for row in rows if row.state == Booking.State.ASKED]
    answered = [row for row in reversed(rows) if row.state != Booking.State.ASKED]
    context = {"waiting": waiting, "answered": answered, "here": "days"}
    return render(request, "workdays/bookings/list.html", context)


@require_safe
def booking(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one request, with both answers."""
    row = access.booking_for_organiser(request, pk)
    context = {"booking": row, "form": NoForm(), "here": "days"}
    return render(request, "workdays/bookings/one.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def booking_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Make the clinic that a host asked for."""
    row, who = access.booking_for_organiser(request, pk), access.organiser(request)
    form = AcceptForm(
        request.POST if request.method == "POST" else None,
        cemeteries=who.organised(),
        initial=new_day_initial() | accept_initial(row),
        submit=_("Make this clinic"),
    )
    if form.is_valid():
        day = attempt(
            form,
            lambda: accept_booking(
                row.pk,
                form.wishes(),
                open_now=form.cleaned_data["open_now"],
                by=who.person,
                now=timezone.now(),
            ),
        )
        if day is not None:
            messages.success(request, _("The clinic is made and the host is told."))
            return redirect("day_desk", day.pk)
    context = {"booking": row, "form": form, "here": "days"}
    return render(request, "workdays/bookings/accept.html", context)


@require_POST
def booking_refuse(request: HttpRequest, pk: int) -> HttpResponse:
    """Say no with words."""
    row, who = access.booking_for_organiser(request, pk), access.organiser(request)
    form = NoForm(request.POST)
    if form.is_valid():
        answer, now = form.cleaned_data["answer"], timezone.now()
        if attempt(form, lambda: refuse_booking(row.pk, answer, by=who.person, now=now)):
            messages.success(request, _("The host is told, in your words."))
            return redirect("bookings")
    context = {"booking": row, "form": form, "here": "days"}
    return render(request, "workdays/bookings/one.html", context)
