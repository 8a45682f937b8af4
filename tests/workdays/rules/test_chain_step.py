from __future__ import annotations

from dataclasses import replace

import pytest

from workdays.rules.chain_step import (
    Mix,
    StepShape,
    Times,
    refusals_to_mix,
    refusals_to_step,
    refusals_to_times,
)

BOND = StepShape(
    times=Times(after=True, wait_hours=24, season_first=501, season_last=930),
    mix=Mix(mixes=True, has_material=True, litres=3),
    here=True,
    lifts=True,
    minutes=(60, 90, 120),
    fewest=2,
    most=3,
    lifters=1,
)


def codes(step: StepShape) -> list[str]:
    return [refusal.code for refusal in refusals_to_step(step)]


def test_a_step_whose_figures_fit_is_taken() -> None:
    assert codes(BOND) == []


@pytest.mark.parametrize(
    ("times", "code"),
    [
        (Times(after=True, wait_hours=17520), None),
        (Times(after=True, wait_hours=17521), "wait"),
        (Times(after=True, wait_hours=-1), "wait"),
        (Times(after=True, after_winter=True), None),
        (Times(after=False, after_winter=True), "winter"),
        (Times(after=False, season_first=501), "season"),
        (Times(after=False, season_first=501, season_last=931), "season"),
        (Times(after=False, season_first=1301, season_last=930), "season"),
        (Times(after=False, season_first=500, season_last=930), "season"),
        (Times(after=False, season_first=229, season_last=229), None),
        (Times(after=False, season_first=1001, season_last=331), None),
    ],
)
def test_absurd_waits_and_days_that_no_year_has_are_refused(times: Times, code: str | None) -> None:
    assert [refusal.code for refusal in refusals_to_times(times)] == ([code] if code else [])


@pytest.mark.parametrize(
    ("mix", "code"),
    [
        (Mix(mixes=False), None),
        (Mix(mixes=True), None),
        (Mix(mixes=True, has_material=True), "litres"),
        (Mix(mixes=True, litres=3), "litres"),
        (Mix(mixes=False, has_material=True, litres=3), "material"),
        (Mix(mixes=True, has_material=True, litres=0), "litres"),
        (Mix(mixes=True, has_material=True, litres=500.5), "litres"),
        (Mix(mixes=True, has_material=True, litres=float("nan")), "litres"),
    ],
)
def test_material_and_litres_go_together(mix: Mix, code: str | None) -> None:
    assert [refusal.code for refusal in refusals_to_mix(mix)] == ([code] if code else [])


@pytest.mark.parametrize(
    ("step", "code"),
    [
        (replace(BOND, fewest=1), "people"),
        (replace(BOND, most=13), "people"),
        (replace(BOND, fewest=4), "people"),
        (replace(BOND, lifters=4), "lifters"),
        (replace(BOND, lifters=0), "lifters"),
        (replace(BOND, here=False), "elsewhere"),
        (replace(BOND, times=Times(after=False, wait_hours=24)), "after"),
        (replace(BOND, minutes=(4, 90, 120)), "minutes"),
        (replace(BOND, minutes=(60, 90, 6001)), "minutes"),
    ],
)
def test_figures_that_do_not_fit_are_refused(step: StepShape, code: str) -> None:
    assert codes(step) == [code]


def test_light_work_needs_nobody_who_lifts() -> None:
    assert codes(replace(BOND, lifts=False, lifters=0)) == []
