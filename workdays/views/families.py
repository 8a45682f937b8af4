"""Pages of families at a stone, and of what leave is to be asked for in the days ahead."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from workdays import access
from workdays.actions import leave as actions
from workdays.forms.families import FamilyForm
from workdays.forms.layout import initial_of
from workdays.queries.leave_ahead import leave_ahead as ahead_of
from workdays.views.telling import kept


@require_http_methods(["GET", "HEAD", "POST"])
def family_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Note a family whose leave is wanted at a stone."""
    stone = access.stone_for_organiser(request, pk)
    form = FamilyForm(request.POST or None, submit=_("Note this family"))
    if request.method == "POST" and form.is_valid():
        values, kinds = form.values(), list(form.cleaned_data["kinds"])
        by, now = access.viewer(request).person, timezone.now()
        add = partial(actions.add_family, stone, values, kinds=kinds, by=by, now=now)
        if kept(request, form, lambda: add().taken_off):
            return redirect(stone)
    context = {"cemetery": stone.cemetery, "stone": stone, "form": form}
    return render(request, "workdays/ground/family.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def family_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that a family was asked, or what it answered."""
    family = access.family_for_organiser(request, pk)
    stone = family.stone
    initial = initial_of(family, FamilyForm) | {"kinds": list(family.kinds.all())}
    form = FamilyForm(request.POST or None, initial=initial, submit=_("Keep this"))
    if request.method == "POST" and form.is_valid():
        values, kinds = form.values(), list(form.cleaned_data["kinds"])
        by, now = access.viewer(request).person, timezone.now()
        change = partial(actions.change_family, family, values, kinds=kinds, by=by, now=now)
        if kept(request, form, change):
            return redirect(stone)
    context = {"cemetery": stone.cemetery, "stone": stone, "family": family, "form": form}
    return render(request, "workdays/ground/family.html", context)


@require_safe
def leave_ahead(request: HttpRequest) -> HttpResponse:
    """List what runs out and who has not answered, at every cemetery of the reader."""
    who = access.viewer(request)
    organised = set(who.organised().values_list("pk", flat=True))
    page = ahead_of(who.seen(), organised=organised, now=timezone.now())
    return render(request, "workdays/ground/leave_ahead.html", {"page": page})


@require_safe
def cemetery_leave_ahead(request: HttpRequest, slug: str) -> HttpResponse:
    """List what runs out and who has not answered at one cemetery."""
    place = access.cemetery_for_staff(request, slug)
    may_change = access.viewer(request).may_organise(place.pk)
    page = ahead_of([place], organised={place.pk} if may_change else (), now=timezone.now())
    context = {"cemetery": place, "page": page, "may_change": may_change}
    return render(request, "workdays/ground/leave_ahead.html", context)
