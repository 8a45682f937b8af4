"""Pins that clash: the smallest set, found among innocent ones, and never a false alarm."""

from dataclasses import replace

import pytest

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day, good_plan, job, person
from workdays.planner.clash import pin_words, smallest_clash, why_they_clash
from workdays.planner.solve import Limit, solve
from workdays.rules.facts import DayFacts, Interval, JobPin, PersonPin

MORNING, AFTERNOON = 0, 1
Pin = PersonPin | JobPin


def busy_day() -> DayFacts:
    """Twelve people in two languages, two hoists, raking and resetting in both blocks."""
    leaders = tuple(
        person(f"l{i}", name=f"Lead {i}", levels={"reset": 3}, langs=("en",)) for i in range(4)
    )
    helpers = tuple(person(f"h{i}", name=f"Helper {i}", leads=False) for i in range(8))
    jobs = tuple(job(f"k{i}", "rake", name=f"Raking {i}") for i in range(4))
    resets = tuple(job(f"r{i}", "reset", name=f"Reset {i}", kit={"hoist": 1}) for i in range(4))
    usual = day(people=leaders + helpers, jobs=jobs + resets, kit={"hoist": 2})
    return replace(usual, ratios=replace(usual.ratios, trainees_per_supervisor=4))


INNOCENT: tuple[Pin, ...] = (
    *(PersonPin(f"h{i}", AFTERNOON, f"l{i % 4}") for i in range(6)),
    PersonPin("h7", MORNING, None),
    JobPin("k0", AFTERNOON, "l0"),
    JobPin("k1", AFTERNOON, "l1"),
    JobPin("k2", MORNING, "l3"),
)


def held(facts: DayFacts, pins: tuple[Pin, ...]) -> DayFacts:
    """The day with these pins beside the innocent ones, mixed among them."""
    mixed = (*INNOCENT[:5], *pins, *INNOCENT[5:])
    return replace(
        facts,
        pins=tuple(pin for pin in mixed if isinstance(pin, PersonPin)),
        job_pins=tuple(pin for pin in mixed if isinstance(pin, JobPin)),
    )


def test_ten_innocent_pins_hold_together() -> None:
    assert smallest_clash(held(busy_day(), ())) == ()


PLANTED: list[tuple[str, dict[str, object], tuple[Pin, ...], str]] = [
    (
        "kept apart",
        {"apart": (("h0", "h1"),)},
        (PersonPin("h0", MORNING, "l0"), PersonPin("h1", MORNING, "l0")),
        "Helper 0 and Helper 1 are to be kept apart.",
    ),
    (
        "a leader elsewhere",
        {},
        (PersonPin("l1", MORNING, "l0"), JobPin("k3", MORNING, "l1")),
        "Lead 1 is placed 2 times in the morning.",
    ),
    (
        "in the wrong order",
        {},
        (JobPin("r3", MORNING, "l0"), JobPin("k3", AFTERNOON, "l2")),
        "No crews can be made that hold all of this.",
    ),
    (
        "three hoists for two",
        {},
        tuple(JobPin(f"r{i}", MORNING, f"l{i}") for i in range(3)),
        "The morning takes 3 x hoist; 2 are there.",
    ),
    (
        "three helpers in a crew of three",
        {},
        tuple(PersonPin(f"h{i}", MORNING, "l0") for i in range(3)),
        "No crews can be made that hold all of this.",
    ),
    (
        "three jobs that are too long together",
        {},
        tuple(JobPin(key, MORNING, "l1") for key in ("k1b", "k2b", "k3b")),
        "",
    ),
]


@pytest.mark.parametrize(("name", "changes", "pins", "sentence"), PLANTED)
def test_a_planted_clash_is_found_exactly(
    name: str, changes: dict[str, object], pins: tuple[Pin, ...], sentence: str
) -> None:
    facts = replace(busy_day(), **changes)  # type: ignore[arg-type]  # fields of the facts
    jobs = tuple(replace(j, after=("k3",)) if j.id == "r3" else j for j in facts.jobs)
    long = tuple(job(f"k{i}b", "rake", minutes=300, windows=(Interval(0, 12),)) for i in (1, 2, 3))
    most = 3 if "crew of three" in name else 4
    ratios = replace(facts.ratios, max_crew=most, min_crew=1)
    facts = held(replace(facts, jobs=(*jobs, *long), ratios=ratios), pins)
    found = smallest_clash(facts)
    assert set(found) == set(pins)
    if sentence:
        assert sentence in why_they_clash(facts, found)


def test_somebody_who_speaks_no_language_of_the_crew_is_said_in_words() -> None:
    people = tuple(replace(p, langs=("es",)) if p.id == "h0" else p for p in busy_day().people)
    pin = PersonPin("h0", MORNING, "l0")
    facts = held(replace(busy_day(), people=people), (pin,))
    facts = replace(facts, pins=tuple(p for p in facts.pins if p.person != "h0" or p == pin))
    assert smallest_clash(facts) == (pin,)
    assert pin_words(facts, pin) == "Helper 0 is pinned to the crew of Lead 0 in the morning"
    assert why_they_clash(facts, (pin,)) == ["Helper 0 shares no language with Lead 0, who leads."]
    out, lead = PersonPin("h7", MORNING, None), PersonPin("l0", AFTERNOON, "l0")
    assert pin_words(facts, out) == "Helper 7 is kept out of every crew in the morning"
    assert pin_words(facts, lead) == "Lead 0 is pinned to lead a crew in the afternoon"
    assert pin_words(facts, JobPin("k0", 1, "l0")).startswith("Raking 0 is pinned to the crew of")


@pytest.mark.parametrize("number", range(20))
def test_what_a_plan_holds_never_clashes(number: int) -> None:
    """Every placement and job of a good plan, pinned: the model must allow it."""
    facts = random_day(number, people=7, jobs=8)
    plan = solve(facts, limit=Limit(rounds=100, proof=0, bound=False)).plan
    if number == 0:
        facts, plan = day(), good_plan()
    pins = tuple(PersonPin(key, c.block, c.leader) for c in plan.crews for key in c.members)
    jobs = tuple(JobPin(task.job, c.block, c.leader) for c in plan.crews for task in c.jobs)
    assert smallest_clash(replace(facts, pins=pins, job_pins=jobs)) == ()


@pytest.mark.parametrize("number", range(12))
def test_what_is_called_a_clash_no_plan_holds(number: int) -> None:
    """The proof over every plan of a small day agrees that such pins cannot all be held."""
    facts = random_day(100 + number, people=5, jobs=5)
    leaders = [p.id for p in facts.people if p.leads]
    some = leaders[: 1 + number % 3]
    pins = tuple(
        PersonPin(p.id, i % 2, some[i % len(some)] if i != number % 5 else None)
        for i, p in enumerate(facts.people)
    )
    facts = replace(facts, pins=pins)
    if smallest_clash(facts):
        assert solve(facts, limit=Limit(rounds=50, proof=30)).clashes
