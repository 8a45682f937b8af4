"""Pages of a place: the list of cemeteries, one drawn, its facts, sections and kinds of work."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from coordinator import sheets
from coordinator.refused import Refused, refuse_into
from workdays import access
from workdays.actions import backlog as backlog_actions
from workdays.actions import ground as actions
from workdays.forms.backlog import KindForm
from workdays.forms.ground import (
    CemeteryForm,
    SectionForm,
    cemetery_initial,
    corners_in_lines,
)
from workdays.forms.layout import initial_of
from workdays.models import Cemetery
from workdays.queries import ground as queries
from workdays.queries.plan_of_ground import cemetery_page, cemetery_sheet


def ground(request: HttpRequest) -> HttpResponse:
    """List the cemeteries whose pages the person may open."""
    who = access.viewer(request)
    listed = queries.cemeteries_listed(who.seen(), on=timezone.now().date())
    context = {"cemeteries": listed, "may_add": who.everywhere}
    return render(request, "workdays/ground/ground.html", context)


def cemetery(request: HttpRequest, slug: str) -> HttpResponse:
    """Show a cemetery drawn, with what each stone needs or those that were asked for."""
    place = access.cemetery_for_staff(request, slug)
    page = cemetery_page(place, request.GET, now=timezone.now())
    may_change = access.viewer(request).may_organise(place.pk)
    context = {"cemetery": place, "page": page, "may_change": may_change}
    return render(request, "workdays/ground/cemetery.html", context)


def _sheet(place: Cemetery, request: HttpRequest) -> dict[str, object]:
    sheet = cemetery_sheet(place, request.GET, now=timezone.now())
    return {"cemetery": place, "sheet": sheet, "today": sheet.choices.today}


@require_safe
def plan_sheet(request: HttpRequest, slug: str) -> HttpResponse:
    """Show the plan of a cemetery on one sheet to print."""
    place = access.cemetery_for_staff(request, slug)
    return render(request, "workdays/sheets/plan.html", _sheet(place, request))


@require_safe
def plan_sheet_pdf(request: HttpRequest, slug: str) -> HttpResponse:
    """Give the plan of a cemetery as a PDF; where that cannot be made, the page to print."""
    place = access.cemetery_for_staff(request, slug)
    try:
        return sheets.pdf_response("workdays/sheets/plan.html", _sheet(place, request), place.slug)
    except sheets.NoPdf:
        messages.info(request, _("This machine cannot make PDFs; print the page instead."))
        return redirect(f"{reverse('plan_sheet', args=[slug])}?{request.GET.urlencode()}")


def cemetery_new(request: HttpRequest) -> HttpResponse:
    """Add a cemetery."""
    who = access.organiser_everywhere(request)
    form = CemeteryForm(request.POST or None, submit=_("Add this cemetery"))
    if request.method == "POST" and form.is_valid():
        place = actions.add_cemetery(form.cleaned_data, by=who.person)
        return redirect("cemetery", place.slug)
    return render(request, "workdays/ground/cemetery_new.html", {"form": form})


def cemetery_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """Change the facts of a place."""
    place = access.cemetery_for_organiser(request, slug)
    initial = cemetery_initial(place)
    form = CemeteryForm(request.POST or None, initial=initial, submit=_("Keep these facts"))
    if request.method == "POST" and form.is_valid():
        actions.change_cemetery(place, form.cleaned_data, by=access.viewer(request).person)
        messages.success(request, _("The facts of this place are kept."))
        return redirect("cemetery", place.slug)
    sections = queries.sections_of(place)
    context = {"cemetery": place, "form": form, "sections": sections}
    return render(request, "workdays/ground/cemetery_edit.html", context)


def section_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Add a section."""
    place = access.cemetery_for_organiser(request, slug)
    form = SectionForm(request.POST or None, submit=_("Add this section"))
    if request.method == "POST" and form.is_valid():
        try:
            actions.add_section(place, form.cleaned_data, by=access.viewer(request).person)
            return redirect("cemetery", place.slug)
        except Refused as refused:
            refuse_into(form, refused)
    context = {"cemetery": place, "form": form}
    return render(request, "workdays/ground/section.html", context)


def section_edit(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Change a section."""
    section = access.section_for_organiser(request, slug, pk)
    initial = initial_of(section, SectionForm) | {"outline": corners_in_lines(section.outline)}
    form = SectionForm(request.POST or None, initial=initial, submit=_("Keep this section"))
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_section(section, form.cleaned_data, by=access.viewer(request).person)
            return redirect("cemetery", slug)
        except Refused as refused:
            refuse_into(form, refused)
    context = {"cemetery": section.cemetery, "section": section, "form": form}
    return render(request, "workdays/ground/section.html", context)


def kinds_of_work(request: HttpRequest) -> HttpResponse:
    """List the kinds of work with who may do them and the caution that goes with each."""
    who = access.viewer(request)
    context = {"kinds": queries.kinds_of_work(), "may_change": who.everywhere}
    return render(request, "workdays/ground/kinds_of_work.html", context)


def kind_of_work_edit(request: HttpRequest, key: str) -> HttpResponse:
    """Change the words of a kind of work."""
    kind = access.kind_for_organiser(request, key)
    form = KindForm(request.POST or None, initial=initial_of(kind, KindForm))
    if request.method == "POST" and form.is_valid():
        by = access.viewer(request).person
        backlog_actions.change_kind(kind, form.cleaned_data, by=by)
        messages.success(request, _("The words of this kind of work are kept."))
        return redirect("kinds_of_work")
    return render(request, "workdays/ground/kind_of_work.html", {"kind": kind, "form": form})
