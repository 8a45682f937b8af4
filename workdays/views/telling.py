"""Say on the next page what a change led to."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest
from django.utils.translation import gettext as _

from coordinator.refused import Refused, attempt
from workdays.actions.jobs_of_days import TakenOff

Given = TypeVar("Given")


def kept(request: HttpRequest, form: BaseForm, act: Callable[[], Iterable[TakenOff]]) -> bool:
    """Return whether a change was done, and tell what it led to; else the form says why not."""
    gone = attempt(form, act)
    if gone is not None:
        tell_taken_off(request, gone)
    return gone is not None


def tell_taken_off(request: HttpRequest, gone: Iterable[TakenOff], *, done: str = "") -> None:
    """Say that the change is kept, or what was ``done``, and which jobs it took off coming days."""
    messages.success(request, done or _("Kept."))
    for one in gone:
        messages.warning(request, one.sentence)


def done(request: HttpRequest, act: Callable[[], object]) -> bool:
    """Return whether an act without a form was done; else the next page says why not."""
    return outcome(request, lambda: [act()]) is not None


def outcome(request: HttpRequest, act: Callable[[], Given]) -> Given | None:
    """Return what an act without a form gives; None when refused, the next page says why."""
    try:
        return act()
    except Refused as refused:
        for refusal in refused.refusals:
            messages.error(request, refusal.sentence)
        return None
