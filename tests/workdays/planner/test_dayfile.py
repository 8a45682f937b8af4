"""Days and plans as JSON: read back as written, refused with one clear sentence."""

import json
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.workdays.rules.crew_days import day, good_plan
from workdays.planner.dayfile import day_from_text, plan_from_text
from workdays.planner.rows import NotADayError
from workdays.planner.writing import day_to_json, facts_hash, plan_to_json
from workdays.rules.facts import JobPin, PersonPin

DAYS = Path(__file__).parents[3] / "fixtures" / "days"
EXAMPLE = json.loads((DAYS / "8x20s1.json").read_text())


def test_a_day_with_everything_is_read_back_as_it_was_written() -> None:
    facts = replace(
        day(),
        pins=(PersonPin("hal", 1, None), PersonPin("ivy", 0, "ana")),
        job_pins=(JobPin("k1", 0, "dora"),),
        apart=(("hal", "gus"),),
        together=(("fay", "gus"),),
        before=good_plan(),
        now=3,
        max_moved=2,
    )
    again = day_from_text(json.dumps(day_to_json(facts)))
    assert again == facts
    assert facts_hash(again) == facts_hash(facts)
    assert facts_hash(day()) != facts_hash(facts)


@pytest.mark.parametrize("name", ["8x20s1", "25x60s2", "400x1000s1"])
def test_an_example_day_is_read_with_its_three_kinds_of_work(name: str) -> None:
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    people, jobs = name.split("s")[0].split("x")
    assert (len(facts.people), len(facts.jobs)) == (int(people), int(jobs))
    assert [kind.id for kind in facts.kinds] == ["rake", "clean", "reset"]
    assert facts.kind["clean"].new_per_competent == 2


def test_a_plan_is_read_alone_or_beside_its_value() -> None:
    alone = json.dumps(plan_to_json(good_plan()))
    assert plan_from_text(alone) == good_plan()
    assert plan_from_text(json.dumps({"plan": plan_to_json(good_plan())})) == good_plan()


def changed(**fields: Any) -> str:
    """The example day with top fields replaced."""
    return json.dumps({**EXAMPLE, **fields})


def first(what: str, **fields: Any) -> str:
    """The example day with fields of its first person, job, ... replaced."""
    found = deepcopy(EXAMPLE)
    found[what][0].update(fields)
    return json.dumps(found)


BAD = [
    "",
    "[]",
    "no",
    "[" * 100_000,
    "9" * 5000,
    "{}",
    changed(people=None),
    changed(people={}),
    changed(people=[3]),
    changed(jobs=[[]]),
    changed(blocks=[]),
    changed(blocks=[{"start": 5, "end": 2}]),
    changed(blocks=[{"start": 0, "end": 9}, {"start": 8, "end": 12}]),
    changed(slot_minutes=0),
    changed(kit={"hoist": -1}),
    changed(kit=[1]),
    changed(weights={"idle": 0.5}),
    changed(rules=7),
    changed(sections=[]),
    changed(kinds=[]),
    changed(people=EXAMPLE["people"] * 2),
    changed(jobs=EXAMPLE["jobs"] * 2),
    changed(apart=[["p1"]]),
    changed(apart=["p1"]),
    changed(apart=[["p1", "nobody"]]),
    changed(together=[["p1", 2]]),
    changed(pins=[{"person": "nobody", "block": 0}]),
    changed(pins=[{"person": "p1", "block": 9}]),
    changed(job_pins=[{"job": "j99", "block": 0, "leader": "p1"}]),
    changed(before={"crews": 1}),
    first("people", arrive="9"),
    first("people", arrive=True),
    first("people", arrive=None),
    first("people", adult="yes"),
    first("people", id=""),
    first("people", langs="en"),
    first("people", langs=[1]),
    first("people", party=3),
    first("people", levels={"rake": 10**9}),
    first("jobs", kind="dance"),
    first("jobs", window=None),
    first("jobs", window=[1]),
    first("jobs", window=[0, "x"]),
    first("jobs", window=[0, True]),
    first("jobs", windows=[[0, 1.5]]),
    first("jobs", x="far"),
    first("jobs", x=float("nan")),
    first("jobs", x=float("inf")),
]


@pytest.mark.parametrize("text", BAD, ids=range(len(BAD)))
def test_what_is_no_day_is_refused_with_one_sentence(text: str) -> None:
    with pytest.raises(NotADayError) as refused:
        day_from_text(text)
    sentence = str(refused.value)
    assert sentence.endswith(".")
    assert len(sentence) < 200


@pytest.mark.parametrize("text", ["", "{}", '{"plan": 1}', '{"crews": [{"block": "x"}]}'])
def test_what_is_no_plan_is_refused(text: str) -> None:
    with pytest.raises(NotADayError):
        plan_from_text(text)
