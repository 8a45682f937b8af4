"""What is printed for a day: day sheet, safety talk, load list, crew sheets, all as one PDF."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from coordinator import sheets
from workdays import access
from workdays.models import Workday
from workdays.queries.day_sheets import CrewSheet, DaySheets, day_sheets


def _context(day: Workday, found: DaySheets) -> dict[str, object]:
    return {"day": day, "zone": day.cemetery.zone, "sheets": found}


def _shown(request: HttpRequest, pk: int, name: str) -> HttpResponse:
    """Show a page of the day to whoever of the staff may see it."""
    day = access.day_for_staff(request, pk)
    may_change = access.viewer(request).may_organise(day.cemetery_id)
    context = {"may_change": may_change} | _context(day, day_sheets(day))
    return render(request, f"workdays/sheets/{name}.html", context)


def _no_pdf(request: HttpRequest) -> None:
    messages.info(request, _("This machine cannot make PDFs; print the page instead."))


@require_safe
def day_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the sheet of a day: who is where, the safety talk, the load list."""
    return _shown(request, pk, "day")


@require_safe
def safety_talk(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what is said before work begins, with a place to sign for each lead."""
    return _shown(request, pk, "talk")


@require_safe
def load_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what has to be loaded, and how each figure came about."""
    return _shown(request, pk, "load")


@require_safe
def all_sheets(request: HttpRequest, pk: int) -> HttpResponse:
    """Show every sheet of a day one after the other, to print."""
    return _shown(request, pk, "all")


@require_safe
def all_sheets_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """Give every sheet of a day as one PDF; where that cannot be made, the page to print."""
    day = access.day_for_staff(request, pk)
    context = _context(day, day_sheets(day))
    try:
        return sheets.pdf_response("workdays/sheets/all.html", context, f"sheets-{day.pk}")
    except sheets.NoPdf:
        _no_pdf(request)
        return redirect("all_sheets", pk=day.pk)


def _crew(found: DaySheets, pk: int) -> CrewSheet:
    sheet = found.crew(pk)
    if sheet is None:
        raise Http404
    return sheet


@require_safe
def crew_sheet(request: HttpRequest, pk: int, crew: int) -> HttpResponse:
    """Show the sheet of one crew to print."""
    day = access.day_for_staff(request, pk)
    found = day_sheets(day)
    context = {"sheet": _crew(found, crew), "crew_pk": crew}
    return render(request, "workdays/sheets/crew.html", context | _context(day, found))


@require_safe
def crew_sheet_pdf(request: HttpRequest, pk: int, crew: int) -> HttpResponse:
    """Give the sheet of one crew as a PDF; where that cannot be made, the page to print."""
    day = access.day_for_staff(request, pk)
    found = day_sheets(day)
    context = {"sheet": _crew(found, crew)} | _context(day, found)
    try:
        return sheets.pdf_response(
            "workdays/sheets/crew.html", context, f"crew-sheet-{day.pk}-{crew}"
        )
    except sheets.NoPdf:
        _no_pdf(request)
        return redirect("crew_sheet", pk=day.pk, crew=crew)
