"""Pages about people: hours to countersign, levels, sign-offs."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coordinator.models import Person
from coordinator.refused import Refused, refusals_told, refuse_into
from training import actions
from training.models import HoursEntry, SignOff
from training.queries import standing_lines
from workdays import access
from workdays.forms.roll import CountersignForm, RevokeForm, SignOffForm
from workdays.queries import people as queries
from workdays.queries.joining import joined_to

A_PAGE = 30


def _hours_page(
    request: HttpRequest, changed: CountersignForm | None = None, status: int = 200
) -> HttpResponse:
    who = access.viewer(request)
    entries = queries.entries_for(who).order_by("on", "person__name", "pk")
    page = Paginator(entries, A_PAGE).get_page(request.GET.get("page"))
    forms = [CountersignForm(entry) for entry in page if changed is None or entry != changed.entry]
    if changed is not None:
        forms.insert(0, changed)  # first, so that what was typed is found from every page
    context = {"here": "training", "forms": forms, "page": page, "count": page.paginator.count}
    return render(request, "workdays/people/hours.html", context, status=status)


@require_safe
def training(request: HttpRequest) -> HttpResponse:
    """Show the hours that wait for a countersign."""
    return _hours_page(request)


@require_POST
def countersign(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a word on one hours entry."""
    who = access.viewer(request)
    entries = HoursEntry.objects.filter(cemetery_number__in=who.seen().values("pk"))
    entry = get_object_or_404(entries.select_related("person", "skill"), pk=pk)
    form = CountersignForm(entry, request.POST)
    if form.is_valid():
        try:
            actions.countersign(entry, form.word(), by=who.person)
        except Refused as refused:
            refuse_into(form, refused)
        else:
            said = _("Noted: %(word)s for %(person)s.")
            word = form.cleaned_data["decision"]
            messages.success(request, said % {"word": word, "person": entry.person})
            return redirect("training")
    return _hours_page(request, form, status=422)


@require_safe
def people(request: HttpRequest) -> HttpResponse:
    """List people with their levels."""
    who = access.viewer(request)
    asked = request.GET.get("q", "").replace("\x00", "").strip()[:100]
    found = queries.people_seen_by(who).filter(name__icontains=asked)
    page = Paginator(found.order_by("name", "pk"), A_PAGE).get_page(request.GET.get("page"))
    today = timezone.localdate()
    lines = queries.lines(list(page), who.seen().first(), today)
    context = {
        "here": "people",
        "lines": lines,
        "page": page,
        "q": asked,
        "count": page.paginator.count,
        "everywhere": who.everywhere,
    }
    return render(request, "workdays/people/people.html", context)


def _person_page(
    request: HttpRequest, person: Person, form: SignOffForm | None = None, status: int = 200
) -> HttpResponse:
    who = access.viewer(request)
    today = timezone.localdate()
    places = [
        (place, standing_lines(person, cemetery_number=place.pk, on=today))
        for place in who.seen()[:6]
    ]
    context = {
        "here": "people",
        "person": person,
        "places": places,
        "hours": queries.history_of(person),
        "sign_offs": queries.sign_offs_of(person),
        "signatures": queries.signatures_of(person, who) if who.is_organiser else [],
        "joined": joined_to(person) if who.is_organiser else [],
        "may_join": who.is_organiser,
        "revoke_form": RevokeForm(),
        "form": form or SignOffForm(today),
    }
    return render(request, "workdays/people/person.html", context, status=status)


def _person(request: HttpRequest, pk: int) -> Person:
    people_seen = queries.people_seen_by(access.viewer(request))
    return get_object_or_404(people_seen, pk=queries.kept_number(pk))


@require_safe
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one person: levels, hours, sign-offs."""
    return _person_page(request, _person(request, pk))


@require_http_methods(["POST"])
def sign_off_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Record a sign-off."""
    someone = _person(request, pk)
    form = SignOffForm(timezone.localdate(), request.POST)
    if form.is_valid():
        data = form.cleaned_data
        try:
            actions.sign_off(
                someone,
                data["skill"],
                SignOff.Level(data["level"]),
                by=access.viewer(request).person,
                on=data["on"],
                cemetery_numbers=[place.pk for place in data["cemeteries"]],
                words=data["words"],
            )
        except Refused as refused:
            refuse_into(form, refused)
        else:
            messages.success(request, _("The sign-off is recorded."))
            return redirect("person", pk=someone.pk)
    return _person_page(request, someone, form, status=422)


@require_POST
def sign_off_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """End a sign-off, with a reason."""
    who = access.viewer(request)
    seen = queries.people_seen_by(who)
    rows = SignOff.objects.filter(Q(person__in=seen) | Q(person__joined_into__in=seen))
    row = get_object_or_404(rows.select_related("person"), pk=pk)
    form = RevokeForm(request.POST)
    if form.is_valid():
        why = form.cleaned_data["why"]
        with refusals_told(request):
            actions.revoke(row, by=who.person, on=timezone.localdate(), why=why)
            messages.success(request, _("The sign-off ends today."))
    else:
        messages.error(request, " ".join(str(words) for words in form.errors["why"]))
    return redirect("person", pk=row.person_id)
