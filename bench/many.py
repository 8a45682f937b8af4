"""A cemetery of many stones and jobs, the same each time: what the measurements run on."""

from datetime import date, datetime, timedelta
from itertools import cycle, islice, pairwise

from workdays.models import (
    Cemetery,
    Conclusion,
    FamilyLeave,
    Job,
    KindOfWork,
    Permission,
    Section,
    Stone,
)

SECTIONS, ROWS = 10, 10
BATCH = 500
NEEDS: tuple[list[str], ...] = (
    ["clean"],
    ["reset"],
    ["clean", "reset"],
    ["clean"],
    [],
    ["look_again"],
    ["clean"],
)
KINDS = ("cleaning", "resetting", "recording", "cleaning", "survey", "resetting", "mending")
TYPES = ("tablet", "shouldered", "obelisk", "tablet", "ledger", "pedestal", "footstone")


def make_ground(name: str, *, stones: int) -> Cemetery:
    """Make a cemetery with stones in ten sections, nine in ten of them surveyed."""
    place = Cemetery.objects.create(
        name=name, slug=name.lower().replace(" ", "-"), owner_name="A township", address="A road"
    )
    sections = [
        Section.objects.create(cemetery=place, name=f"Section {n + 1}", order=n, east_m=60 * n)
        for n in range(SECTIONS)
    ]
    rows = [_stone(place, sections[n % SECTIONS], n) for n in range(stones)]
    made = Stone.objects.bulk_create(rows, batch_size=BATCH)
    seen = [_conclusion(stone, n) for n, stone in enumerate(made) if n % 10]
    for conclusion in Conclusion.objects.bulk_create(seen, batch_size=BATCH):
        conclusion.stone.conclusion = conclusion
    Stone.objects.bulk_update(made, ["conclusion"], batch_size=BATCH)
    return place


def _stone(place: Cemetery, section: Section, n: int) -> Stone:
    within = n // SECTIONS
    row, position = within % ROWS + 1, within // ROWS + 1
    return Stone(
        cemetery=place,
        section=section,
        number=f"{n + 1:05d}",
        row=row,
        position=position,
        type=TYPES[n % len(TYPES)],
        material=Stone.Material.MARBLE,
        height_cm=40 + n % 90,
        width_cm=40,
        thickness_cm=8,
        name_on_stone=f"Stone of household {n % 700}",
        year_on_stone=1820 + n % 90,
    )


def _conclusion(stone: Stone, n: int) -> Conclusion:
    kind = {3: Conclusion.Kind.LEAVE_ALONE, 7: Conclusion.Kind.CONSERVATOR}.get(n % 20)
    return Conclusion(
        stone=stone,
        kind=kind or Conclusion.Kind.NEEDS,
        needs=[] if kind else NEEDS[n % len(NEEDS)],
        reasons=[{"sentence": "Seen on the last look.", "source": "a survey"}],
        look_again_on=date(2027, 1, 1) if n % 17 else date(2026, 1, 1),
    )


def make_jobs(place: Cemetery, *, jobs: int, now: datetime) -> None:
    """Add jobs, one in ten done, every third waiting for another; leave, and some families."""
    kinds = {kind.key: kind for kind in KindOfWork.objects.all()}
    leave = Permission.objects.create(
        cemetery=place,
        starts_on=now.date() - timedelta(days=30),
        ends_on=now.date() + timedelta(days=200),
        given_by="The township",
    )
    leave.kinds.set(kind for kind in kinds.values() if not kind.needs_conservator)
    stones = list(islice(cycle(place.stones.order_by("pk")), jobs))
    rows = [_job(stone, kinds[KINDS[n % len(KINDS)]], n, now) for n, stone in enumerate(stones)]
    made = Job.objects.bulk_create(rows, batch_size=BATCH)
    links = Job.prerequisites.through
    links.objects.bulk_create(
        [
            links(from_job=later, to_job=first)
            for n, (first, later) in enumerate(pairwise(made))
            if n % 3 == 0
        ],
        batch_size=BATCH,
    )
    for stone in stones[:: max(1, jobs // 100)]:
        family = FamilyLeave.objects.create(stone=stone, name="A family", state="asked")
        family.kinds.set([kinds["cleaning"]])


def _job(stone: Stone, kind: KindOfWork, n: int, now: datetime) -> Job:
    done = n % 10 == 4
    return Job(
        kind=kind,
        cemetery_id=stone.cemetery_id,
        section_id=stone.section_id,
        stone=stone,
        priority=n * 37 % 100 + 1,
        person_minutes=30 + n % 5 * 30,
        lifters=2 if kind.lifts else 0,
        state=Job.State.DONE if done else Job.State.OPEN,
        done_at=now - timedelta(days=n % 900, hours=1) if done else None,
        wait_hours=24 if n % 11 == 0 else 0,
        after_winter=n % 29 == 0,
        earliest_on=date(2027, 3, 1) if n % 31 == 0 else None,
        season_first=501 if n % 37 == 0 else None,
        season_last=930 if n % 37 == 0 else None,
    )
