"""Days of the season: how one is made, who comes, which jobs are meant for it."""

import random
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from coordinator.models import Person
from training.models import Skill
from workdays.models import Block, Cemetery, Job, Party, SignUp, Workday

KIT = {
    "rake": 8,
    "barrow": 4,
    "sprayer": 4,
    "bucket": 6,
    "bar": 3,
    "clamp": 2,
    "hoist": 1,
    "camera": 2,
}
SATURDAY = 5


@dataclass(frozen=True)
class Plan:
    """What a day is to be: where, when, what for."""

    cemetery: Cemetery
    on: date
    capacity: int
    teaches: Skill | None = None
    meeting_point: str = "At the gate"


def saturday_after(day: date) -> date:
    """Return the first Saturday after a date, that date left out."""
    return day + timedelta(days=(SATURDAY - day.weekday() - 1) % 7 + 1)


def make(plan: Plan, *, state: str = Workday.State.OPEN) -> Workday:
    """Make a day from 9:00 to 15:00 with lunch at noon, on the clock of its cemetery."""
    zone = plan.cemetery.zone

    def at(hour: int, minute: int = 0, on: date = plan.on) -> datetime:
        return datetime.combine(on, time(hour, minute), tzinfo=zone)

    evening = at(18, 0, plan.on - timedelta(days=1))
    day = Workday.objects.create(
        cemetery=plan.cemetery,
        purpose=Workday.Purpose.CLINIC if plan.teaches else Workday.Purpose.WORKDAY,
        teaches=plan.teaches,
        state=state,
        starts_at=at(9),
        ends_at=at(15),
        rain_on=plan.on + timedelta(days=1),
        cut_off_at=evening,
        call_by_at=evening,
        meeting_point=plan.meeting_point,
        capacity=plan.capacity,
        fewest_people=4,
        bring="closed shoes, gloves, hat, water, lunch",
        equipment=KIT,
    )
    work = Block.Kind.WORK
    rows = [
        ("morning", work, at(9), at(12)),
        ("lunch", Block.Kind.BREAK, at(12), at(12, 30)),
        ("afternoon", work, at(12, 30), at(15)),
    ]
    for name, kind, starts_at, ends_at in rows:
        Block.objects.create(day=day, name=name, kind=kind, starts_at=starts_at, ends_at=ends_at)
    return day


def come(
    day: Workday,
    people: list[Person],
    guardians: dict[int, Person],
    parties: dict[int, str],
    dice: random.Random,
) -> None:
    """Sign people up; minors with their guardian, parties together, some late, some with a wish."""
    made: dict[str, Party] = {}
    wishes = list(Skill.objects.filter(key__in=["cleaning", "resetting"]))
    for person in people:
        name = parties.get(person.pk, "")
        if name and name not in made:
            made[name] = Party.objects.create(day=day, name=name, leader=person)
        late = dice.random() < 0.15
        SignUp.objects.create(
            day=day,
            person=person,
            party=made.get(name),
            guardian=guardians.get(person.pk),
            state=SignUp.State.COMING,
            comes_at=day.starts_at + timedelta(minutes=45) if late else None,
            wishes=dice.choice(wishes) if person.is_adult and dice.random() < 0.3 else None,
            languages=person.languages,
        )


def jobs_for(cemetery: Cemetery, kinds: list[str], most: int) -> list[Job]:
    """Return the open jobs of some kinds that come first, with the raking of their sections."""
    jobs = Job.objects.filter(cemetery=cemetery, state=Job.State.OPEN, prerequisites=None)
    first = list(jobs.filter(kind__key__in=kinds).order_by("-priority", "pk")[:most])
    raking = jobs.filter(kind__key="raking", section__in={job.section_id for job in first})
    return first + list(raking.order_by("-priority", "pk")[:3])
