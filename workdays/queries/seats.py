"""Seats offered and wanted for a day: by place only, with names once both have agreed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from workdays.models import SeatRequest, SignUp, Workday
from workdays.rules import seats as rules
from workdays.rules.seats import State, Traveller


@dataclass(frozen=True)
class Place:
    """Seats from one place, of nobody who is named; ``seats`` that one may ask for or offer."""

    number: int
    where: str
    count: int
    seats: int
    is_offer: bool


@dataclass(frozen=True)
class Question:
    """A question of one's own about seats, or to oneself."""

    request: SeatRequest
    me: SignUp
    is_live: bool

    @property
    def other(self) -> SignUp:
        """Return the other of the two."""
        return self.request.other(self.me)

    @property
    def drives(self) -> bool:
        """Return whether the seats are one's own."""
        return self.request.driver_id == self.me.pk

    @property
    def is_agreed(self) -> bool:
        """Return whether each may know the other."""
        return self.is_live and self.request.state == State.AGREED

    @property
    def waits_for_me(self) -> bool:
        """Return whether one is asked for an answer."""
        asked = self.is_live and self.request.state == State.ASKED
        return asked and self.request.asked.pk == self.me.pk


@dataclass(frozen=True)
class SeatsPage:
    """Who offers and who wants seats, and what oneself has asked or been asked."""

    me: Traveller
    where: str
    offers: list[Place]
    wants: list[Place]
    questions: list[Question]
    is_open: bool


def requests_of(day: Workday) -> list[SeatRequest]:
    """Return every question of a day; one statement."""
    both = ("driver__person", "rider__person", "driver__day", "rider__day")
    return list(SeatRequest.objects.filter(driver__day=day).select_related(*both))


def traveller(row: SignUp, requests: Iterable[SeatRequest]) -> Traveller:
    """Return one sign-up as the rules see it."""
    agreed = [request for request in requests if request.state == State.AGREED]
    return Traveller(
        comes=row.state == SignUp.State.COMING,
        adult=row.person.is_adult,
        offered=row.seats_offered,
        wanted=row.seats_wanted,
        given=sum(request.seats for request in agreed if request.driver_id == row.pk),
        got=sum(request.seats for request in agreed if request.rider_id == row.pk),
    )


def is_ahead(day: Workday, *, now: datetime) -> bool:
    """Return whether seats can still be asked for and agreed on."""
    return day.state == Workday.State.OPEN and now < day.starts_at


def question(request: SeatRequest, me: SignUp, *, now: datetime) -> Question:
    """Return a question as one of the two sees it; dead once one does not come or all is over."""
    coming = SignUp.State.COMING
    both = request.driver.state == coming and request.rider.state == coming
    on = me.day.state == Workday.State.OPEN and now < me.day.ends_at
    return Question(request, me, both and on and request.state in rules.LIVE)


def seats_page(me: SignUp, *, now: datetime) -> SeatsPage:
    """Return the page of seats of a day for one who comes; two statements."""
    requests = requests_of(me.day)
    mine = traveller(me, requests)
    asked = {request.other(me).pk for request in requests if _is_between(request, me)}
    says = Q(seats_offered__gt=0) | Q(seats_wanted__gt=0)
    rows = SignUp.objects.filter(says, day=me.day_id, state=SignUp.State.COMING)
    others = rows.exclude(pk=me.pk).filter(person__is_adult=True).select_related("person")
    places = [
        _place(row, traveller(row, requests), mine, is_new=row.pk not in asked)
        for row in others.order_by("seats_from", "pk")
    ]
    return SeatsPage(
        me=mine,
        where=me.seats_from,
        offers=[place for place in places if place.is_offer and place.count],
        wants=[place for place in places if not place.is_offer and place.count],
        questions=[question(r, me, now=now) for r in requests if _is_between(r, me)],
        is_open=mine.comes and is_ahead(me.day, now=now),
    )


def _is_between(request: SeatRequest, me: SignUp) -> bool:
    return me.pk in (request.driver_id, request.rider_id)


def _place(row: SignUp, other: Traveller, mine: Traveller, *, is_new: bool) -> Place:
    is_offer = row.seats_offered > 0
    seats = rules.seats_between(other, mine) if is_offer else rules.seats_between(mine, other)
    return Place(
        number=row.pk,
        where=row.seats_from,
        count=other.left if is_offer else other.still_wants,
        seats=seats if is_new else 0,
        is_offer=is_offer,
    )
