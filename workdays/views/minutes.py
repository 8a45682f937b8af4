"""The page of how long work takes: estimated, learned, and given to open jobs."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import ngettext

from coordinator.refused import Refused
from workdays import access
from workdays.actions.minutes import use_learned_minutes
from workdays.queries.minutes import minutes_page


def minutes(request: HttpRequest, slug: str) -> HttpResponse:
    """Show what each work takes; a press gives the learned minutes to its open jobs."""
    place, status = access.cemetery_for_organiser(request, slug), 200
    if request.method == "POST":
        try:
            key = request.POST.get("work", "")
            changed = use_learned_minutes(place, key, by=access.viewer(request).person)
        except Refused as refused:
            messages.error(request, str(refused))
            status = 422
        else:
            said = ngettext("%d job has the minutes.", "%d jobs have the minutes.", changed)
            messages.success(request, said % changed)
            return redirect("minutes", slug=place.slug)
    context = {"cemetery": place, "page": minutes_page(place)}
    return render(request, "workdays/ground/minutes.html", context, status=status)
