"""What jobs use up, by hand: water, cleaner, gravel, sand, epoxy, water to drink."""

from dataclasses import replace
from fractions import Fraction

import pytest

from workdays.rules.amounts import dry, liquid, water_weight
from workdays.rules.kinds import KindFacts
from workdays.rules.loads import Item, LoadJob, drinking, items, rates_of, total_water
from workdays.rules.stone_shape import StoneSize
from workdays.rules.units import LITRES_PER_GALLON

CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
MENDING = KindFacts("mending", "Mending", touches=True, wets=True, needs_conservator=True)
RATES = rates_of({})
TABLET = StoneSize("A-1", "tablet", 100, 50, 8)


def made(*jobs: LoadJob, **settings: float) -> dict[str, Item]:
    return {item.key: item for item in items(jobs, rates_of(settings))}


def clean(stone: StoneSize | None, place: str = "") -> LoadJob:
    return LoadJob(CLEANING, place or (stone.number if stone else "A-1"), stone)


def test_three_by_three_by_one_foot_needs_nine_gallons_as_published() -> None:
    block = StoneSize("A-1", "tablet", 91.44, 91.44, 30.48)
    water = made(clean(block))["water"]
    assert water.litres == 9 * LITRES_PER_GALLON
    assert water.words == "9 US gallons (35 litres)"
    assert water.how == (
        "1 stone, 9 cubic feet as blocks: 1 US gallon a cubic foot, at least 5 US gallons a stone.",
    )


def test_a_small_stone_gets_the_least_that_is_published_and_each_stone_counts_once() -> None:
    water = made(clean(TABLET), clean(TABLET), clean(replace(TABLET, number="A-2")))["water"]
    assert water.litres == 10 * LITRES_PER_GALLON
    assert water.how[0].startswith("2 stones, 2.9 cubic feet as blocks")  # 2 x 40 l = 2.83 cu ft


def test_a_cemetery_that_reckons_otherwise_is_heard() -> None:
    water = made(clean(TABLET), water_per_cubic_foot=10, least_water=0)["water"]
    assert water.litres / LITRES_PER_GALLON == pytest.approx(14.126, abs=0.001)  # 40 l / 28.317


def test_cleaner_is_reckoned_from_faces_and_its_ratio() -> None:
    # Faces: 2 x 100 x 58 + 50 x 8 = 12,000 square cm = 12.917 square feet; by 50: 0.2583 gallons.
    cleaner = made(clean(TABLET))["cleaner"]
    assert float(cleaner.litres * 129) == pytest.approx(0.97789, abs=0.0001)
    assert cleaner.words == "0.3 fl oz (8 ml)"
    assert cleaner.how[0].startswith("13 square feet of faces at 50 a gallon as it is used: 34 fl")
    assert made(clean(TABLET), cleaner_parts=0)["cleaner"].how[1] == "Undiluted."


def test_gravel_and_sand_fill_a_bed_and_the_lowest_third_of_a_hole() -> None:
    # Hole 80 x 38 cm; bed of 6 in: 46.33 l. As much below as above: (3040 - 400) x 100 / 3 = 88 l.
    found = made(LoadJob(RESETTING, "A-1", TABLET))
    assert float(found["gravel"].litres) == pytest.approx(46.3296 + 44)
    assert found["sand"].litres == 44
    assert found["layers"].litres == LITRES_PER_GALLON
    assert found["sand"].words == "1.6 cubic feet (44 litres), about 71 kg or 157 lb"


def test_what_stands_on_a_base_gets_a_bed_only_and_what_lies_is_counted_lying() -> None:
    pedestal = StoneSize("B-1", "pedestal", 150, 60, 60)
    found = made(LoadJob(RESETTING, "B-1", pedestal))
    assert float(found["gravel"].litres) == pytest.approx(90 * 90 * 15.24 / 1000)
    assert "sand" not in found
    assert StoneSize("L", "ledger", 180, 80, 10).foot_cm2 == 180 * 80


def test_a_stone_that_is_only_dug_free_takes_no_gravel() -> None:
    assert made(LoadJob(RESETTING, "A-1", TABLET, sets=False)) == {}


def test_what_was_not_measured_is_taken_as_usual_and_named() -> None:
    jobs = [clean(StoneSize(f"A-{n}")) for n in range(10)]
    water = made(*jobs, least_water=0)["water"]
    assert water.litres / LITRES_PER_GALLON == pytest.approx(17.657, abs=0.001)  # 10 x 50 l
    assert water.how[1].endswith("A-0, A-1, A-2, A-3, A-4, A-5, A-6, A-7 and 2 more.")
    assert "Old hill" in made(clean(None, "Old hill"))["water"].how[1]


def test_a_bond_is_a_film_over_each_break_and_mortar_is_none() -> None:
    broken = replace(TABLET, pieces=3)  # two breaks of 50 x 8 cm, 2 mm and half again: 240 ml
    job = LoadJob(MENDING, "A-1", broken, clamped=True)
    assert made(job)["epoxy"].litres == Fraction(240, 1000)
    assert made(job)["mending-water"].litres == 5 * LITRES_PER_GALLON
    assert "epoxy" not in made(replace(job, mixed=True))
    assert "epoxy" not in made(replace(job, clamped=False))


def test_no_jobs_need_nothing() -> None:
    assert items([], RATES) == []
    assert items([LoadJob(KindFacts("raking", "Raking"), "Old hill")], RATES) == []


def test_water_in_all_leaves_out_cleaner_and_gravel() -> None:
    found = items([clean(TABLET), LoadJob(RESETTING, "A-1", TABLET)], RATES)
    assert total_water(found) == 6 * LITRES_PER_GALLON


def test_people_drink_a_quart_an_hour_when_it_may_be_hot() -> None:
    hot, mild = (drinking(14, 360, hot=hot) for hot in (True, False))
    assert hot is not None
    assert mild is not None
    assert (hot.litres, mild.litres) == (21 * LITRES_PER_GALLON, LITRES_PER_GALLON * 21 / 2)
    assert hot.how == ("14 people, 6 hours, a quart an hour each.",)
    assert drinking(0, 360, hot=True) is None


def test_amounts_are_said_rounded_up() -> None:
    assert liquid(LITRES_PER_GALLON) == "1 US gallon (3.8 litres)"
    assert liquid(Fraction(1, 1000)) == "0.1 fl oz (1 ml)"
    assert dry(Fraction(283, 10)) == "1 cubic foot (29 litres), about 46 kg or 102 lb"
    assert water_weight(186) == "about 186 kg or 411 lb"
