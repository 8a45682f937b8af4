"""What the clock sets off on days, found by the sweep: lapsed places, offers to the list."""

from datetime import datetime

from django.db import transaction
from django.db.models import Q

from workdays import waiting_list
from workdays.models import SignUp, Workday
from workdays.queries.locking import locked_day

State = SignUp.State


def lapse_due(now: datetime) -> None:
    """Settle each day on which something is over, or somebody waits while the day is open."""
    over = Q(
        sign_ups__state__in=[State.UNCONFIRMED, State.OFFERED, State.WAITING],
        sign_ups__held_until__lte=now,
    )
    somebody_waits = Q(state=Workday.State.OPEN, cut_off_at__gt=now, sign_ups__state=State.WAITING)
    due = Workday.objects.filter(over | somebody_waits).order_by("pk").distinct()
    for pk in list(due.values_list("pk", flat=True)):
        settle_day(pk, now=now)


@transaction.atomic
def settle_day(pk: int, *, now: datetime) -> None:
    """Settle one day under the lock of its row."""
    waiting_list.settle(locked_day(pk), now=now)
