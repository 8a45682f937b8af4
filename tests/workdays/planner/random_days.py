"""Small random days with every rule in play, the same for the same number."""

from random import Random
from typing import Any

from tests.workdays.rules.crew_days import CLEAN, MEND, RAKE, RESET
from workdays.rules.facts import (
    BlockFacts,
    DayFacts,
    Interval,
    JobFacts,
    PersonFacts,
    Ratios,
    SectionFacts,
)

BLOCKS = (BlockFacts("morning", 0, 6), BlockFacts("afternoon", 7, 12))


def random_day(number: int, *, people: int, jobs: int, **changes: Any) -> DayFacts:
    """A day of two short blocks; `number` is the seed."""
    rng = Random(number)
    usual: dict[str, Any] = {
        "blocks": BLOCKS,
        "people": tuple(random_person(rng, i) for i in range(people)),
        "jobs": tuple(random_job(rng, i) for i in range(jobs)),
        "kinds": (RAKE, CLEAN, RESET, MEND),
        "sections": (SectionFacts("S1"), SectionFacts("S2")),
        "kit": {"sprayer": 1, "hoist": rng.randrange(2)},
        "ratios": Ratios(
            min_crew=rng.choice((1, 2)),
            max_crew=rng.choice((2, 3, 4)),
            crews_per_supervisor=rng.choice((1, 2)),
            trainees_per_supervisor=rng.choice((1, 2)),
            minors_follow=rng.random() < 0.3,
        ),
    }
    return DayFacts(**{**usual, **changes})


def random_person(rng: Random, number: int) -> PersonFacts:
    """Somebody, now and then a minor, late, or with a limit; the first supervises everything."""
    if number == 0:
        everything = {"clean": 3, "reset": 3, "mend": 3}
        return PersonFacts("p0", rng.choice((0, 2)), 12, everything, leads=True)
    adult = rng.random() < 0.85
    return PersonFacts(
        id=f"p{number}",
        arrive=rng.choice((0, 0, 0, 2)),
        leave=rng.choice((12, 12, 9)),
        levels={skill: rng.choice((0, 1, 2, 2, 3)) for skill in ("clean", "reset", "mend")},
        adult=adult,
        guardian=None if adult else f"p{rng.randrange(number)}",
        lift=rng.random() < 0.8,
        light=rng.random() < 0.1,
        leads=rng.random() < 0.8,
        conservator=rng.random() < 0.3,
        waiver=rng.random() < 0.95,
        langs=rng.choice(((), (), ("en",), ("en",), ("en", "es"), ("es",))),
        party=rng.choice((None, None, "g1", "g2")),
        goal=rng.choice((None, None, "clean", "reset")),
        barred=rng.choice(((), (), (), ("rake",))),
    )


def random_job(rng: Random, number: int) -> JobFacts:
    """A job, now and then with hours, equipment or another before it."""
    fewest = rng.choice((1, 1, 2))
    return JobFacts(
        id=f"j{number}",
        kind=rng.choice(("rake", "clean", "clean", "reset", "reset", "mend")),
        section=rng.choice(("S1", "S2")),
        minutes=rng.randrange(15, 120),
        priority=rng.randrange(5, 40),
        min_people=fewest,
        max_people=fewest + rng.choice((0, 1, 2)),
        windows=rng.choice(
            ((Interval(0, 12),), (Interval(0, 12),), (Interval(0, 4), Interval(8, 12)))
        ),
        kit=rng.choice(({}, {}, {"sprayer": 1}, {"hoist": 1})),
        lifters=rng.choice((0, 0, 1)),
        after=(f"j{rng.randrange(number)}",) if number and rng.random() < 0.2 else (),
    )
