"""Sign up for a day: one adult, one form, one signature."""

from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays import invites, letters, waiting_list
from workdays.actions.replanning import plan_again
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries import days, sign_ups, waivers
from workdays.queries.locking import locked_day
from workdays.rules import eligibility
from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import sha256

AFFIRMED = "I have read this and I agree to it."
METHOD = "name typed on the page, mailed link answered"


@dataclass(frozen=True)
class Contact:
    """How to reach a person, and whom to call if something happens to them."""

    telephone: str
    emergency_name: str
    emergency_telephone: str


@dataclass(frozen=True)
class Wishes:
    """What somebody can and wants to do on a day; None for from and to: the whole day."""

    experience: dict[str, str] = field(default_factory=dict)
    wishes_id: int | None = None
    cannot_lift: bool = False
    cannot_kneel: bool = False
    cannot_stand_long: bool = False
    languages: list[str] = field(default_factory=list)
    comes_at: datetime | None = None
    leaves_at: datetime | None = None
    brings: dict[str, int] = field(default_factory=dict)
    words: str = ""


@dataclass(frozen=True)
class Application:
    """One adult's sign-up as it was typed; ``text_sha256`` is that of the waiver on the page."""

    name: str
    email: str
    contact: Contact
    wishes: Wishes
    is_adult: bool
    typed_name: str
    text_sha256: str


@transaction.atomic
def sign_up(
    day_id: int, application: Application, *, now: datetime, person: Person | None = None
) -> SignUp:
    """Take one adult's sign-up: a place held until "yes", or a place on the waiting list.

    ``person`` None: a stranger, for whom a new provisional Person is made whatever the mailbox;
    else somebody who came by their own link and needs no further "yes". Raises Refused.
    """
    day = locked_day(day_id)
    waiting_list.lapse(day, now=now)
    rows = sign_ups.live_rows(day)
    waiver = waivers.current_waiver(day.cemetery)
    facts = sign_ups.open_day(day)
    refuse(_refusals(facts, application, waiver, sign_ups.earlier_state(rows, person), now))
    assert waiver is not None  # noqa: S101  # the rules refuse a sign-up without one
    state = eligibility.place_for(
        facts, sign_ups.in_line(rows), now=now, confirmed=person is not None
    )
    comer = _person(application, person)
    row = _row(day, comer, application.wishes, SignUp.State(state))
    row.held_until = None if person else eligibility.held_until(facts, now=now)
    row.save()
    _sign(row, waiver, application.typed_name, now)
    detail = {"day": day.pk, "state": row.state, "adult_age": day.cemetery.adult_age}
    audit.record(audit.by_link(comer), "signed up", row, detail)
    if person:
        welcome(row, now=now)
    else:
        letters.ask_to_confirm(row)
    return row


def welcome(row: SignUp, *, now: datetime) -> None:
    """Make what was signed valid and mail its copy, then the calendar entry if there is a place."""
    for signature in Signature.objects.filter(person=row.person, confirmed_at__isnull=True):
        signature.confirmed_at = now
        signature.save(update_fields=["confirmed_at"])
        letters.copy_of_waiver(row, signature)
    if row.state == SignUp.State.COMING:
        invites.invite(row.day, row.person.email, now=now)
        plan_again(row.day)


def _refusals(
    facts: eligibility.OpenDay,
    application: Application,
    waiver: Waiver | None,
    earlier: eligibility.State | None,
    now: datetime,
) -> list[Refusal]:
    if waiver is None:
        return [Refusal("no-waiver", "There is no waiver to sign yet; please telephone.")]
    current = application.text_sha256 == sha256(waiver.text)
    comer = eligibility.Comer(application.is_adult, current, earlier)
    return eligibility.refusals_to_sign_up(facts, comer, now=now)


def _person(application: Application, known: Person | None) -> Person:
    values = {
        "telephone": application.contact.telephone,
        "emergency_name": application.contact.emergency_name,
        "emergency_telephone": application.contact.emergency_telephone,
        "languages": application.wishes.languages,
    }
    if known is None:
        return Person.objects.create(
            name=application.name, email=application.email, is_adult=True, **values
        )
    for name, value in values.items():
        setattr(known, name, value)
    known.save(update_fields=[*values])
    return known


def _row(day: Workday, person: Person, wishes: Wishes, state: SignUp.State) -> SignUp:
    return SignUp(day=day, person=person, state=state, **vars(wishes))


def _sign(row: SignUp, waiver: Waiver, typed_name: str, now: datetime) -> Signature:
    return Signature.objects.create(
        waiver=waiver,
        person=row.person,
        signed_by=row.person,
        typed_name=typed_name,
        text=waiver.text,
        text_sha256=sha256(waiver.text),
        version=waiver.version,
        language=waiver.language,
        affirmed=AFFIRMED,
        method=METHOD,
        signed_at=now,
        valid_until=_valid_until(row.day, waiver),
    )


def _valid_until(day: Workday, waiver: Waiver) -> date | None:
    on = days.local_date(day)
    if waiver.validity == Waiver.Validity.DAY:
        return on
    return date(on.year, 12, 31) if waiver.validity == Waiver.Validity.SEASON else None
