"""The revised lifting equation for one person: a warning about a lift, never leave to do it.

Source: National Institute for Occupational Safety and Health, Applications Manual for the Revised
NIOSH Lifting Equation, publication 94-110, 1994, revised 2021 (pages named beside each part; read
in a public transcription). RWL = LC x HM x VM x DM x AM x FM x CM. The two unit systems are no
exact conversions of each other: choose one and convert the inputs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from workdays.rules.units import Number, exact, rounded

LIMITS = (
    "kneeling or sitting",
    "one hand",
    "more than 8 hours",
    "restricted space",
    "an unstable load",
    "a lift while carrying, pushing or pulling",
    "a wheelbarrow or shovel",
    "quick motion",
    "a slippery foothold (wet grass)",
    "air outside 66 to 79 F or 35 to 50 % humidity",
    "more than one person lifting",
)
"""Where the equation does not apply (p. 6); that it is for one person: from memory."""


@dataclass(frozen=True, slots=True)
class Units:
    """One of the manual's two systems: pounds and inches, or kilograms and centimetres (p. 7-11).

    `reach`: horizontal distance that counts as none, and beyond which nothing may be lifted.
    """

    load: Fraction
    reach: tuple[int, int]
    height: int
    height_slope: Fraction
    highest: int
    travel: tuple[int, int]
    travel_part: Fraction


US = Units(exact(51), (10, 25), 30, Fraction(75, 10000), 70, (10, 70), Fraction(18, 10))
METRIC = Units(exact(23), (25, 63), 75, Fraction(3, 1000), 175, (25, 175), Fraction(45, 10))

SHORT, MODERATE, LONG = "short", "moderate", "long"
DURATIONS = (SHORT, MODERATE, LONG)
GOOD, FAIR, POOR = "good", "fair", "poor"

COUPLING: dict[str, tuple[Fraction, Fraction]] = {
    GOOD: (exact(1), exact(1)),
    FAIR: (Fraction("0.95"), exact(1)),
    POOR: (Fraction("0.9"), Fraction("0.9")),
}
"""Table 7, p. 18: hands below 30 in (75 cm), and at or above it."""

FREQUENCIES = (Fraction("0.2"), Fraction("0.5"), *map(Fraction, range(1, 16)))
_ROWS = """
1.00 0.97 0.94 0.91 0.88 0.84 0.80 0.75 0.70 0.60 0.52 0.45 0.41 0.37 0    0    0
1.00 0.97 0.94 0.91 0.88 0.84 0.80 0.75 0.70 0.60 0.52 0.45 0.41 0.37 0.34 0.31 0.28
0.95 0.92 0.88 0.84 0.79 0.72 0.60 0.50 0.42 0.35 0.30 0.26 0    0    0    0    0
0.95 0.92 0.88 0.84 0.79 0.72 0.60 0.50 0.42 0.35 0.30 0.26 0.23 0.21 0    0    0
0.85 0.81 0.75 0.65 0.55 0.45 0.35 0.27 0.22 0.18 0    0    0    0    0    0    0
0.85 0.81 0.75 0.65 0.55 0.45 0.35 0.27 0.22 0.18 0.15 0.13 0    0    0    0    0
"""
FREQUENCY: dict[tuple[str, bool], tuple[Fraction, ...]] = {
    (DURATIONS[place // 2], bool(place % 2)): tuple(Fraction(word) for word in row.split())
    for place, row in enumerate(_ROWS.strip().splitlines())
}
"""Table 5, p. 15: by duration and whether the hands start at 30 in (75 cm) or above."""

PRINTED: dict[tuple[str, Fraction], Fraction] = {
    ("HM", exact(22)): Fraction("0.46"),
    ("HM", exact(23)): Fraction("0.44"),
    ("DM", exact(130)): Fraction("0.86"),
}
"""Cells of tables 1 and 3 that differ from the formula, by their input."""


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift judged at one end: inches or centimetres, degrees, lifts per minute.

    `origin`: height of the hands where the lift began, when `vertical` is that of the other end.
    """

    horizontal: Number
    vertical: Number
    travel: Number
    twist: Number = 0
    per_minute: Number = Fraction("0.2")
    duration: str = SHORT
    coupling: str = POOR
    origin: Number | None = None
    units: Units = US


@dataclass(frozen=True, slots=True)
class Task:
    """One of several tasks of a job: its load and its lift."""

    load: Number
    lift: Lift


def recommended(lift: Lift, *, as_printed: bool = False) -> Fraction:
    """Return the recommended weight limit, in pounds or kilograms.

    `as_printed`: multipliers rounded to two places, as the manual's examples do (p. 29).
    """
    return single_lift_limit(lift, as_printed=as_printed) * frequency_multiplier(lift)


