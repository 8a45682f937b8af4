"""Pages of the texts that people sign: all versions, one as it was published, a new one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.refused import attempt
from workdays import access
from workdays.actions.waivers import add_language, publish_waiver
from workdays.forms.waivers import (
    OtherTextForm,
    WaiverForm,
    choices_to_add,
    place_words,
    waiver_initial,
)
from workdays.models import Cemetery
from workdays.queries import waiver_pages as queries
from workdays.queries.waivers import Language, current_waiver


@require_safe
def waivers(request: HttpRequest) -> HttpResponse:
    """List the versions of each text, the one that is signed now first."""
    who = access.organiser(request)
    found = queries.texts(who.organised())
    owned = {one.place for one in found}
    context = {
        "texts": found,
        "heading": queries.heading(found),
        "may_change_all": who.everywhere,
        "without": [place for place in who.organised() if place not in owned],
    }
    return render(request, "workdays/waivers/list.html", context)


@require_safe
def waiver(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one text of a version as it was published, and its other languages."""
    row = access.waiver_for_organiser(request, pk)
    who, texts = access.viewer(request), queries.siblings(row)
    is_current = current_waiver(row.cemetery) == texts[0]
    context = {
        "waiver": row,
        "texts": [(text, Language(text.language, text == row)) for text in texts],
        "direction": Language(row.language).direction,
        "first": texts[0],
        "may_add": is_current and access.may_publish(who, row) and queries.languages_to_add(row),
    }
    return render(request, "workdays/waivers/one.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def waiver_new(request: HttpRequest) -> HttpResponse:
    """Publish a text for every place without its own."""
    access.organiser_everywhere(request)
    return _publish(request, None)


@require_http_methods(["GET", "HEAD", "POST"])
def waiver_of_place_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Publish a text of one place's own."""
    return _publish(request, access.cemetery_for_organiser(request, slug))


@require_http_methods(["GET", "HEAD", "POST"])
def waiver_language_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Publish what a version says in another language."""
    first = access.waiver_to_publish(request, pk)
    choices = choices_to_add(queries.languages_to_add(first))
    form = OtherTextForm(_sent(request), languages=choices)
    if form.is_valid() and not form.only_looks:
        by, now = access.viewer(request).person, timezone.now()
        made = attempt(form, lambda: add_language(first, form.words(), by=by, now=now))
        if made:
            messages.success(request, _("It can be signed in this language from now on."))
            return redirect("waiver", made.pk)
    context = {"form": form, "first": first, "choices": choices, "preview": form.preview()}
    return render(request, "workdays/waivers/language.html", context)


def _publish(request: HttpRequest, place: Cemetery | None) -> HttpResponse:
    form = WaiverForm(_sent(request), initial=waiver_initial(current_waiver(place)))
    if form.is_valid() and not form.only_looks:
        by, now = access.viewer(request).person, timezone.now()
        made = attempt(form, lambda: publish_waiver(place, form.words(), by=by, now=now))
        if made:
            words = _("Version %(version)s is published; it is signed from now on.")
            messages.success(request, words % {"version": made.version})
            return redirect("waivers")
    context = {"form": form, "place_words": place_words(place), "preview": form.preview()}
    return render(request, "workdays/waivers/new.html", context)


def _sent(request: HttpRequest) -> QueryDict | None:
    """Return what was sent, also when it is nothing, so that a form says what is missing."""
    return request.POST if request.method == "POST" else None
