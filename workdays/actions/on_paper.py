"""Note a waiver that somebody signed on paper, with a picture of it."""

import uuid
from dataclasses import dataclass
from datetime import datetime, time

from django.core.files.base import ContentFile

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays import letters
from workdays.actions.photographs import Written, files_or_nothing
from workdays.actions.replanning import plan_again
from workdays.actions.signing import valid_until
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.pictures import Picture
from workdays.queries.ground import today_at
from workdays.queries.locking import locked_day
from workdays.queries.signatures import is_minor
from workdays.queries.waivers import papers_of
from workdays.rules.eligibility import LIVE
from workdays.rules.on_paper import AFFIRMED, METHOD, Paper, Signer, refusals_to_note
from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import sha256
from workdays.rules.young_people import rules_in

NOON = time(12)
GONE = Refusal("gone", "This sign-up is withdrawn or lapsed: nothing is noted for it.")
ELSEWHERE = Refusal("waiver", "This text is not the one of this place.")


@dataclass(frozen=True)
class Noted:
    """A paper as somebody of the staff describes it; ``name``: as it was signed."""

    paper: Paper
    name: str
    waiver: Waiver
    picture: Picture


def note_paper(sign_up_id: int, noted: Noted, *, by: Person, now: datetime) -> Signature:
    """Keep a paper as a signature that holds from its date on. Noted twice it is kept once.

    Raises Refused.
    """
    with files_or_nothing() as written:
        day = locked_day(SignUp.objects.values_list("day_id", flat=True).get(pk=sign_up_id))
        row = SignUp.objects.select_related("person", "guardian").get(pk=sign_up_id)
        row.day = day
        refuse(_refusals(row, noted, now))
        if (
            earlier := papers_of(row)
            .filter(waiver=noted.waiver, signed_on=noted.paper.signed_on)
            .first()
        ):
            return earlier
        signature = _kept(row, noted, written, by=by, now=now)
        detail = {"day": day.pk, "version": signature.version, "sha256": signature.text_sha256}
        audit.record(audit.by_login(by), "noted a paper", signature, detail)
        if not row.person.is_provisional:
            letters.copy_of_waiver(row, signature)
        plan_again(day)
    return signature


def _refusals(row: SignUp, noted: Noted, now: datetime) -> list[Refusal]:
    if row.state not in LIVE:
        return [GONE]
    place, waiver = row.day.cemetery, noted.waiver
    if waiver.cemetery_id not in (None, place.pk) or waiver.published_at is None:
        return [ELSEWHERE]
    signer = Signer(row.person.name, is_minor(row), row.guardian_id is not None, place.adult_age)
    published_on = waiver.published_at.astimezone(place.zone).date()
    return refusals_to_note(
        noted.paper, signer, published_on=published_on, today=today_at(place, now=now)
    )


def _kept(row: SignUp, noted: Noted, written: Written, *, by: Person, now: datetime) -> Signature:
    paper, waiver, roles = noted.paper, noted.waiver, Signature.Role
    signature = Signature(
        waiver=waiver,
        signed_by=(row.guardian if paper.by_guardian else None) or row.person,
        role=roles.GUARDIAN if paper.by_guardian else roles.SELF,
        relation=paper.relation if paper.by_guardian else "",
        typed_name=noted.name,
        text=waiver.text,
        affirmed=AFFIRMED,
        language=waiver.language,
        **_about(row, noted, by, now),
    )
    written.files.append(signature.paper)
    content = ContentFile(noted.picture.large)
    signature.paper.save(f"{uuid.uuid4().hex}.jpg", content, save=False)
    signature.text_sha256 = sha256(signature.text)
    signature.save(force_insert=True)
    if paper.by_guardian:
        _keep_rules(row, noted, by, now)
    return signature


def _keep_rules(row: SignUp, noted: Noted, by: Person, now: datetime) -> None:
    """Keep the child's own yes to the rules, which stands on the same paper."""
    rules = rules_in(noted.waiver.language)
    Signature.objects.create(
        waiver=noted.waiver,
        signed_by=row.person,
        role=Signature.Role.MINOR,
        typed_name=row.person.name,
        text=rules.text,
        text_sha256=sha256(rules.text),
        affirmed=rules.agreed,
        language=rules.language,
        **_about(row, noted, by, now),
    )


def _about(row: SignUp, noted: Noted, by: Person, now: datetime) -> dict[str, object]:
    day: Workday = row.day
    noon = datetime.combine(noted.paper.signed_on, NOON, tzinfo=day.cemetery.zone)
    return {
        "person": row.person,
        "version": noted.waiver.version,
        "method": METHOD,
        "signed_on": noted.paper.signed_on,
        "signed_at": min(noon, now),
        "confirmed_at": now,
        "valid_until": valid_until(day, noted.waiver),
        "noted_by": by,
        "noted_for": day,
    }