def single_lift_limit(lift: Lift, *, as_printed: bool = False) -> Fraction:
    """Return the limit without regard to frequency (FIRWL, p. 27)."""
    product = lift.units.load
    for name, given, value in _multipliers(lift):
        product *= _two_places(name, given, value) if as_printed else value
    return product


def lifting_index(load: Number, limit: Fraction) -> Fraction | None:
    """Return load by limit; above 1 the risk is raised. None where nothing may be lifted."""
    return exact(load) / limit if limit else None


def composite_index(tasks: Sequence[Task]) -> Fraction | None:
    """Return the index of a job of several tasks (p. 24-28); None where nothing may be lifted.

    The worst task counts in full, each other by what its lifts add to the frequency.
    """
    ordered = sorted(tasks, key=_stress, reverse=True)
    per_minute = accumulate(exact(task.lift.per_minute) for task in ordered)
    index, before = exact(0), exact(0)
    for task, upto in zip(ordered, per_minute, strict=True):
        alone = lifting_index(task.load, single_lift_limit(task.lift))
        now, earlier = (_multiplier_at(task.lift, f) for f in (upto, before))
        if alone is None or not now:
            return None
        index += alone * (1 / now - 1 / earlier if before else 1 / now)
        before = upto
    return index


def frequency_multiplier(lift: Lift) -> Fraction:
    """Return FM, linear between the rows of the table (p. 7); by the hands at the origin."""
    return _multiplier_at(lift, exact(lift.per_minute))


def mean_per_minute(per_minute: Number, minutes: Number) -> Fraction:
    """Return the frequency of work that fills only part of a quarter of an hour (p. 16)."""
    return exact(per_minute) * exact(minutes) / 15


def duration_class(spells: Sequence[tuple[int, int]]) -> str | None:
    """Return the class of spells of lifting, each with the recovery after it, in minutes.

    Spells whose recovery is too short count as one (p. 13, 14). None: over 8 hours.
    """
    longest, running = 0, 0
    for work, recovery in spells:
        running += work
        longest = max(longest, running)
        running = 0 if recovery >= _recovery_after(running) else running
    for most, name in ((60, SHORT), (120, MODERATE), (480, LONG)):
        if longest <= most:
            return name
    return None


def reach_from_depth(depth: Number, vertical: Number, *, units: Units = US) -> Fraction:
    """Return the horizontal distance for a load so deep, when it cannot be measured (p. 8)."""
    low = exact(vertical) < units.reach[0]
    near = (10, 8) if units is US else (25, 20)
    return near[not low] + exact(depth) / 2


def _multipliers(lift: Lift) -> list[tuple[str, Fraction, Fraction]]:
    """Return name, input and value of each multiplier but that of frequency."""
    units = lift.units
    horizontal, vertical = exact(lift.horizontal), exact(lift.vertical)
    travel, twist = exact(lift.travel), exact(lift.twist)
    return [
        ("HM", horizontal, _reach(horizontal, units)),
        ("VM", vertical, _height(vertical, units)),
        ("DM", travel, _travel(travel, units)),
        ("AM", twist, 1 - Fraction(32, 10000) * twist if twist <= 135 else exact(0)),
        ("CM", vertical, COUPLING[lift.coupling][vertical >= units.height]),
    ]


def _reach(horizontal: Fraction, units: Units) -> Fraction:
    near, far = units.reach
    return near / max(horizontal, exact(near)) if horizontal <= far else exact(0)


def _height(vertical: Fraction, units: Units) -> Fraction:
    if vertical > units.highest:
        return exact(0)
    return 1 - units.height_slope * abs(vertical - units.height)


def _travel(travel: Fraction, units: Units) -> Fraction:
    short, far = units.travel
    if travel > far:
        return exact(0)
    return Fraction(82, 100) + units.travel_part / max(travel, exact(short))


def _two_places(name: str, given: Fraction, value: Fraction) -> Fraction:
    return PRINTED.get((name, given), Fraction(rounded(value * 100), 100))


def _multiplier_at(lift: Lift, per_minute: Fraction) -> Fraction:
    start = exact(lift.vertical if lift.origin is None else lift.origin)
    column = FREQUENCY[lift.duration, start >= lift.units.height]
    last = max(f for f, value in zip(FREQUENCIES, column, strict=True) if value)
    if per_minute > last:
        return exact(0)
    f = max(per_minute, FREQUENCIES[0])
    after = next(place for place, row in enumerate(FREQUENCIES) if f <= row)
    if FREQUENCIES[after] == f:
        return column[after]
    low, high = FREQUENCIES[after - 1], FREQUENCIES[after]
    return column[after - 1] + (column[after] - column[after - 1]) * (f - low) / (high - low)


def _stress(task: Task) -> tuple[bool, Fraction]:
    found = lifting_index(task.load, recommended(task.lift))
    return (found is None, found or exact(0))


def _recovery_after(work: int) -> Fraction:
    return Fraction(work) if work <= 60 else Fraction(3 * work, 10)
