"""What hosts ask for, and what organisers answer; accepting a request makes the clinic."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from coordinator import audit, links
from coordinator.models import Person
from coordinator.refused import refuse
from training.models import Skill
from workdays import booking_mail
from workdays.actions.days import DayWishes, make_day, open_day
from workdays.models import Booking, Cemetery, Host, Workday
from workdays.rules import booking as rules
from workdays.rules.refusals import Refusal


@dataclass(frozen=True)
class BookingWishes:
    """A request as a host writes it."""

    name: str
    contact_name: str
    email: str
    telephone: str
    skill: Skill
    cemetery: Cemetery | None
    place: str
    wished_on: date
    or_on: date | None
    people: int
    words: str = ""

    @property
    def asked(self) -> rules.Asked:
        """Return what the rules judge."""
        return rules.Asked(
            self.wished_on, self.or_on, self.people, bool(self.cemetery or self.place)
        )


def _locked(booking_id: int) -> Booking:
    """Return a request once nobody else holds its row; its host may have changed until then.

    The row is read by itself: joined to the host before, PostgreSQL would find none.
    """
    return Booking.objects.select_for_update().get(pk=booking_id)


@transaction.atomic
def ask_for_clinic(wishes: BookingWishes, *, today: date) -> Booking:
    """Take a request; organisers see it once the mailed link was answered. Raises Refused."""
    refuse(rules.refusals_to_ask(wishes.asked, today=today))
    host = Host.objects.create(
        name=wishes.name,
        contact_name=wishes.contact_name,
        email=wishes.email,
        telephone=wishes.telephone,
    )
    booking = Booking.objects.create(
        host=host,
        cemetery=wishes.cemetery,
        place=wishes.place,
        skill=wishes.skill,
        wished_on=wishes.wished_on,
        or_on=wishes.or_on,
        people=wishes.people,
        words=wishes.words,
    )
    audit.record(audit.by_link(None), "asked", booking, {"host": host.pk})
    booking_mail.ask_to_confirm(booking)
    return booking


def _state_of(booking_id: int) -> str | None:
    booking = Booking.objects.select_related("host").filter(pk=booking_id).first()
    return booking_mail.confirm_state(booking) if booking else None


def booking_of_token(token: str) -> Booking:
    """Return the request that a mailed link confirms. Raises links.Dead."""
    booking_id = links.read(booking_mail.CONFIRM, token, _state_of)
    return Booking.objects.select_related("host", "skill", "cemetery").get(pk=booking_id)


@transaction.atomic
def confirm_booking(token: str, *, now: datetime) -> Booking:
    """Make a request stand: the mailbox answered. Raises links.Dead.

    A host who is known by the same name and mailbox keeps one page for all requests.
    """
    booking = _locked(booking_of_token(token).pk)
    provisional = booking.host
    if provisional.confirmed_at is not None:  # pressed twice at the same moment
        raise links.Dead("used")
    known = _known_host(provisional)
    if known is None:
        provisional.confirmed_at = now
        provisional.save(update_fields=["confirmed_at"])
    else:
        _join(booking, known)
    audit.record(audit.by_link(None), "confirmed", booking, {"host": booking.host_id})
    booking_mail.tell_received(booking)
    return booking


def _known_host(host: Host) -> Host | None:
    known = Host.objects.filter(
        email__iexact=host.email, name__iexact=host.name, confirmed_at__isnull=False
    )
    return known.exclude(pk=host.pk).order_by("pk").first()


def _join(booking: Booking, known: Host) -> None:
    """Give a request to a host who is known; the newer contact counts."""
    provisional = booking.host
    known.contact_name, known.telephone = provisional.contact_name, provisional.telephone
    known.save(update_fields=["contact_name", "telephone"])
    booking.host = known
    booking.save(update_fields=["host"])
    provisional.delete()


@transaction.atomic
def accept_booking(
    booking_id: int, wishes: DayWishes, *, open_now: bool, by: Person, now: datetime
) -> Workday:
    """Make the clinic that a host asked for, by the same rules as any day. Raises Refused."""
    booking = _locked(booking_id)
    refuse(_refusals_to_answer(booking))
    if not wishes.frame.is_clinic:
        refuse([Refusal("not_a_clinic", "A host asks for a clinic: say which skill it teaches.")])
    day = make_day(wishes, by=by, now=now)
    if open_now:
        day = open_day(day.pk, by=by, now=now)
    booking.day = day
    _answer(booking, Booking.State.ACCEPTED, by=by, now=now)
    booking_mail.tell_accepted(booking)
    return day


@transaction.atomic
def refuse_booking(booking_id: int, answer: str, *, by: Person, now: datetime) -> Booking:
    """Say no to a host, with words. Raises Refused."""
    booking = _locked(booking_id)
    refuse(_refusals_to_answer(booking))
    booking.answer = answer
    _answer(booking, Booking.State.REFUSED, by=by, now=now)
    booking_mail.tell_refused(booking)
    return booking


def _refusals_to_answer(booking: Booking) -> list[Refusal]:
    confirmed = booking.host.confirmed_at is not None
    return rules.refusals_to_answer(rules.State(booking.state), confirmed=confirmed)


def _answer(booking: Booking, state: Booking.State, *, by: Person, now: datetime) -> None:
    booking.state, booking.answered_by, booking.answered_at = state, by, now
    booking.save(update_fields=["state", "day", "answer", "answered_by", "answered_at"])
    audit.record(audit.by_login(by), state.value, booking, {"day": booking.day_id})


@transaction.atomic
def withdraw_booking(booking_id: int, *, now: datetime) -> Booking:
    """Take a request back, as its host; a clinic that was made stays until it is called off."""
    booking = _locked(booking_id)
    begun = booking.day is not None and booking.day.starts_at <= now
    refuse(rules.refusals_to_withdraw(rules.State(booking.state), day_begun=begun))
    booking.state = Booking.State.WITHDRAWN
    booking.save(update_fields=["state"])
    audit.record(audit.by_link(None), "withdrew", booking, {"host": booking.host_id})
    booking_mail.tell_withdrawn(booking)
    return booking
