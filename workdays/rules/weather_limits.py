"""The limits that hold until a cemetery decides otherwise, each with where it was published."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from workdays.rules.published import COMMON_PRACTICE
from workdays.rules.units import Number, plain
from workdays.rules.weather import UNIT_WORDS, Applies, Comparison, LimitFacts, Measure, Verdict

CLEANER_MAKER = (
    "technical answer of a cleaner maker (name withheld), undated: air and surface above 40 F; "
    "no washing below freezing or with a freeze due overnight"
)
FROST_24 = (
    "technical answer of a cleaner maker (name withheld), undated; 24 h: a cast-stone maker's note "
    "on setting in the cold, read in a copy"
)
LIME = "a lime mortar supplier's working notes, 2012: air and stone 40 to 80 F, and for 48 h after"
LIME_FROST = "GSA Historic Preservation Technical Procedure 04460-10: frost guard 48 h at least"
OSHA = (
    "OSHA, Using the Heat Index: A Guide for Employers, protective measures by risk level, undated"
)
LIGHTNING = (
    "US National Weather Service, lightning safety, undated: stop at the first thunder, start "
    "again 30 minutes after the last"
)

COLDEST_F = Decimal(40)
COLDEST_KEYS = frozenset({"coldest-air", "coldest-stone"})


def coldest_sentence(value: Number, unit: str) -> str:
    """Return the rule on cold for wet work in words."""
    return f"Wet work stops at or below {plain(value)} {UNIT_WORDS.get(unit, unit)}."


def _cold(key: str, measure: Measure) -> LimitFacts:
    return LimitFacts(
        key,
        Applies.WET,
        measure,
        Comparison.AT_OR_BELOW,
        COLDEST_F,
        "F",
        Verdict.OFF,
        coldest_sentence(COLDEST_F, "F"),
        CLEANER_MAKER,
    )


def _lime(
    key: str, measure: Measure, comparison: Comparison, value: int, sentence: str
) -> LimitFacts:
    return LimitFacts(
        key, Applies.BATCH, measure, comparison, Decimal(value), "F", Verdict.OFF, sentence, LIME
    )


def _heat(key: str, applies_to: Applies, value: int, verdict: Verdict, rule: str) -> LimitFacts:
    return LimitFacts(
        key,
        applies_to,
        Measure.HEAT_INDEX,
        Comparison.AT_OR_ABOVE,
        Decimal(value),
        "F",
        verdict,
        rule,
        OSHA,
    )


LIME_COLD = "Lime mortar is not laid at or below 40 \N{DEGREE SIGN}F."
LIME_HOT = "Lime mortar is not laid at or above 80 \N{DEGREE SIGN}F."

DEFAULT_LIMITS: tuple[LimitFacts, ...] = (
    _cold("coldest-air", Measure.AIR),
    _cold("coldest-stone", Measure.STONE),
    LimitFacts(
        "frost-wet",
        Applies.WET,
        Measure.AIR,
        Comparison.AT_OR_BELOW,
        Decimal(0),
        "C",
        Verdict.OFF,
        "No wet work with frost in the 24 hours before or after: water in the stone freezes.",
        FROST_24,
        hours_before=24,
        hours_after=24,
    ),
    LimitFacts(
        "frost-lime",
        Applies.BATCH,
        Measure.AIR,
        Comparison.AT_OR_BELOW,
        Decimal(0),
        "C",
        Verdict.OFF,
        "No lime mortar with frost in the 24 hours before or the 48 hours after.",
        LIME_FROST,
        hours_before=24,
        hours_after=48,
    ),
    _lime("lime-cold-air", Measure.AIR, Comparison.AT_OR_BELOW, 40, LIME_COLD),
    _lime("lime-cold-stone", Measure.STONE, Comparison.AT_OR_BELOW, 40, LIME_COLD),
    _lime("lime-hot-air", Measure.AIR, Comparison.AT_OR_ABOVE, 80, LIME_HOT),
    _lime("lime-hot-stone", Measure.STONE, Comparison.AT_OR_ABOVE, 80, LIME_HOT),
    _heat(
        "heat-91",
        Applies.EVERY,
        91,
        Verdict.WATCH,
        "From 91: water each quarter hour, shaded rest, watch one another.",
    ),
    _heat("heat-103", Applies.HEAVY, 103, Verdict.OFF, "From 103: no resets and no lifting."),
    _heat("heat-115", Applies.EVERY, 115, Verdict.OFF, "From 115: all work stops."),
    LimitFacts(
        "thunder",
        Applies.EVERY,
        Measure.THUNDER,
        Comparison.HAPPENS,
        None,
        "",
        Verdict.OFF,
        "Thunder stops all work until 30 minutes after the last; the next hour is left out whole.",
        LIGHTNING,
        hours_before=1,
    ),
    LimitFacts(
        "gusts-lifting",
        Applies.LIFTING,
        Measure.GUST,
        Comparison.AT_OR_ABOVE,
        Decimal(20),
        "mph",
        Verdict.WATCH,
        "From gusts of 20 mph: take tents down, watch hoists and hanging loads.",
        COMMON_PRACTICE.words,
    ),
)


def with_coldest(
    limits: Iterable[LimitFacts], *, value: Number, unit: str, source: str
) -> tuple[LimitFacts, ...]:
    """Return the limits with a cemetery's own coldest air and stone for wet work."""
    return tuple(
        replace(
            limit,
            value=value,
            unit=unit,
            source=source,
            sentence=coldest_sentence(value, unit),
        )
        if limit.key in COLDEST_KEYS
        else limit
        for limit in limits
    )


def chosen(general: Iterable[LimitFacts], own: Iterable[LimitFacts]) -> tuple[LimitFacts, ...]:
    """Return the general limits, each replaced by a cemetery's own row of the same key."""
    rows = {limit.key: limit for limit in general}
    rows.update({limit.key: limit for limit in own})
    return tuple(rows.values())
