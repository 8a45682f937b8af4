"""People who come unannounced, and places given by hand."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from coordinator.refused import attempt
from workdays import access
from workdays.actions.gate import place_by_hand, walk_up
from workdays.forms.gate import FindForm, GateForm, PlaceForm
from workdays.models import Waiver, Workday
from workdays.queries import public, waivers
from workdays.queries.gate import found_by_name, guardians, is_full, is_full_for
from workdays.rules.young_people import rules_in
from workdays.views.to_sign import about, shown_to_sign


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def gate(request: HttpRequest, pk: int) -> HttpResponse:
    """Add one person who stands at the gate; they sign on this device."""
    day = access.day_for_staff(request, pk)
    who, text = access.viewer(request), shown_to_sign(request, day.cemetery)
    context: dict[str, Any] = {"day": day, "here": "days", **about(text), **_found(request)}
    if text is None or day.state != Workday.State.OPEN:
        status = 409 if request.method == "POST" else 200
        return render(request, "workdays/gate/shut.html", context, status=status)
    organises, now = who.may_organise(day.cemetery_id), timezone.now()
    form = _form(request, day, text.waiver, may_go_over=organises and is_full(day, now=now))
    if request.method == "POST" and form.is_valid():
        comer = form.walk_up()
        row = attempt(form, lambda: walk_up(pk, comer, by=who.person, organises=organises, now=now))
        if row:
            messages.success(request, _("%(name)s is on the list.") % {"name": row.person.name})
            return redirect("gate", pk=pk)
    context |= {"form": form, "known": form.known}
    context["young_rules"] = rules_in(text.waiver.language)
    return render(request, "workdays/gate/gate.html", context, status=422 if form.errors else 200)


def _form(request: HttpRequest, day: Workday, waiver: Waiver, *, may_go_over: bool) -> GateForm:
    known = access.known_person(request, request.GET.get("known", ""))
    return GateForm(
        request.POST if request.method == "POST" else None,
        day=day,
        waiver=waiver,
        skills=public.skills(),
        guardians=guardians(day),
        known=known,
        signed=known is not None and bool(waivers.people_with_waiver(day, [known.pk])),
        is_full=may_go_over,
    )


def _found(request: HttpRequest) -> dict[str, Any]:
    find = FindForm(request.GET if "name" in request.GET else None)
    words = find.cleaned_data["name"] if find.is_valid() else ""
    found = found_by_name(access.viewer(request).seen(), words) if words else []
    return {"find": find, "words": words, "found": found}


@require_http_methods(["GET", "HEAD", "POST"])
def place(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Give somebody a place by hand."""
    day = access.day_for_organiser(request, pk)
    sign_up, by = access.sign_up_of(day, row), access.viewer(request).person
    now = timezone.now()
    over = is_full_for(day, sign_up, now=now)
    form = PlaceForm(request.POST if request.method == "POST" else None, is_full=over)
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data.get("reason", "")
        if attempt(form, lambda: place_by_hand(sign_up.pk, reason=why, by=by, now=now)):
            return redirect("day_desk", pk=pk)
    context = {"day": day, "row": sign_up, "form": form, "is_full": over, "here": "days"}
    return render(request, "workdays/gate/place.html", context, status=422 if form.errors else 200)
