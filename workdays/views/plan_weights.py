"""The page on which the points of a day's plans are set."""

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from coordinator.refused import carried_out
from workdays import access
from workdays.actions.plan_weights import set_weights
from workdays.forms.plan_weights import WeightsForm
from workdays.queries.plans import shown_plan
from workdays.rules.plan_weights import AIMS, weights_of


def plan_weights(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what each aim is worth on this day; set it, or go back to the usual points."""
    day = access.day_for_organiser(request, pk)
    shown, weights = shown_plan(day), weights_of(day.plan_weights)
    form = WeightsForm(weights, shown.terms if shown else {}, request.POST or None)
    if "reset" in request.POST:
        usual = {aim.key: str(aim.usual) for aim in AIMS}
        form = WeightsForm(weights, {}, usual)
    if request.method == "POST" and form.is_valid():
        change = partial(set_weights, day, form.cleaned_data, by=access.viewer(request).person)
        if carried_out(form, change):
            said = _("Kept. The plan has its new worth; plan the rest again for a better one.")
            messages.success(request, said)
            return redirect("plan", pk=day.pk)
    context = {"here": "days", "day": day, "zone": day.cemetery.zone, "form": form}
    status = 422 if form.errors else 200
    return render(request, "workdays/plan/weights.html", context, status=status)
