"""Pages of the crew plan: read it, publish it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from coordinator.refused import refusals_told
from workdays import access
from workdays.actions import plans as actions
from workdays.forms.hand import HandForm
from workdays.forms.plan_run import AskForm
from workdays.models import Workday
from workdays.queries.hands_page import hands_of
from workdays.queries.morning import frame_of
from workdays.queries.plan_page import PlanPage, plan_page
from workdays.queries.run_page import found_page, run_view
from workdays.queries.timeline import timeline_of
from workdays.rules.morning import choices


def plan_response(
    request: HttpRequest,
    day: Workday,
    *,
    form: HandForm | None = None,
    page: PlanPage | None = None,
    ask: AskForm | None = None,
) -> HttpResponse:
    """Show the plan of a day; with a form that was refused, say why and keep what is picked up."""
    page = page or plan_page(day)
    who = access.viewer(request)
    hands = hands_of(day, page)
    now = timezone.now()
    view, so_far = run_view(page.run, now=now), found_page(day, page.run)
    at = request.GET.get("at", "")
    taken = form.data.get("take", "") if form else request.GET.get("take", "")
    context = {
        "here": "days",
        "day": day,
        "zone": day.cemetery.zone,
        "page": page,
        "form": form,
        "hands": hands,
        "taken": hands.taken(taken) if hands else None,
        "at": at,
        "opened": hands.opened(at, who.person.pk) if hands else (),
        "may_change": who.may_organise(day.cemetery_id) and day.state == Workday.State.OPEN,
        "timeline": timeline_of(day, so_far or page),
        "so_far": so_far,
        "view": view,
        "running": bool(view and view.is_open),
        "late": bool(view and view.no_worker),
        "ask": ask or AskForm(again=page.plan is not None),
        "is_the_day": bool(choices(now, frame_of(day))) and now >= frame_of(day).opens_at,
    }
    return render(request, "workdays/plan/plan.html", context, status=422 if form or ask else 200)


@require_safe
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the draft of a day, or its published plan."""
    return plan_response(request, access.day_for_staff(request, pk))


@require_POST
def plan_publish(request: HttpRequest, pk: int) -> HttpResponse:
    """Publish the draft and tell those concerned."""
    day = access.day_for_organiser(request, pk)
    page = plan_page(day)
    if page.plan is None:
        messages.error(request, _("There is no plan to publish any more: look at the day again."))
        return redirect("plan", pk=day.pk)
    with refusals_told(request):
        told = actions.publish_plan(page.plan, by=access.viewer(request).person, now=timezone.now())
        said = ngettext("Published; %d person is told.", "Published; %d people are told.", told)
        messages.success(request, said % told)
    return redirect("plan", pk=day.pk)
