"""Pages of stones: the table, one stone, a word over the conclusion."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from coordinator.refused import attempt
from workdays import access
from workdays.actions import ground as actions
from workdays.actions import surveys
from workdays.forms.layout import initial_of
from workdays.forms.stones import OverrideForm, StoneForm
from workdays.models import Stone
from workdays.queries.families import families_of
from workdays.queries.ground import today_at
from workdays.queries.pieces import pieces_at
from workdays.queries.readings import readings_of
from workdays.queries.stones import StoneFilter, stone_page, stone_table
from workdays.views.telling import kept


def stones(request: HttpRequest, slug: str) -> HttpResponse:
    """Show the stones of a cemetery as a table, fifty a page."""
    place = access.cemetery_for_staff(request, slug)
    asked = StoneFilter.from_query(request.GET)
    table = stone_table(place, asked, page=request.GET.get("page", ""), now=timezone.now())
    may_change = access.viewer(request).may_organise(place.pk)
    context = {"cemetery": place, "table": table, "may_change": may_change}
    return render(request, "workdays/ground/stones.html", context)


def stone_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Add a stone."""
    place = access.cemetery_for_organiser(request, slug)
    form = StoneForm(request.POST or None, cemetery=place, submit=_("Add this stone"))
    if request.method == "POST" and form.is_valid():
        by = access.viewer(request).person
        made = attempt(form, lambda: actions.add_stone(place, form.cleaned_data, by=by))
        if made:
            return redirect(made)
    context = {"cemetery": place, "form": form}
    return render(request, "workdays/ground/stone_edit.html", context)


def stone(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one stone: what holds for it, why, its jobs and all that was seen."""
    found, now = access.stone_for_staff(request, pk), timezone.now()
    page = stone_page(found, now=now)
    context = {
        "cemetery": found.cemetery,
        "stone": found,
        "page": page,
        "families": families_of(found, today=today_at(found.cemetery, now=now)),
        "readings": readings_of(found),
        "pieces": pieces_at(found, look=page.last_look),
        "may_change": access.viewer(request).may_organise(found.cemetery_id),
    }
    return render(request, "workdays/ground/stone.html", context)


def stone_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is known of a stone."""
    found = access.stone_for_organiser(request, pk)
    form = StoneForm(
        request.POST or None,
        initial=initial_of(found, StoneForm),
        cemetery=found.cemetery,
        stone=found,
        submit=_("Keep this stone"),
    )
    if request.method == "POST" and form.is_valid():
        by, said, now = access.viewer(request).person, form.cleaned_data, timezone.now()
        if kept(request, form, lambda: actions.change_stone(found, said, by=by, now=now)):
            return redirect(found)
    context = {"cemetery": found.cemetery, "stone": found, "form": form}
    return render(request, "workdays/ground/stone_edit.html", context)


def stone_override(request: HttpRequest, pk: int) -> HttpResponse:
    """Put an organiser's word over what triage concluded."""
    found = access.stone_for_organiser(request, pk)
    form = OverrideForm(request.POST or None, initial=_holds(found))
    if request.method == "POST" and form.is_valid():
        by, said, now = access.viewer(request).person, form.cleaned_data, timezone.now()
        if kept(request, form, lambda: surveys.override_conclusion(found, **said, by=by, now=now)):
            return redirect(found)
    context = {"cemetery": found.cemetery, "stone": found, "form": form}
    return render(request, "workdays/ground/stone_override.html", context)


def _holds(found: Stone) -> dict[str, object]:
    row = found.conclusion
    return {"kind": row.kind, "needs": row.needs} if row else {}
