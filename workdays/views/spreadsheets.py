"""Pages of spreadsheets: out, in, how one is read, what it would do, undone again."""

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.models import Person
from coordinator.refused import Refused, carried_out
from workdays import access
from workdays.actions import spreadsheets as actions
from workdays.actions.undoing import undo_import
from workdays.forms.spreadsheets import ColumnsForm, HeadingsForm, SheetFileForm
from workdays.models import Cemetery, SheetImport
from workdays.queries.ground import today_at
from workdays.queries.sheet_pages import columns_page, sheet_page, sheets_page
from workdays.queries.spreadsheets import first_mapping, read_again, stones_now
from workdays.spreadsheets.table import NotASheetError
from workdays.spreadsheets.writing import to_text, to_workbook
from workdays.views.telling import tell_taken_off

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@require_http_methods(["GET", "HEAD", "POST"])
def sheets(request: HttpRequest, slug: str) -> HttpResponse:
    """List the sheets of a cemetery; take another file in."""
    place = access.cemetery_for_organiser(request, slug)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = SheetFileForm(*sent)
    if sent and form.is_valid() and form.table is not None:
        mapping = first_mapping(place, form.table).as_json()
        kept = actions.keep_sheet(
            place,
            form.octets,
            form.name,
            mapping=mapping,
            by=access.viewer(request).person,
            table=form.table,
        )
        return redirect("sheet_columns", slug, kept.pk)
    page = sheets_page(place, page=request.GET.get("page", ""))
    context = {"cemetery": place, "page": page, "form": form}
    return render(request, "workdays/spreadsheets/sheets.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def sheet_columns(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Choose what the columns of a sheet hold."""
    sheet, now = access.sheet_for_organiser(request, slug, pk), timezone.now()
    if sheet.state == SheetImport.State.DONE:
        return redirect("sheet", slug, pk)
    try:
        page = columns_page(sheet, now=now)
    except NotASheetError:
        return redirect("sheet", slug, pk)
    by, where = access.viewer(request).person, "where" in request.POST
    headings = HeadingsForm(request.POST if where else None, page=page)
    form = ColumnsForm(request.POST if request.POST and not where else None, page=page)
    if headings.is_valid() and carried_out(headings, partial(_read_again, sheet, headings, by)):
        return redirect("sheet_columns", slug, pk)
    if form.is_valid():
        chosen = form.mapping().as_json()
        if carried_out(form, partial(actions.choose_columns, sheet, chosen, by=by)):
            return redirect("sheet", slug, pk)
    context = {"cemetery": sheet.cemetery, "sheet": sheet, "page": page}
    context |= {"form": form, "headings": headings}
    return render(request, "workdays/spreadsheets/columns.html", context)


def _read_again(sheet: SheetImport, headings: HeadingsForm, by: Person) -> None:
    said = headings.cleaned_data
    page = said.get("sheet", headings.table.sheet)
    found = read_again(sheet, page=page, row=said["header_row"], lines=said["header_lines"])
    actions.choose_columns(sheet, found.as_json(), by=by)


@require_safe
def sheet(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Show what a sheet would lead to, row by row, or what it led to."""
    found = access.sheet_for_organiser(request, slug, pk)
    page = sheet_page(found, request.GET, now=timezone.now())
    context = {"cemetery": found.cemetery, "sheet": found, "page": page}
    return render(request, "workdays/spreadsheets/sheet.html", context)


@require_POST
def sheet_import(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Bring a sheet in as it was shown."""
    found = access.sheet_for_organiser(request, slug, pk)
    by, now = access.viewer(request).person, timezone.now()
    seen, leave_out = request.POST.get("seen", ""), request.POST.get("leave_out") == "yes"
    try:
        done = actions.bring_in(found, by=by, now=now, seen=seen, leave_out=leave_out)
    except Refused as refused:
        _say(request, refused)
    else:
        messages.success(request, actions.nothing_new(done) or _("It is brought in."))
    return redirect("sheet", slug, pk)


@require_POST
def sheet_undo(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Undo the last sheet that was brought in."""
    found = access.sheet_for_organiser(request, slug, pk)
    by, now = access.viewer(request).person, timezone.now()
    try:
        tell_taken_off(request, undo_import(found, by=by, now=now), done=_("It is undone."))
    except Refused as refused:
        _say(request, refused)
    return redirect("sheet", slug, pk)


@require_POST
def sheet_discard(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Throw a sheet away that is not brought in."""
    found = access.sheet_for_organiser(request, slug, pk)
    try:
        actions.discard_sheet(found, by=access.viewer(request).person)
    except Refused as refused:
        _say(request, refused)
        return redirect("sheet", slug, pk)
    messages.success(request, _("The sheet is thrown away."))
    return redirect("sheets", slug)


def _say(request: HttpRequest, refused: Refused) -> None:
    for refusal in refused.refusals:
        messages.error(request, refusal.sentence)


@require_safe
def sheet_csv(request: HttpRequest, slug: str) -> StreamingHttpResponse:
    """Give all stones with their last look as CSV."""
    place = access.cemetery_for_organiser(request, slug)
    answer = StreamingHttpResponse(to_text(stones_now(place)), content_type="text/csv")
    answer["Content-Disposition"] = _as_file(place, "csv")
    return answer


@require_safe
def sheet_xlsx(request: HttpRequest, slug: str) -> HttpResponse:
    """Give all stones with their last look as XLSX."""
    place = access.cemetery_for_organiser(request, slug)
    answer = HttpResponse(to_workbook(stones_now(place)), content_type=XLSX)
    answer["Content-Disposition"] = _as_file(place, "xlsx")
    return answer


def _as_file(place: Cemetery, ending: str) -> str:
    on = today_at(place, now=timezone.now()).isoformat()
    return f'attachment; filename="{place.slug}-stones-{on}.{ending}"'
