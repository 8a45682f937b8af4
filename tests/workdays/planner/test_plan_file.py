"""The command: the plan on standard output, the rest on standard error, faults in a sentence."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from workdays.planner.dayfile import day_from_text, plan_from_text
from workdays.rules.crew import violations

DAY = Path(__file__).parents[3] / "fixtures" / "days" / "25x60s1.json"
SMALL = DAY.with_name("8x20s1.json")


def run(*args: str | Path) -> tuple[str, str]:
    """What the command writes."""
    out, err = StringIO(), StringIO()
    call_command("plan_file", *map(str, args), stdout=out, stderr=err, no_color=True)
    return out.getvalue(), err.getvalue()


def test_a_plan_holds_and_comes_with_value_bound_gap_and_seconds() -> None:
    out, err = run(DAY, "--rounds", "100", "--seed", "3")
    assert violations(day_from_text(DAY.read_bytes()), plan_from_text(out)) == []
    assert [line.split()[0] for line in err.splitlines()] == ["value", "bound", "gap", "seconds"]
    assert out == run(DAY, "--rounds", "100", "--seed", "3")[0]


def test_a_plan_stopped_by_the_clock_after_another_plan(tmp_path: Path) -> None:
    before = tmp_path / "before.json"
    before.write_text(run(DAY, "--rounds", "50")[0])
    out, _ = run(DAY, "--seconds", "0.5", "--before", before)
    assert json.loads(out)["crews"]


def test_a_plan_is_only_judged_and_refused_with_its_faults(tmp_path: Path) -> None:
    best = SMALL.with_name("8x20s1.best-plan.json")
    assert "376" in run(SMALL, "--check", best)[1]
    with pytest.raises(SystemExit) as left:
        run(SMALL.with_name("8x20s2.json"), "--check", best)
    assert left.value.code == 1


@pytest.mark.parametrize("name", ["missing.json", "README.md"])
def test_a_file_that_is_no_day_is_refused_with_a_sentence(name: str) -> None:
    with pytest.raises(CommandError, match=r"\.$"):
        run(DAY.with_name(name))


@pytest.mark.parametrize(
    ("limit", "words"),
    [("--seconds=-1", "seconds"), ("--seconds=nan", "seconds"), ("--rounds=-1", "tries")],
)
def test_a_limit_that_is_none_is_refused_with_a_sentence(limit: str, words: str) -> None:
    with pytest.raises(CommandError, match=f"is no number of {words}\\."):
        run(SMALL, limit)


def test_hardly_any_time_still_gives_more_than_the_first_plan() -> None:
    out, err = run(SMALL, "--seconds", "0")
    assert violations(day_from_text(SMALL.read_bytes()), plan_from_text(out)) == []
    assert int(err.split()[1]) > 245  # the constructive plan
