"""A cemetery with jobs of every sort, chosen by a seed, for comparing two ways of judging them."""

import random
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tests import factories
from workdays.models import (
    Cemetery,
    CemeterySetting,
    Conclusion,
    FamilyLeave,
    Job,
    KindOfWork,
    Permission,
    Section,
    Stone,
)
from workdays.queries.blocked import BITS, place_rules, reasons
from workdays.queries.readiness import readiness_of
from workdays.rules.triage import Reason, as_rows

ON = date(2026, 5, 9)
ZONES = ("America/Detroit", "America/Havana", "Pacific/Auckland", "UTC")
# Sentences that speak of the flag, as a reader of the stored text could mistake it.
REASONS: tuple[list[dict[str, str | bool]], ...] = (
    [],
    as_rows([Reason("It wobbles.", "a source", bars_wet=True, cordon=True)]),
    as_rows([Reason('They wrote "bars_wet": true in it.', "a source")]),
    as_rows([Reason("Growth.", "a source"), Reason("Lichen.", "a source", bars_wet=True)]),
    [{"sentence": "stored before the flag was", "source": ""}],
)


def near(on: date, dice: random.Random) -> date:
    """Return a date that is often on, the day before or the day after another."""
    return on + timedelta(days=dice.choice([0, 0, 1, -1, 2, -2, 30, -30, 200, -200]))


def make_place(dice: random.Random, *, jobs: int, on: date = ON) -> Cemetery:
    """Make a cemetery with stones, leave, families and chained jobs of every sort."""
    place = factories.make_cemetery(time_zone=dice.choice(ZONES))
    kinds = list(KindOfWork.objects.all())
    if dice.random() < 0.5:
        _decide(place, "volunteer_resets", dice.random() < 0.5)
    if dice.random() < 0.5:
        _decide(place, "clean_again_months", dice.choice([1, 12, 25]))
    for _ in range(dice.randint(1, 3)):
        _permit(place, kinds, dice, on)
    section = factories.make_section(place)
    stones = [_stone(section, kinds, dice, on) for _ in range(max(3, jobs // 3))]
    made = [_job(place, section, stones, kinds, dice, on) for _ in range(jobs)]
    for job in made:
        for _ in range(dice.choice([0, 0, 1, 2])):
            job.prerequisites.add(dice.choice(made))
    return place


def _decide(place: Cemetery, key: str, value: object) -> None:
    CemeterySetting.objects.create(cemetery=place, key=key, value=value, source="the owner")


def _permit(place: Cemetery, kinds: list[KindOfWork], dice: random.Random, on: date) -> None:
    starts = near(on, dice)
    leave = Permission.objects.create(
        cemetery=place,
        starts_on=starts,
        ends_on=max(starts, near(on, dice)),
        given_by="Alder Township",
        quiet_from=time(0),
        quiet_until=time(12),
    )
    leave.kinds.set(dice.sample(kinds, dice.randint(0, len(kinds))))


def _stone(section: Section, kinds: list[KindOfWork], dice: random.Random, on: date) -> Stone:
    stone = factories.make_stone(section)
    if dice.random() < 0.85:
        factories.conclude(
            stone,
            dice.choice(Conclusion.Kind.values),
            needs=[],
            reasons=dice.choice(REASONS),
            look_again_on=dice.choice([None, near(on, dice)]),
        )
    for _ in range(dice.choice([0, 0, 0, 1, 2])):
        family = FamilyLeave.objects.create(
            stone=stone, name="A family", state=dice.choice(FamilyLeave.State.values)
        )
        family.kinds.set(dice.sample(kinds, dice.randint(0, 3)))
    return stone


def _job(
    place: Cemetery,
    section: Section,
    stones: list[Stone],
    kinds: list[KindOfWork],
    dice: random.Random,
    on: date,
) -> Job:
    state = dice.choice([Job.State.OPEN, Job.State.OPEN, Job.State.DONE, Job.State.DROPPED])
    season = dice.choice([(None, None), (501, 930), (1101, 331), (509, 509), (510, 508)])
    return Job.objects.create(
        kind=dice.choice(kinds),
        cemetery=place,
        section=section,
        stone=dice.choice([*stones, None]),
        state=state,
        done_at=_done_at(place.zone, dice, on) if state == Job.State.DONE else None,
        wait_hours=dice.choice([0, 0, 1, 24, 36, 720]),
        after_winter=dice.random() < 0.2,
        earliest_on=dice.choice([None, None, near(on, dice)]),
        season_first=season[0],
        season_last=season[1],
        priority=dice.randint(1, 100),
    )


def _done_at(zone: ZoneInfo, dice: random.Random, on: date) -> datetime | None:
    """Return a moment near one that matters: midnight, a wait or an interval before the date."""
    if dice.random() < 0.05:
        return None
    back = dice.choice([0, 1, 2, 30, 160, 200, 365, 540, 546, 547, 548, 549, 550, 800])
    at = datetime.combine(on, time(), tzinfo=zone) - timedelta(days=back)
    return at + timedelta(minutes=dice.choice([0, -1, 1, 60, -60, 1380, 1439]))


def by_database(place: Cemetery, on: date) -> dict[int, set[str]]:
    """Return why each open job waits, as the page of jobs is told."""
    found = reasons(place_rules(place), on=on)
    jobs = place.jobs.filter(state=Job.State.OPEN).annotate(found=found)
    return {
        pk: {code for code, bit in BITS.items() if total & bit}
        for pk, total in jobs.values_list("pk", "found")
    }


def by_rule(place: Cemetery, on: date) -> dict[int, set[str]]:
    """Return why each open job waits, as the rule says."""
    jobs = list(place.jobs.filter(state=Job.State.OPEN))
    return {
        pk: {refusal.code for refusal in refusals}
        for pk, refusals in readiness_of(jobs, on).items()
    }
