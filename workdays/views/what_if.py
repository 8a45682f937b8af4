"""What would change a plan: asked for by a press on the page of the plan."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from coordinator.refused import Refused
from workdays import access
from workdays.actions.what_ifs import ask_what_if
from workdays.queries.plan_page import plan_page


@require_POST
def plan_what_if(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the worker what would change the plan that is shown."""
    day = access.day_for_organiser(request, pk)
    plan = plan_page(day).plan
    if plan is None:
        messages.error(request, _("There is no plan any more; plan the crews first."))
        return redirect("plan", pk=day.pk)
    try:
        ask_what_if(plan, by=access.viewer(request).person)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("plan", pk=day.pk)
