"""Pages of chains: that of a stone, those of a cemetery, and the buttons that add their jobs."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from workdays import access
from workdays.actions import chains as actions
from workdays.queries.cemetery_chains import cemetery_chains as chains_of
from workdays.queries.stone_chain import stone_chain as chain_of
from workdays.rules.chain_words import added_words


@require_safe
def stone_chain(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what a stone needs, the jobs that do it, and when each may be done."""
    stone = access.stone_for_staff(request, pk)
    context = {
        "cemetery": stone.cemetery,
        "stone": stone,
        "page": chain_of(stone, now=timezone.now()),
        "may_change": access.viewer(request).may_organise(stone.cemetery_id),
    }
    return render(request, "workdays/chains/stone.html", context)


@require_POST
def stone_chain_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add the jobs that a stone's chain asks for and that are not there."""
    stone = access.stone_for_organiser(request, pk)
    by = access.viewer(request).person
    jobs = actions.add_chain(stone, by=by, now=timezone.now())
    tell = messages.success if jobs else messages.info
    tell(request, added_words(len(jobs), 1))
    return redirect("stone_chain", stone.pk)


@require_safe
def cemetery_chains(request: HttpRequest, slug: str) -> HttpResponse:
    """Show what all stones of a cemetery ask for, by section, by kind and stone by stone."""
    place = access.cemetery_for_staff(request, slug)
    context = {
        "cemetery": place,
        "page": chains_of(place, request.GET, now=timezone.now()),
        "may_change": access.viewer(request).may_organise(place.pk),
    }
    return render(request, "workdays/chains/cemetery.html", context)


@require_POST
def cemetery_chains_add(request: HttpRequest, slug: str) -> HttpResponse:
    """Add every job that the stones of a cemetery ask for and that is not there."""
    place = access.cemetery_for_organiser(request, slug)
    by = access.viewer(request).person
    added = actions.add_chains(place, by=by, now=timezone.now())
    tell = messages.success if added.jobs else messages.info
    tell(request, added_words(len(added.jobs), added.stones))
    return redirect("cemetery_chains", place.slug)
