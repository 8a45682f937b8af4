"""Entering a forecast: by hand or from a file. Each is kept as a new row; the newest counts."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from coordinator.refused import attempt
from workdays import access
from workdays.actions.calls import keep_forecast
from workdays.forms.forecasts import FileForm, HandForm
from workdays.models import Forecast, Workday
from workdays.queries.naming import day_name


@require_http_methods(["GET", "HEAD", "POST"])
def forecast_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter a forecast by hand."""
    day = access.day_for_organiser(request, pk)
    form = HandForm(request.POST if request.method == "POST" else None, day=day)
    return _kept(request, day, form, "hours", Forecast.Source.BY_HAND)


@require_http_methods(["GET", "HEAD", "POST"])
def forecast_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Read a forecast from a file."""
    day = access.day_for_organiser(request, pk)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    return _kept(request, day, FileForm(*sent, day=day), "file", Forecast.Source.FILE)


def _kept(
    request: HttpRequest, day: Workday, form: HandForm | FileForm, name: str, source: str
) -> HttpResponse:
    """Keep what a form read and show the call, or show the form with what is wrong."""
    if form.is_valid():
        who, now, hours = access.viewer(request), timezone.now(), form.cleaned_data[name]
        if attempt(
            form, lambda: keep_forecast(day.pk, hours, source=source, by=who.person, now=now)
        ):
            messages.success(request, _("The forecast is kept. This is what the rules say of it."))
            return redirect("call", day.pk)
    context = {"form": form, "day": day, "day_name": day_name(day), "here": "days"}
    return render(request, f"workdays/call/forecast_{source}.html", context)
