"""Pages of the crew plan: read it, ask for a new one, move people, publish, print the sheets."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from coordinator import sheets
from coordinator.health import worker_is_late
from coordinator.refused import Refused, refuse_into
from workdays import access
from workdays.actions import plans as actions
from workdays.forms.plan import MoveForm
from workdays.models import Workday
from workdays.queries.brought import lines_of
from workdays.queries.crews import (
    cautions,
    equipment_names,
    equipment_words,
    lift_cautions,
)
from workdays.queries.plan_page import PlanPage, load_list, plan_page
from workdays.queries.terms import terms_of_day
from workdays.queries.timeline import timeline_of


def _page(
    request: HttpRequest,
    day: Workday,
    form: MoveForm | None = None,
    status: int = 200,
) -> HttpResponse:
    page = plan_page(day)
    who = access.viewer(request)
    if page.plan and form is None:
        form = MoveForm(page.plan, list(page.crews))
    context = {
        "here": "days",
        "day": day,
        "zone": day.cemetery.zone,
        "page": page,
        "form": form,
        "may_change": who.may_organise(day.cemetery_id) and day.state == Workday.State.OPEN,
        "timeline": timeline_of(day, page),
        "running": bool(page.run and page.run.state in actions.OPEN_RUNS),
        "late": worker_is_late(timezone.now()),
    }
    return render(request, "workdays/plan/plan.html", context, status=status)


@require_safe
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the draft of a day, or its published plan."""
    return _page(request, access.day_for_staff(request, pk))


@require_POST
def plan_run(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a new plan around what is pinned."""
    day = access.day_for_organiser(request, pk)
    try:
        actions.ask_for_plan(day, by=access.viewer(request).person)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("plan", pk=day.pk)


@require_POST
def plan_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move somebody by hand; refused with the rule's sentence."""
    day = access.day_for_organiser(request, pk)
    page = plan_page(day)
    if page.plan is None:
        messages.error(request, _("There is no plan any more; nobody was moved."))
        return redirect("plan", pk=day.pk)
    form = MoveForm(page.plan, list(page.crews), request.POST)
    if form.is_valid():
        data = form.cleaned_data
        try:
            actions.move_person(
                page.plan,
                data["person"],
                block=data["block"],
                to=form.lead(),
                version=data["version"],
                by=access.viewer(request).person,
            )
        except Refused as refused:
            refuse_into(form, refused)
        else:
            said = _("%(name)s is moved and pinned there. The plan holds every rule.")
            messages.success(request, said % {"name": data["person"].name})
            return redirect("plan", pk=day.pk)
    return _page(request, day, form, status=422)


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
