"""Pages of the texts that people sign: all versions, one as it was published, a new one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from coordinator.refused import attempt
from workdays import access
from workdays.actions.waivers import publish_waiver
from workdays.forms.waivers import WaiverForm, place_words, waiver_initial
from workdays.models import Cemetery
from workdays.queries import waiver_pages as queries
from workdays.queries.waivers import current_waiver


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
    """Show one version as it was published."""
    row = access.waiver_for_organiser(request, pk)
    return render(request, "workdays/waivers/one.html", {"waiver": row})


@require_http_methods(["GET", "HEAD", "POST"])
def waiver_new(request: HttpRequest) -> HttpResponse:
    """Publish a text for every place without its own."""
    access.organiser_everywhere(request)
    return _publish(request, None)


@require_http_methods(["GET", "HEAD", "POST"])
def waiver_of_place_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Publish a text of one place's own."""
    return _publish(request, access.cemetery_for_organiser(request, slug))


def _publish(request: HttpRequest, place: Cemetery | None) -> HttpResponse:
    form = WaiverForm(request.POST or None, initial=waiver_initial(current_waiver(place)))
    if request.method == "POST" and form.is_valid() and not form.only_looks:
        by, now = access.viewer(request).person, timezone.now()
        made = attempt(form, lambda: publish_waiver(place, form.words(), by=by, now=now))
        if made:
            words = _("Version %(version)s is published; it is signed from now on.")
            messages.success(request, words % {"version": made.version})
            return redirect("waivers")
    preview = form.preview() if request.method == "POST" else ""
    context = {"form": form, "preview": preview, "place_words": place_words(place)}
    return render(request, "workdays/waivers/new.html", context)
