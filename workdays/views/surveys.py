"""Pages on a phone beside a stone: a look at it, and a stone that nobody knew of."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from coordinator.refused import Refused, refuse_into
from workdays import access
from workdays.actions.found import add_found_stone
from workdays.actions.looks import record_look
from workdays.actions.photographs import add_photographs
from workdays.actions.surveys import Recorded
from workdays.forms.found import FoundForm
from workdays.forms.surveys import SurveyForm
from workdays.queries.found import proposal
from workdays.queries.ground import today_at
from workdays.views.telling import tell_taken_off


def survey_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a look at a stone, standing beside it."""
    found, now = access.stone_for_staff(request, pk), timezone.now()
    today = today_at(found.cemetery, now=now)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = SurveyForm(*sent, stone=found, today=today)
    if sent:
        if form.is_valid():
            by = access.viewer(request).person
            try:
                done = record_look(found, form.seen(), form.of_look(), by=by, now=now)
                _tell_recorded(request, done)
                return redirect(found)
            except Refused as refused:
                refuse_into(form, refused)
        _keep_pictures(request, form)
    context = {"cemetery": found.cemetery, "stone": found, "form": form}
    context |= {"kept": form.kept_pictures()}
    return render(request, "workdays/ground/survey_new.html", context)


def _keep_pictures(request: HttpRequest, form: SurveyForm) -> None:
    """Keep the pictures of a look that must be mended: a page cannot send them back."""
    kept = form.kept_pictures()
    new = form.cleaned_data.get("pictures") or []
    if new:
        by, now = access.viewer(request).person, timezone.now()
        kept += add_photographs(form.stone, new, taken=form.taken(), by=by, now=now)
    if kept:
        form.show_kept(kept)


def _tell_recorded(request: HttpRequest, done: Recorded) -> None:
    tell_taken_off(request, done.taken_off)
    if not done.in_force:
        sentence = _("What held before still holds: a newer look, or a person's stricter word.")
        messages.warning(request, sentence)


def stone_found(request: HttpRequest, slug: str) -> HttpResponse:
    """Add a stone that nobody knew of, and go on to the first look at it."""
    place, now = access.cemetery_for_staff(request, slug), timezone.now()
    initial = proposal(place, near=request.GET.get("near", ""))
    form = FoundForm(request.POST or None, initial=initial, cemetery=place)
    if request.method == "POST" and form.is_valid():
        by = access.viewer(request).person
        try:
            stone = add_found_stone(place, form.known(), how=form.how(), by=by, now=now)
            words = _("Stone %(number)s is added. Now look at it.") % {"number": stone.number}
            messages.success(request, words)
            return redirect("survey_new", stone.pk)
        except Refused as refused:
            refuse_into(form, refused)
    context = {"cemetery": place, "form": form}
    return render(request, "workdays/ground/stone_found.html", context)
