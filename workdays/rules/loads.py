"""How much of what the jobs of a day use: water, cleaner, gravel, sand, epoxy, and why so much.

For loading a car, never for mixing: labels, the owner and the conservator decide what touches a
stone. Figures are settings of the cemetery with their source; the others are common practice, no
source, and are said to be. Each stone counts once for each kind of use, whatever jobs it has.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from workdays.rules.amounts import dry, liquid, named, up
from workdays.rules.counting import heads, joined, some
from workdays.rules.kinds import KindFacts
from workdays.rules.published import COMMON_PRACTICE
from workdays.rules.settings import BY_KEY, Value
from workdays.rules.stone_shape import StoneSize
from workdays.rules.units import CM_PER_INCH, LITRES_PER_GALLON, plain

KEYS = (
    *("water_per_cubic_foot", "least_water", "faces_per_gallon", "cleaner_parts"),
    *("gravel_bed_in", "below_ground_fraction"),
)
SPARE_CM = 15  # around a stone that is reset
BROUGHT_PART = Fraction(1, 3)  # of the hole beside it; above that the soil goes back
WET_LAYERS_GALLONS = 1
FILM_CM, EPOXY_SPARE = Fraction(2, 10), Fraction(3, 2)
MOST_NAMED = 8
LAYERS = "a preservation body's tips, 2016; a friends' group's manual: layers tamped and wetted"
SAND = (
    "Strangstad, A Graveyard Preservation Primer: sand and fine gravel, then soil and sod; "
    "a friends' group's manual: no play sand"
)
LABEL = "Its label decides on strength, gloves, eyes and stone."
NO_BLEACH = "National Park Service, video on basic cleaning: no bleach, salt, strong acid or base"
EPOXY = "label of the epoxy; Trinkley, 2013 (second hand): hidden in the break only, no infill"


@dataclass(frozen=True, slots=True)
class LoadJob:
    """A job that uses something. ``place``: the number of its stone, else its section.

    ``clamped``: it holds a bond; ``mixed``: it uses a mixed material; ``sets`` False: the stone is
    only dug free, another job sets it on a later day.
    """

    kind: KindFacts
    place: str
    stone: StoneSize | None = None
    clamped: bool = False
    mixed: bool = False
    sets: bool = True

    @property
    def size(self) -> StoneSize:
        """Return its stone; one of usual size where it has none."""
        return self.stone or StoneSize(self.place)


@dataclass(frozen=True, slots=True)
class Rates:
    """What a cemetery reckons with; the defaults are those of its settings."""

    water_per_cubic_foot: Fraction
    least_water: Fraction
    faces_per_gallon: Fraction
    cleaner_parts: Fraction
    gravel_bed_in: Fraction
    below_ground_fraction: Fraction


@dataclass(frozen=True, slots=True)
class Item:
    """Something to load: how much, in words, how that came about, where it is from."""

    key: str
    name: str
    litres: Fraction
    words: str
    how: tuple[str, ...]
    source: str


def rates_of(settings: Mapping[str, Value]) -> Rates:
    """Return the rates of a cemetery from its settings; what is missing is the default."""
    values = {key: settings.get(key, BY_KEY[key].default) for key in KEYS}
    return Rates(**{key: Fraction(str(value)) for key, value in values.items()})


def items(jobs: Iterable[LoadJob], rates: Rates) -> list[Item]:
    """Return what the jobs use, in the order of the list; what none uses is left out."""
    found = list(jobs)
    cleaned = _stones(job for job in found if job.kind.wets and not job.kind.needs_conservator)
    mended = _stones(job for job in found if job.kind.wets and job.kind.needs_conservator)
    reset = _stones(job for job in found if _resets(job))
    bonded = _stones(job for job in found if _bonds(job))
    made = (
        _water(cleaned, rates),
        _mending_water(mended, rates),
        _layers(reset),
        _cleaner(cleaned, rates),
        _gravel(reset, rates),
        _sand(reset, rates),
        _epoxy(bonded),
    )
    return [item for item in made if item is not None]


def _resets(job: LoadJob) -> bool:
    return job.sets and job.kind.lifts and job.kind.digs and not job.kind.needs_conservator


def _bonds(job: LoadJob) -> bool:
    return job.kind.needs_conservator and job.clamped and not job.mixed


def _stones(jobs: Iterable[LoadJob]) -> list[StoneSize]:
    return list({job.place: job.size for job in jobs}.values())


def _assumed(stones: Sequence[StoneSize]) -> tuple[str, ...]:
    """Return which stones were not measured in full, in a sentence; none: all were."""
    names = [stone.number for stone in stones if not stone.is_measured]
    if not names:
        return ()
    more = len(names) - MOST_NAMED
    shown = joined([*names[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])])
    return (f"Not measured in full, so taken as usual for the type of stone: {shown}.",)


def _water(stones: Sequence[StoneSize], rates: Rates) -> Item | None:
    if not stones:
        return None
    each, least = rates.water_per_cubic_foot, rates.least_water
    gallons = sum(max(stone.cubic_feet * each, least) for stone in stones)
    feet = sum(stone.cubic_feet for stone in stones)
    how = (
        f"{some(len(stones), 'stone')}, {named(feet, 'cubic foot')} as blocks: "
        f"{named(each, 'US gallon')} a cubic foot, at least {named(least, 'US gallon')} a stone."
    )
    litres = gallons * LITRES_PER_GALLON
    source = "settings of the cemetery"
    return Item(
        "water", "Water to clean with", litres, liquid(litres), (how, *_assumed(stones)), source
    )


def _mending_water(stones: Sequence[StoneSize], rates: Rates) -> Item | None:
    litres = len(stones) * rates.least_water * LITRES_PER_GALLON
    if not litres:
        return None
    how = (
        f"{some(len(stones), 'stone')} to mend, {named(rates.least_water, 'US gallon')} each: to "
        "damp the stone, for tools, and clean and kept apart for skin and eyes."
    )
    return Item(
        "mending-water",
        "Clean water to mend with",
        litres,
        liquid(litres),
        (how,),
        COMMON_PRACTICE.words,
    )


def _layers(stones: Sequence[StoneSize]) -> Item | None:
    litres = len(stones) * WET_LAYERS_GALLONS * LITRES_PER_GALLON
    if not litres:
        return None
    how = f"{some(len(stones), 'stone')} to reset, a gallon each to wet the layers."
    source = f"{LAYERS}; how much: {COMMON_PRACTICE.words}"
    return Item("layers", "Water to tamp with", litres, liquid(litres), (how,), source)


def _cleaner(stones: Sequence[StoneSize], rates: Rates) -> Item | None:
    if not stones:
        return None
    feet = sum((stone.square_feet for stone in stones), Fraction())
    used = feet / rates.faces_per_gallon * LITRES_PER_GALLON
    litres = used / (rates.cleaner_parts + 1)
    how = (
        f"{named(feet, 'square foot')} of faces at {plain(rates.faces_per_gallon)} a gallon as it "
        f"is used: {liquid(used)}.",
        f"1 part to {plain(rates.cleaner_parts)} of water."
        if rates.cleaner_parts
        else "Undiluted.",
        LABEL,
    )
    source = f"settings of the cemetery; {NO_BLEACH}"
    return Item("cleaner", "Cleaner", litres, liquid(litres), how, source)


def bed_litres(stone: StoneSize, rates: Rates) -> Fraction:
    """Return the bed of gravel under one stone, with room around it."""
    return _hole_cm2(stone) * rates.gravel_bed_in * CM_PER_INCH / 1000


def side_litres(stone: StoneSize, rates: Rates) -> Fraction:
    """Return what is brought to fill the hole beside a stone: its lowest third."""
    if not stone.stands_in_ground:
        return Fraction()
    height, below = stone.block[0], rates.below_ground_fraction
    hidden = height * below / (1 - below)
    return (_hole_cm2(stone) - stone.foot_cm2) * hidden * BROUGHT_PART / 1000


def _hole_cm2(stone: StoneSize) -> Fraction:
    _, width, thickness = stone.block
    return (width + 2 * SPARE_CM) * (thickness + 2 * SPARE_CM)


def _gravel(stones: Sequence[StoneSize], rates: Rates) -> Item | None:
    if not stones:
        return None
    bed = sum((bed_litres(stone, rates) for stone in stones), Fraction())
    side = sum((side_litres(stone, rates) for stone in stones), Fraction()) / 2
    how = (
        f"{some(len(stones), 'stone')} to reset: a bed of {plain(rates.gravel_bed_in)} inches "
        f"with {SPARE_CM} cm to spare on each side, {up(bed)} litres.",
        f"Fine gravel for half of the lowest third beside it, {up(side)} litres.",
        *_assumed(stones),
    )
    litres = bed + side
    source = f"settings of the cemetery; {LAYERS}; how much beside it: {COMMON_PRACTICE.words}"
    return Item("gravel", "Gravel", litres, dry(litres), how, source)


def _sand(stones: Sequence[StoneSize], rates: Rates) -> Item | None:
    litres = sum((side_litres(stone, rates) for stone in stones), Fraction()) / 2
    if not litres:
        return None
    how = (
        "Sharp sand for the other half of the lowest third beside a stone; no play sand.",
        "Soil that drains and the sod go back above it.",
    )
    return Item(
        "sand", "Sand", litres, dry(litres), how, f"{SAND}; how much: {COMMON_PRACTICE.words}"
    )


def _epoxy(stones: Sequence[StoneSize]) -> Item | None:
    if not stones:
        return None
    breaks = sum(max(1, stone.pieces - 1) for stone in stones)
    area = sum((max(1, stone.pieces - 1) * stone.foot_cm2 for stone in stones), Fraction())
    litres = area * FILM_CM * EPOXY_SPARE / 1000
    how = (
        f"{some(breaks, 'break')}, {up(area)} square centimetres: a film of 2 mm and half again.",
        "Mending with a clamp is counted as a bond. The conservator says which, and whether.",
    )
    return Item(
        "epoxy", "Epoxy", litres, liquid(litres), how, f"{EPOXY}; how much: {COMMON_PRACTICE.words}"
    )


QUART_LITRES = LITRES_PER_GALLON / 4
OSHA_WATER = (
    "OSHA, Using the Heat Index, undated: 4 cups (a quart) an hour at moderate risk, in small "
    "amounts; half of it in cooler weather: common practice, no source"
)


def drinking(people: int, minutes: int, *, hot: bool) -> Item | None:
    """Return the water that people drink; ``hot``: the heat index may reach 91, or is not known."""
    quarts = Fraction(people * minutes, 60) * (1 if hot else Fraction(1, 2))
    if not quarts:
        return None
    litres = quarts * QUART_LITRES
    rate = "a quart an hour" if hot else "half a quart an hour"
    how = f"{heads(people)}, {named(Fraction(minutes, 60), 'hour')}, {rate} each."
    return Item("drinking", "Water to drink", litres, liquid(litres), (how,), OSHA_WATER)


def total_water(found: Iterable[Item]) -> Fraction:
    """Return all the water that touches no mouth, in litres."""
    return sum(
        (item.litres for item in found if item.key in ("water", "mending-water", "layers")),
        Fraction(),
    )
