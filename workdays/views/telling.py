"""Say on the next page what a change led to."""

from collections.abc import Iterable

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext as _

from workdays.actions.jobs_of_days import TakenOff


def tell_taken_off(request: HttpRequest, gone: Iterable[TakenOff]) -> None:
    """Say that the change is kept, and which jobs it took off days to come."""
    messages.success(request, _("Kept."))
    for one in gone:
        messages.warning(request, one.sentence)
