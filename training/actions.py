"""Writes about what people learn: proposals, countersigns, sign-offs. Rows are only added."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import IntegrityError, transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from training.models import (
    ClinicAttendance,
    Countersign,
    HoursEntry,
    Revocation,
    SignOff,
    Skill,
)
from training.queries import standing_of
from training.rules.countersign import Word, refusals_to_countersign, refusals_to_sign_off
from training.rules.hours import Proposal


@dataclass(frozen=True)
class Place:
    """Where and when hours were earned, in plain values: training knows no workdays."""

    cemetery_number: int
    name: str
    on: date


def propose(proposals: Iterable[Proposal], place: Place) -> int:
    """Add the hours that a day earned; the same day again adds nothing. Return how many rows."""
    skills = {skill.key: skill.pk for skill in Skill.objects.all()}
    rows = [
        HoursEntry(
            person_id=proposal.person,
            skill_id=skills[proposal.skill],
            day_number=proposal.day,
            block_number=proposal.block,
            placement_number=proposal.placement,
            cemetery_number=place.cemetery_number,
            place=place.name,
            on=place.on,
            minutes=proposal.minutes,
            stones=proposal.stones,
            supervisor_id=proposal.supervisor,
        )
        for proposal in proposals
    ]
    before = HoursEntry.objects.count()
    HoursEntry.objects.bulk_create(rows, ignore_conflicts=True)
    return HoursEntry.objects.count() - before


def attended(
    people: Iterable[int], skill: Skill, place: Place, *, day_number: int, by: Person | None
) -> None:
    """Record that these people took part in a clinic; once per person, skill and date."""
    ClinicAttendance.objects.bulk_create(
        (
            ClinicAttendance(
                person_id=person,
                skill=skill,
                day_number=day_number,
                cemetery_number=place.cemetery_number,
                on=place.on,
                recorded_by=by,
            )
            for person in people
        ),
        ignore_conflicts=True,
    )


@transaction.atomic
def countersign(entry: HoursEntry, word: Word, *, by: Person) -> Countersign:
    """Add a supervisor's word on an entry; the newest counts.

    Raises Refused when the person is no supervisor of the skill there, signs for themselves, or
    the minutes are more than were proposed.
    """
    row = HoursEntry.objects.select_for_update().select_related("skill").get(pk=entry.pk)
    levels = standing_of([by.pk], cemetery_number=row.cemetery_number, on=row.on)[by.pk]
    refusals = refusals_to_countersign(
        word,
        proposed=row.minutes,
        stones=row.stones,
        level=levels[row.skill.key],
        own=by.pk == row.person_id,
        skill=row.skill.name,
    )
    if refusals:
        raise Refused(refusals)
    made = Countersign.objects.create(
        entry=row,
        decision=word.decision,
        minutes=word.minutes,
        stones=word.stones,
        why=word.why,
        by=by,
    )
    detail = {"decision": word.decision, "minutes": word.minutes, "why": bool(word.why)}
    audit.record(audit.by_login(by), "countersigned", row, detail)
    return made


def _judge(by: Person, person: Person, skill: Skill, numbers: list[int], on: date) -> None:
    """Raise Refused unless somebody may judge another in a skill at these cemeteries."""
    levels = [
        standing_of([by.pk], cemetery_number=number, on=on)[by.pk][skill.key]
        for number in numbers or [0]  # no cemetery has the number 0: a sign-off for all counts
    ]
    refusals = refusals_to_sign_off(min(levels), own=person == by, skill=skill.name)
    if refusals:
        raise Refused(refusals)


@transaction.atomic
def sign_off(
    person: Person,
    skill: Skill,
    level: SignOff.Level,
    *,
    by: Person,
    on: date,
    cemetery_numbers: Iterable[int] = (),
    words: str = "",
) -> SignOff:
    """Record the judgement that a person holds a level from a date on.

    Raises Refused unless the judge is a supervisor of the skill, and somebody else.
    """
    numbers = sorted(cemetery_numbers)
    _judge(by, person, skill, numbers, on)
    made = SignOff.objects.create(
        person=person,
        skill=skill,
        level=level,
        by=by,
        on=on,
        cemetery_numbers=numbers,
        words=words,
    )
    audit.record(audit.by_login(by), "signed off", made, {"level": level, "skill": skill.key})
    return made


@transaction.atomic
def revoke(row: SignOff, *, by: Person, on: date, why: str) -> Revocation:
    """End a sign-off from a date on; a second time gives the revocation that is there.

    Raises Refused unless the judge is a supervisor of the skill, and somebody else.
    """
    _judge(by, row.person, row.skill, row.cemetery_numbers, on)
    try:
        with transaction.atomic():
            made = Revocation.objects.create(sign_off=row, by=by, on=on, why=why)
    except IntegrityError:
        return Revocation.objects.get(sign_off=row)
    audit.record(audit.by_login(by), "revoked", row, {"on": on.isoformat()})
    return made
