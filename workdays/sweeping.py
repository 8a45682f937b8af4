"""What the clock sets off on days, found by the sweep: lapsed places, offers to the list."""

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F, Q

from coordinator.models import SentMessage
from workdays import letters, waiting_list
from workdays.models import SignUp, Workday
from workdays.queries.locking import locked_day
from workdays.rules.parties import warned_from

State = SignUp.State
WARNED_WITHIN = timedelta(hours=48)


def lapse_due(now: datetime) -> None:
    """Settle each day on which something is over, or somebody waits while the day is open."""
    over = Q(
        sign_ups__state__in=[State.UNCONFIRMED, State.OFFERED, State.WAITING],
        sign_ups__held_until__lte=now,
    )
    somebody_waits = Q(state=Workday.State.OPEN, cut_off_at__gt=now, sign_ups__state=State.WAITING)
    over |= Q(parties__held_until__lte=now)
    due = Workday.objects.filter(over | somebody_waits).order_by("pk").distinct()
    for pk in list(due.values_list("pk", flat=True)):
        settle_day(pk, now=now)


@transaction.atomic
def settle_day(pk: int, *, now: datetime) -> None:
    """Settle one day under the lock of its row."""
    waiting_list.settle(locked_day(pk), now=now)


def warn_due(now: datetime) -> None:
    """Remind, the evening before a cut-off, adults who were named and have not answered.

    Once for each; not who was asked later than that evening.
    """
    soon = SignUp.objects.filter(
        state=State.UNCONFIRMED,
        named_by__isnull=False,
        held_until=F("day__cut_off_at"),
        held_until__gt=now,
        held_until__lte=now + WARNED_WITHIN,
        day__state=Workday.State.OPEN,
    )
    rows = list(soon.select_related("person", "day__cemetery", "day__teaches").order_by("pk"))
    keys = {f"warning:{row.pk}" for row in rows}
    sent = set(SentMessage.objects.filter(key__in=keys).values_list("key", flat=True))
    for row in rows:
        since = warned_from(row.day.cut_off_at.astimezone(row.day.cemetery.zone))
        if f"warning:{row.pk}" not in sent and row.changed_at < since <= now:
            letters.warn_before_cut_off(row)
