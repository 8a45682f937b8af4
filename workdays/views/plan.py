"""Pages of the crew plan: read it, publish it, print the sheets."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from coordinator import sheets
from coordinator.refused import Refused
from workdays import access
from workdays.actions import plans as actions
from workdays.forms.hand import HandForm
from workdays.forms.plan_run import AskForm
from workdays.models import Workday
from workdays.queries.brought import lines_of
from workdays.queries.crews import (
    cautions,
    equipment_names,
    equipment_words,
    lift_cautions,
)
from workdays.queries.hands_page import hands_of
from workdays.queries.plan_page import PlanPage, load_list, plan_page
from workdays.queries.run_page import found_page, run_view
from workdays.queries.terms import terms_of_day
from workdays.queries.timeline import timeline_of


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
    view, so_far = run_view(page.run, now=timezone.now()), found_page(day, page.run)
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
    try:
        told = actions.publish_plan(page.plan, by=access.viewer(request).person, now=timezone.now())
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        said = ngettext("Published; %d person is told.", "Published; %d people are told.", told)
        messages.success(request, said % told)
    return redirect("plan", pk=day.pk)


def _sheet(day: Workday, page: PlanPage, name: str | None) -> dict[str, object]:
    crews = [crew for crew in page.crews if name is None or crew.name == name]
    return {
        "day": day,
        "zone": day.cemetery.zone,
        "page": page,
        "crews": crews,
        "name": name,
        "kinds": cautions(crews),
        "lift_lines": lift_cautions(crews),
        "terms": terms_of_day(day).sentences,
        "load": equipment_words(load_list(crews), equipment_names()),
    }


def _crew_name(page: PlanPage, pk: int) -> str:
    for crew in page.crews:
        if crew.pk == pk:
            return crew.name
    raise Http404


@require_safe
def day_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the sheet of a day to print: every crew, the load list, the cautions."""
    day = access.day_for_staff(request, pk)
    context = _sheet(day, plan_page(day), None) | {"brought": lines_of(day)}
    return render(request, "workdays/sheets/day.html", context)


@require_safe
def crew_sheet(request: HttpRequest, pk: int, crew: int) -> HttpResponse:
    """Show the sheet of one crew to print."""
    day = access.day_for_staff(request, pk)
    page = plan_page(day)
    context = _sheet(day, page, _crew_name(page, crew))
    return render(request, "workdays/sheets/crew.html", context | {"crew_pk": crew})


@require_safe
def crew_sheet_pdf(request: HttpRequest, pk: int, crew: int) -> HttpResponse:
    """Give the sheet of one crew as a PDF; where that cannot be made, the page to print."""
    day = access.day_for_staff(request, pk)
    page = plan_page(day)
    name = _crew_name(page, crew)
    try:
        return sheets.pdf_response(
            "workdays/sheets/crew.html", _sheet(day, page, name), f"crew-sheet-{day.pk}-{crew}"
        )
    except sheets.NoPdf:
        messages.info(request, _("This machine cannot make PDFs; print the page instead."))
        return redirect("crew_sheet", pk=day.pk, crew=crew)
