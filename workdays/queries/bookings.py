"""Requests of hosts, for those who answer them and for the host."""

from django.db.models import Q, QuerySet

from coordinator.models import Person
from workdays.models import Booking, Cemetery, Host, Membership


def bookings_for(organised: "QuerySet[Cemetery]") -> "QuerySet[Booking]":
    """Return confirmed requests at these cemeteries or at a place of the host's own."""
    where = Q(cemetery__isnull=True) | Q(cemetery__in=organised)
    return (
        Booking.objects.filter(where, host__confirmed_at__isnull=False)
        .select_related("host", "skill", "cemetery", "day", "day__cemetery")
        .order_by("asked_at", "pk")
    )


def bookings_waiting(organised: "QuerySet[Cemetery]") -> "QuerySet[Booking]":
    """Return confirmed requests that nobody has answered, the oldest first."""
    return bookings_for(organised).filter(state=Booking.State.ASKED)


def bookings_of_host(host: Host) -> "QuerySet[Booking]":
    """Return what a host asked for, the newest first."""
    rows = host.bookings.select_related("skill", "cemetery", "day", "day__cemetery")
    return rows.order_by("-asked_at", "-pk")


def organisers_for(cemetery_id: int | None) -> list[Person]:
    """Return whom to tell: organisers of a cemetery and of the programme (None: of any place)."""
    rows = Membership.objects.filter(role=Membership.Role.ORGANISER)
    if cemetery_id is not None:
        rows = rows.filter(Q(cemetery__isnull=True) | Q(cemetery=cemetery_id))
    people = Person.objects.filter(pk__in=rows.values("person"), erased_at__isnull=True)
    return list(people.exclude(email="").order_by("pk"))
