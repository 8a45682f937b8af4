"""Reasons that bind: what is said to be impossible is, what is said to be taken is."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import pytest

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import RESET, day, good_plan, job, person
from workdays.planner.explain import Reason, explain, grouped
from workdays.planner.possible import Condition, Search
from workdays.planner.room import what_is_left, whole_day
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import violations
from workdays.rules.facts import (
    Crew,
    DayFacts,
    Interval,
    JobFacts,
    PersonPin,
    Plan,
    PlannedJob,
    Weights,
)

NO_POINTS = Weights(**dict.fromkeys(Weights.__dataclass_fields__, 0))
EMPTY = Plan()
# The rules of the checker that each condition for the people of a crew stands for.
RULES = {
    Condition.LIFTERS: {"lifters"},
    Condition.LANGUAGE: {"language"},
    Condition.NEW_PEOPLE: {"new people"},
    Condition.FAMILIES: {"guardian", "minors follow"},
    Condition.APART: {"apart"},
    Condition.LEARNERS: {"trainees per supervisor", "crews per supervisor"},
    Condition.NEAR: {"supervisor"},
    Condition.PINS: {"pin"},
}


def could_be(facts: DayFacts, wanted: JobFacts) -> bool:
    """Whether any plan at all holds a job, by the proof of a day on which only that job counts."""
    jobs = tuple(replace(j, priority=100 * (j.id == wanted.id)) for j in facts.jobs)
    found = solve(replace(facts, jobs=jobs, weights=NO_POINTS), limit=Limit(rounds=50, proof=60))
    assert found.proved
    return found.value.total == 100


def crews_of_the_free(facts: DayFacts, plan: Plan, wanted: JobFacts) -> Iterator[Crew]:
    """Every crew of people without other work that could try a job, with each supervisor."""
    masters = tuple(facts.person) if facts.kind_of(wanted.id).needs_supervisor else (None,)
    for b, block in enumerate(facts.blocks):
        free = [p.id for p in what_is_left(facts, plan).people[b]]
        for size in range(1, len(free) + 1):
            lasts = facts.lasts(wanted.id, size)
            for members in combinations(free, size):
                for start in range(block.start, block.end - lasts + 1):
                    task = PlannedJob(wanted.id, start, start + lasts)
                    for leader in members:
                        for master in masters:
                            yield Crew(b, leader, members, (task,), master)


@pytest.mark.parametrize("ten", range(6))
def test_each_reason_is_true_on_random_days(ten: int) -> None:
    """36 days, each with the plan of a short search and with an empty one."""
    for number in range(6 * ten, 6 * ten + 6):
        facts = random_day(number, people=5, jobs=6)
        short = solve(facts, limit=Limit(rounds=100, proof=0, bound=False)).plan
        possible = {wanted.id: could_be(facts, wanted) for wanted in facts.jobs}
        for plan in (short, Plan(short.crews[:1]), Plan()):
            for reason in explain(facts, plan):
                if reason.what == "job":
                    judge(facts, plan, reason, possible[reason.id])


def judge(facts: DayFacts, plan: Plan, reason: Reason, possible: bool) -> None:
    """Fail unless the reason of a job is true."""
    wanted, said = facts.job[reason.id], f"{reason} on {facts}"
    if reason.kind in Condition.__members__ or reason.kind in {"blocked", "size"}:
        assert not possible, said
    elif reason.kind == "fits":
        assert possible, said
    elif reason.kind.startswith("taken"):
        assert possible or facts.kind_of(wanted.id).needs_supervisor, said
        for crew in crews_of_the_free(facts, plan, wanted):
            assert violations(facts, Plan((*plan.crews, crew))), said


@pytest.mark.parametrize("ten", range(6))
def test_with_the_conditions_before_it_a_crew_breaks_nothing_but_what_is_named(ten: int) -> None:
    """What is missing blocks by itself: the checker objects to a crew without it for that only."""
    for number in range(1000 + 10 * ten, 1010 + 10 * ten):
        facts = random_day(number, people=5, jobs=8)
        for wanted in facts.jobs:
            search = Search(facts, whole_day(facts), wanted)
            missing = search.missing()
            if missing is None or missing < Condition.LIFTERS:
                continue
            crew = search.found(Condition(missing - 1))
            assert crew is not None
            broken = {v.rule for v in violations(facts, Plan((crew,)))} - {"after"}
            later = set().union(*(RULES[c] for c in RULES if c >= missing))
            assert broken & RULES[missing], (missing, crew)
            assert broken <= later


def said(facts: DayFacts, plan: Plan = EMPTY) -> dict[str, str]:
    """The sentences by what they are about."""
    return {f"{reason.what} {reason.id}": reason.sentence for reason in explain(facts, plan)}


def resetting(**changes: object) -> DayFacts:
    """A reset in the morning, for which Ben is the supervisor."""
    kinds = (replace(RESET, label="Resetting"),)
    usual = day(jobs=(job("r1", "reset", lifters=1, windows=(Interval(0, 12),)),), kinds=kinds)
    return replace(usual, **changes)  # type: ignore[arg-type]  # any field of the facts


ANA, BEN = person("ana", name="Ana", levels={"reset": 2}), person("ben", levels={"reset": 3})
HELPER = person("eli", name="Eli", leads=False)


@pytest.mark.parametrize(
    ("people", "sentence"),
    [
        ((), "Nobody who comes may lead resetting."),
        ((replace(ANA, waiver=False),), "Nobody who may lead resetting has a valid waiver."),
        ((ANA, HELPER), "No supervisor of resetting comes."),
        (
            (ANA, HELPER, replace(BEN, waiver=False)),
            "No supervisor of resetting who comes has a valid waiver.",
        ),
        (
            (ANA, HELPER, replace(BEN, arrive=10)),
            "No supervisor of resetting is there before 11:30, and then the time is too short.",
        ),
        (
            (ANA, HELPER, replace(BEN, leave=1)),
            "No supervisor of resetting is there after 09:15, and until then the time is too "
            "short.",
        ),
        (
            (replace(ANA, leave=5), HELPER, replace(BEN, arrive=5, light=True)),
            "No supervisor of resetting is there for long enough at the same time as somebody "
            "who may lead it.",
        ),
        ((BEN,), "It takes 2 people; 1 who may do such work is there."),
        (
            (replace(BEN, leave=6), replace(HELPER, arrive=7)),
            "It takes 2 people or more who may do such work; never so many are there together "
            "for long enough with somebody who may lead it.",
        ),
        (
            (replace(BEN, lift=False), replace(HELPER, lift=False)),
            "It takes 1 who can lift; 0 are there.",
        ),
        (
            (replace(BEN, langs=("en",)), replace(HELPER, langs=("es",))),
            "Too few people share a language with somebody who may lead it.",
        ),
    ],
)
def test_the_day_says_what_no_crew_can_have(people: tuple[object, ...], sentence: str) -> None:
    facts = resetting(people=people, kit={})
    assert said(facts)["job r1"] == sentence


def test_the_supervisor_who_comes_at_eleven_is_named_by_the_hour() -> None:
    """Three hours for four people do not fit into the hour that is left then."""
    late = replace(BEN, arrive=8)
    facts = resetting(people=(ANA, HELPER, late), kit={})
    facts = replace(facts, jobs=tuple(replace(j, minutes=360) for j in facts.jobs))
    want = "No supervisor of resetting is there before 11:00, and then the time is too short."
    assert said(facts)["job r1"] == want


def test_equipment_is_called_by_its_name() -> None:
    labels = {"hoist": "tripod hoist"}
    wanted = replace(resetting().jobs[0], kit={"hoist": 2})
    facts = resetting(jobs=(wanted,), labels=labels)
    assert said(facts)["job r1"] == "It takes 2 x tripod hoist; 1 is there."
    plan = Plan((Crew(0, "ben", ("ben", "eli"), (PlannedJob("r1", 0, 4),), "ben"),))
    [objection] = violations(facts, plan)
    assert objection.sentence == "The morning takes 2 x tripod hoist; 1 is there."


def test_what_the_plan_has_room_for_is_said_with_its_points() -> None:
    kept = tuple(replace(crew, jobs=crew.jobs[:1]) for crew in good_plan().crews)
    facts, plan = day(), Plan(kept)
    sentence = said(facts, plan)["job c2"]
    assert sentence == (
        "The crew of Ana has time for it at 10:00, and the plan would gain 18 points by it: plan "
        "the rest again."
    )
    dear = replace(facts, weights=replace(facts.weights, idle=0))
    cheap = tuple(replace(j, priority=0) for j in dear.jobs)
    sentence = said(replace(dear, jobs=cheap), plan)["job c2"]
    assert sentence.endswith("but the plan would gain nothing by it.")


def test_who_has_other_work_is_said_where_the_day_would_allow_a_job() -> None:
    more = job("c3", "clean", windows=(Interval(0, 12),))
    signed_off = tuple(
        replace(p, levels={"reset": 3} if p.id == "ben" else p.levels) for p in day().people
    )
    facts = day(jobs=(*day().jobs, replace(more, minutes=300)), people=signed_off)
    assert said(facts, good_plan())["job c3"] == "Everybody who may lead clean has other work."
    hoist = job("r2", "reset", kit={"hoist": 1}, windows=(Interval(0, 12),), minutes=200)
    facts = day(jobs=(*day().jobs, hoist), labels={"hoist": "tripod hoist"})
    assert said(facts, good_plan())["job r2"] == (
        "Other crews have the equipment in the hours in which it may be done: it takes 1 x tripod "
        "hoist."
    )


def test_somebody_without_a_place_hears_what_each_crew_says() -> None:
    facts, plan = day(), Plan(good_plan().crews[:4])
    alone = {key: words for key, words in said(facts, plan).items() if key.startswith("person")}
    assert alone.keys() == {"person hal"}
    assert alone["person hal"].startswith("The crew of Dora could take them in the morning, ")
    small = tuple(replace(j, max_people=2) for j in facts.jobs)
    sentence = said(replace(facts, jobs=small), plan)["person hal"]
    assert sentence == (
        "No crew can take them: 2 crews have all the people that the work takes, 1 crew does work "
        "that takes helpers who have learned it before and 1 crew speaks no language of theirs."
    )
    spanish = tuple(
        replace(p, langs=("en",)) if p.id in {"ben", "fay"} else p for p in day().people
    )
    wide = tuple(replace(j, min_people=1, lifters=0) for j in facts.jobs)
    sentence = said(replace(facts, jobs=wide, people=spanish), Plan(plan.crews[:2]))["person hal"]
    assert sentence == "No crew can take them: 2 crews speak no language of theirs."
    pinned = replace(facts, pins=(PersonPin("hal", 0, None), PersonPin("hal", 1, None)))
    assert said(pinned, plan)["person hal"] == "Left out by hand."


def test_a_lesson_that_is_missed_is_said_with_what_it_would_cost() -> None:
    people = tuple(replace(p, goal="clean" if p.id == "eli" else None) for p in day().people)
    facts = day(people=people)
    sentence = said(facts, good_plan())["goal eli"]
    assert sentence.startswith("No crew can take them") or "could take them at clean" in sentence
    nothing = replace(facts, jobs=tuple(j for j in facts.jobs if j.kind != "clean"))
    plan = Plan(tuple(c for c in good_plan().crews if c.leader != "ana"))
    assert said(nothing, plan)["goal eli"] == "No job of clean is ready."


@pytest.mark.parametrize("ten", range(3))
def test_who_is_said_to_fit_in_no_crew_fits_in_none(ten: int) -> None:
    """Every crew of the day with such a person in it breaks a rule, at every job."""
    seen = 0
    for number in range(2000 + 10 * ten, 2010 + 10 * ten):
        facts = random_day(number, people=4, jobs=3)
        for reason in explain(facts, EMPTY):
            if reason.what == "person" and reason.kind.startswith(("person: ", "job: ")):
                seen += 1
                for wanted in facts.jobs:
                    for crew in crews_of_the_free(facts, EMPTY, wanted):
                        with_them = reason.id in crew.members
                        assert not with_them or violations(facts, Plan((crew,))), reason
    assert seen


def test_a_reason_is_said_once_for_all_jobs_of_a_kind_that_it_holds_for() -> None:
    kinds = (replace(RESET, label="Resetting"),)
    jobs = tuple(job(f"r{i}", "reset", name=f"Resetting, A{i}") for i in range(3))
    more = job("r9", "reset", name="Resetting, B9", kit={"hoist": 2}, blocked="It is left alone.")
    facts = day(people=(ANA,), jobs=(*jobs, more), kinds=kinds)
    assert grouped(facts, explain(facts, EMPTY)) == [
        "Resetting, A0, A1 and A2: No supervisor of resetting comes.",
        "Resetting, B9: It is left alone.",
    ]
