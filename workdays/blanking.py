"""Blank what was kept for a day or with a message, once its time has come; found by the sweep.

Which fields go, and when, is declared by the models (``PERSONAL``); twice does no harm.
"""

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Field, Model, Q

from coordinator.models import SentMessage
from coordinator.personal import Keep
from workdays.models import CrewPlan, Party, PlanRun, SignUp

AFTER_THE_DAY = timedelta(days=30)
WITH_THE_MESSAGE = timedelta(days=90)
OF_DAYS: tuple[type[Model], ...] = (SignUp, Party, CrewPlan, PlanRun)
OVER = (SentMessage.State.SENT, SentMessage.State.FAILED)


def blank_due(now: datetime) -> None:
    """Blank the personal words of days thirty days behind, and mail ninety days old.

    Mail to somebody who is erased goes as soon as it has left.
    """
    for model in OF_DAYS:
        _blank(model, Keep.AFTER_THE_DAY, Q(day__ends_at__lte=now - AFTER_THE_DAY))
    old = Q(queued_at__lte=now - WITH_THE_MESSAGE, state__in=OVER)
    gone_long = Q(sent_at__isnull=True) | Q(sent_at__lte=now - WITH_THE_MESSAGE)
    erased = Q(person__erased_at__isnull=False)
    SentMessage.objects.filter(erased & waits_in_vain()).update(state=SentMessage.State.FAILED)
    of_the_erased = erased & Q(state__in=OVER)
    _blank(SentMessage, Keep.WITH_THE_MESSAGE, (old & gone_long) | of_the_erased)


def waits_in_vain() -> Q:
    """Return which mail that waits is not sent any more to somebody erased.

    All but the last word, and what takes a day out of their calendar. One that a worker has in
    hand may leave; if it comes back to the queue, the next sweep stops it.
    """
    goes = Q(calendar_method="CANCEL") | Q(key__startswith="erased:")
    return Q(state=SentMessage.State.QUEUED) & ~goes


def _blank(model: type[Model], keep: Keep, due: Q) -> None:
    blanks = blank_values(model, keep)
    filled = Q()
    for name, value in blanks.items():
        filled |= ~Q(**{f"{name}__isnull": True} if value is None else {name: value})
    model._default_manager.filter(due & filled).update(**blanks)


def blank_values(model: type[Model], keep: Keep) -> dict[str, Any]:
    """Return the fields of a model that go with one class of keeping, and what stays instead."""
    declared: dict[str, Keep] = getattr(model, "PERSONAL", {})
    fields = [model._meta.get_field(name) for name, how in declared.items() if how is keep]
    return {field.name: _empty(field) for field in fields if isinstance(field, Field)}


def _empty(field: "Field[Any, Any]") -> Any:
    if field.null:
        return None
    return field.get_default() if field.has_default() else ""
