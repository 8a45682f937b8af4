"""Say that two rows of people are one human being, and take it back."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.models import Person
from coordinator.refused import Refused, attempt
from workdays import access
from workdays.actions.joining import join, part
from workdays.forms.joining import JoinForm
from workdays.queries.joining import candidates, pair_of, sides
from workdays.queries.people import kept_number, people_organised_by
from workdays.rules.joining import doubts, refusals_to_join


def _organised(request: HttpRequest, pk: int) -> Person:
    who = access.organiser(request)
    return get_object_or_404(people_organised_by(who), pk=kept_number(pk))


@never_cache
@require_safe
def same_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose who else is this person."""
    person, who = _organised(request, pk), access.organiser(request)
    asked = request.GET.get("q", "").replace("\x00", "").strip()[:100]
    context = {"person": person, "found": candidates(person, who, asked), "q": asked}
    return render(request, "workdays/people/same.html", context | {"here": "people"})


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def same_person_as(request: HttpRequest, pk: int, other: int) -> HttpResponse:
    """Show two rows side by side, and join them."""
    one, two = _organised(request, pk), _organised(request, other)
    who, now = access.organiser(request), timezone.now()
    if one.pk == two.pk:
        messages.info(request, _("They are one person already."))
        return redirect("person", pk=one.pk)
    pair = pair_of(one, two, who, now=now)
    speaks_against = doubts(pair)
    given = request.POST if request.method == "POST" else None
    form = JoinForm(given, doubtful=bool(speaks_against))
    if form.is_valid():
        why = form.cleaned_data["why"]
        kept = attempt(form, lambda: join(one, two, who=who, why=why, now=now))
        if kept:
            messages.success(
                request, _("They are one person from now on. You can part them again.")
            )
            return redirect("person", pk=kept.pk)
    context: dict[str, Any] = {"person": one, "form": form, "doubts": speaks_against}
    context |= {"sides": sides(one, two, pair), "barred": refusals_to_join(pair), "here": "people"}
    status = 422 if form.errors else 200
    return render(request, "workdays/people/same_as.html", context, status=status)


@require_POST
def person_part(request: HttpRequest, pk: int) -> HttpResponse:
    """Part a row from the person it was joined into."""
    who = access.organiser(request)
    joined = Person.objects.filter(joined_into__in=people_organised_by(who))
    row = get_object_or_404(joined, pk=pk)
    try:
        kept = part(row.pk, who=who)
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("person", pk=row.pk)
    messages.success(request, _("They are two again; each has what was theirs."))
    return redirect("person", pk=kept.pk)
