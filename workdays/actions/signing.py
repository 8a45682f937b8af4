"""A waiver signed by an act of somebody: the exact text, its hash, how long it holds."""

from dataclasses import dataclass
from datetime import date, datetime

from coordinator.models import Person
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries import days
from workdays.rules.signed_text import sha256

METHOD = "name typed on the page, mailed link answered"


@dataclass(frozen=True)
class Act:
    """What somebody did to sign: the words said yes to, how, the name typed, the text shown.

    ``language``: that of the text where it is not the waiver's own.
    """

    affirmed: str
    method: str
    typed_name: str
    text: str
    role: Signature.Role = Signature.Role.SELF
    relation: str = ""
    language: str = ""


def sign(row: SignUp, waiver: Waiver, act: Act, *, by: Person, now: datetime) -> Signature:
    """Store what ``by`` signed for the person of a sign-up; valid once it is confirmed."""
    return Signature.objects.create(
        waiver=waiver,
        person=row.person,
        signed_by=by,
        role=act.role,
        relation=act.relation,
        typed_name=act.typed_name,
        text=act.text,
        text_sha256=sha256(act.text),
        version=waiver.version,
        language=act.language or waiver.language,
        affirmed=act.affirmed,
        method=act.method,
        signed_at=now,
        valid_until=valid_until(row.day, waiver),
    )


def confirm(signature: Signature, *, now: datetime) -> Signature:
    """Make a signature valid at once: the person stands there, or the mailbox has answered."""
    signature.confirmed_at = now
    signature.save(update_fields=["confirmed_at"])
    return signature


def valid_until(day: Workday, waiver: Waiver) -> date | None:
    """Return the last date on which what is signed for a day holds; None: until a new version."""
    on = days.local_date(day)
    if waiver.validity == Waiver.Validity.DAY:
        return on
    return date(on.year, 12, 31) if waiver.validity == Waiver.Validity.SEASON else None
