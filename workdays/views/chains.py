"""Pages of chains: that of a stone, those of a cemetery, and the buttons that add their jobs."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from workdays import access
from workdays.actions import chains as actions
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
