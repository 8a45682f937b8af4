"""A small day, valid by default, on which every hard rule can be broken alone."""

from dataclasses import replace
from typing import Any

from workdays.rules.facts import (
    BlockFacts,
    Crew,
    DayFacts,
    Interval,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
    PlannedJob,
    Ratios,
    SectionFacts,
)

CLEAN = KindFacts("clean", "clean", leader_level=2, new_per_competent=2)
RAKE = KindFacts("rake", "rake")
RESET = KindFacts(
    "reset", "reset", leader_level=2, needs_supervisor=True, adults_only=True, lifts=True
)
MEND = KindFacts("mend", "mend", helper_level=1, needs_conservator=True)
WHOLE_DAY = (Interval(0, 24),)


def person(key: str, **changes: Any) -> PersonFacts:
    """Somebody present all day, who may lead, new at everything."""
    return replace(PersonFacts(key, 0, 24, leads=True), **changes)


def job(key: str, kind: str, **changes: Any) -> JobFacts:
    """An hour's work for two in the first section."""
    usual = JobFacts(key, kind, "S1", 120, 10, 2, 4, WHOLE_DAY)
    return replace(usual, **changes)


def day(**changes: Any) -> DayFacts:
    """Nine people, six jobs, two blocks; `good_plan` holds on it."""
    usual = DayFacts(
        blocks=(BlockFacts("morning", 0, 12), BlockFacts("afternoon", 14, 24)),
        people=people(),
        jobs=jobs(),
        kinds=(RAKE, CLEAN, RESET, MEND),
        sections=(SectionFacts("S1"), SectionFacts("S2", 60)),
        kit={"sprayer": 1, "hoist": 1},
        ratios=Ratios(max_crew=4, crews_per_supervisor=1, trainees_per_supervisor=1),
    )
    return replace(usual, **changes)


def people() -> tuple[PersonFacts, ...]:
    """Ben supervises, Ana is signed off, Cy is a minor whose guardian is Dora."""
    return (
        person("ben", name="Ben", levels={"reset": 3, "clean": 3}),
        person("ana", name="Ana", levels={"reset": 2, "clean": 2}, langs=("en",)),
        person("cy", name="Cy", adult=False, guardian="dora", leads=False),
        person("dora", name="Dora", langs=("en", "es")),
        person("eli", name="Eli", levels={"clean": 1}, goal="reset"),
        person("fay", name="Fay", levels={"mend": 1}, conservator=True),
        person("gus", name="Gus", light=True, levels={"mend": 1}),
        person("hal", name="Hal", langs=("es",)),
        person("ivy", name="Ivy", lift=False),
    )


def jobs() -> tuple[JobFacts, ...]:
    """Two jobs of each sort that the good plan needs."""
    return (
        job("r1", "reset", lifters=2, minutes=180, kit={"hoist": 1}),
        job("c1", "clean", kit={"sprayer": 1}),
        job("c2", "clean", after=("c1",)),
        job("k1", "rake"),
        job("k2", "rake", section="S2"),
        job("m1", "mend"),
    )


def good_plan() -> Plan:
    """A plan that breaks no rule: a reset, cleaning in order, mending, raking with a minor."""
    return Plan(
        (
            Crew(0, "ben", ("ben", "eli"), (PlannedJob("r1", 0, 6),), "ben"),
            Crew(0, "ana", ("ana", "ivy"), (PlannedJob("c1", 0, 4), PlannedJob("c2", 4, 8))),
            Crew(0, "dora", ("dora", "cy"), (PlannedJob("k1", 1, 5),)),
            Crew(0, "fay", ("fay", "gus"), (PlannedJob("m1", 0, 4),)),
            Crew(1, "dora", ("dora", "cy", "hal"), (PlannedJob("k2", 14, 17),)),
        )
    )
