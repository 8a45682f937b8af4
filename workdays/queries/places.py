"""How full days are, for one or for many, in two statements."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Count, Q, Sum

from workdays.models import Party, SignUp, Workday
from workdays.rules.places import Places

State = SignUp.State


def places_of(days: Iterable[Workday], *, now: datetime) -> dict[int, Places]:
    """Return the places of each day by its id; a place held until a past moment is free."""
    rows = list(days)
    ids = [day.pk for day in rows]
    still = Q(held_until__isnull=True) | Q(held_until__gt=now)
    counted = (
        SignUp.objects.filter(day__in=ids)
        .order_by()
        .values_list("day")
        .annotate(
            coming=Count("pk", filter=Q(state=State.COMING)),
            unconfirmed=Count("pk", filter=Q(state=State.UNCONFIRMED) & still),
            offered=Count("pk", filter=Q(state=State.OFFERED) & still),
            waiting=Count("pk", filter=Q(state=State.WAITING)),
        )
    )
    by_day = {day: (coming, held, offers, wait) for day, coming, held, offers, wait in counted}
    parties = Party.objects.filter(day__in=ids).order_by().values_list("day")
    reserved = dict(parties.annotate(places=Sum("reserved")))
    return {
        day.pk: Places(day.capacity, *by_day.get(day.pk, (0, 0, 0, 0)), reserved.get(day.pk, 0))
        for day in rows
    }


def places(day: Workday, *, now: datetime) -> Places:
    """Return the places of one day."""
    return places_of([day], now=now)[day.pk]
