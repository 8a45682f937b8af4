"""The backlog of the season: what each stone needs, and the raking of each section."""

import random
from collections.abc import Iterable

from workdays.models import Cemetery, Job, KindOfWork, Section, Stone

HEAVY = {Stone.Type.OBELISK, Stone.Type.PEDESTAL}


def make(cemetery: Cemetery, stones: Iterable[Stone], dice: random.Random) -> list[Job]:
    """Make a job for each thing a stone needs, and three stretches of raking a section."""
    kinds = {kind.key: kind for kind in KindOfWork.objects.all()}
    jobs = [job for stone in stones for job in _of_stone(stone, kinds, dice)]
    for section in cemetery.sections.all():
        jobs += _raking(section, kinds["raking"], dice)
    return jobs


def _of_stone(stone: Stone, kinds: dict[str, KindOfWork], dice: random.Random) -> Iterable[Job]:
    found = stone.conclusion
    if found is None:
        yield _job(stone, kinds["survey"], 20, dice, fewest=2, most=2)
        return
    cleaned_after = None
    if "reset" in found.needs:
        cleaned_after = _reset(stone, kinds["resetting"], dice)
        yield cleaned_after
    if "clean" in found.needs:
        job = _clean(stone, kinds["cleaning"], dice)
        if cleaned_after:
            job.prerequisites.add(cleaned_after)
        yield job
    if found.kind == "conservator":
        yield _job(stone, kinds["mending"], 240, dice, fewest=2, most=3, lifters=2)


def _clean(stone: Stone, kind: KindOfWork, dice: random.Random) -> Job:
    size = (stone.height_cm or 100) * (stone.width_cm or 50)
    minutes = 30 + round(size / 120 / 5) * 5
    return _job(stone, kind, min(minutes, 150), dice, most=3, equipment={"sprayer": 1, "bucket": 1})


def _reset(stone: Stone, kind: KindOfWork, dice: random.Random) -> Job:
    if stone.type in HEAVY:
        return _job(
            stone, kind, 300, dice, fewest=3, most=5, lifters=2, equipment={"hoist": 1, "bar": 1}
        )
    small = stone.type == Stone.Type.FOOTSTONE
    equipment = {"bar": 1} if small else {"bar": 1, "clamp": 1}
    return _job(
        stone, kind, 90 if small else 180, dice, fewest=2, most=4, lifters=2, equipment=equipment
    )


def _job(
    stone: Stone,
    kind: KindOfWork,
    minutes: int,
    dice: random.Random,
    *,
    fewest: int = 2,
    most: int = 4,
    lifters: int = 0,
    equipment: dict[str, int] | None = None,
) -> Job:
    return Job.objects.create(
        kind=kind,
        cemetery_id=stone.cemetery_id,
        section_id=stone.section_id,
        stone=stone,
        priority=dice.randint(12, 80),
        person_minutes=minutes,
        fewest=fewest,
        most=most,
        lifters=lifters,
        equipment=equipment or {},
    )


def _raking(section: Section, kind: KindOfWork, dice: random.Random) -> list[Job]:
    # Cut into stretches that fit a block: no job is longer than a morning.
    return [
        Job.objects.create(
            kind=kind,
            cemetery_id=section.cemetery_id,
            section=section,
            words=f"{part} third",
            priority=dice.randint(8, 30),
            person_minutes=dice.choice([120, 180, 240]),
            fewest=2,
            most=6,
            equipment={"rake": 2, "barrow": 1},
        )
        for part in ("upper", "middle", "lower")
    ]
