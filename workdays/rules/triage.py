"""Conclude from one survey what a stone needs, and judge which work may touch it.

A conclusion is one of: leave alone; for a conservator; a set of needs (empty: sound). No survey
is None, "not seen". What is unknown counts as the stricter case.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from workdays.rules.kinds import KindFacts
from workdays.rules.published import COMMON_PRACTICE, Source
from workdays.rules.refusals import Refusal


class Sign(StrEnum):
    """Something that a survey saw or heard on a stone."""

    SUGARING = "sugaring"
    FLAKING = "flaking"
    CRACKS = "cracks"
    HOLLOW = "hollow"
    FIRE = "fire"
    WOBBLE = "wobble"
    TIGHT_LICHEN = "tight_lichen"
    OLD_REPAIR = "old_repair"
    LOOSE_PIECES = "loose_pieces"
    BROKEN_THROUGH = "broken_through"
    FALLEN = "fallen"
    SUNK = "sunk"
    GROWTH = "growth"


SIGN_WORDS: dict[Sign, str] = {
    Sign.SUGARING: "grains come off (sugaring)",
    Sign.FLAKING: "flaking or scaling",
    Sign.CRACKS: "cracks",
    Sign.HOLLOW: "hollow sound when tapped",
    Sign.FIRE: "was in a fire",
    Sign.WOBBLE: "wobbles",
    Sign.TIGHT_LICHEN: "lichen that sits tight",
    Sign.OLD_REPAIR: "old cement or iron",
    Sign.LOOSE_PIECES: "pieces loose or missing",
    Sign.BROKEN_THROUGH: "broken through",
    Sign.FALLEN: "lies on the ground",
    Sign.SUNK: "sunk",
    Sign.GROWTH: "growth or dirt",
}


class Lean(StrEnum):
    """The way a stone leans; unknown counts as the worse one."""

    FRONT_OR_BACK = "front_or_back"
    SIDE = "side"
    UNKNOWN = "unknown"


class Kind(StrEnum):
    """What kind of conclusion was drawn; the words in which it is stored."""

    LEAVE_ALONE = "leave_alone"
    CONSERVATOR = "conservator"
    NEEDS = "needs"


class Need(StrEnum):
    """One thing a stone needs that trained people may do."""

    RESET = "reset"
    CLEAN = "clean"
    LOOK_AGAIN = "look_again"


class Mark(StrEnum):
    """The one state that a drawing of a stone shows, gravest first; not seen stands apart."""

    LEAVE_ALONE = "leave_alone"
    CONSERVATOR = "conservator"
    RESET = "reset"
    CLEAN = "clean"
    LOOK_AGAIN = "look_again"
    SOUND = "sound"
    NOT_SEEN = "not_seen"


MARK_WORDS: dict[Mark, str] = {
    Mark.LEAVE_ALONE: "leave alone",
    Mark.CONSERVATOR: "conservator",
    Mark.RESET: "reset",
    Mark.CLEAN: "clean",
    Mark.LOOK_AGAIN: "look again",
    Mark.SOUND: "sound",
    Mark.NOT_SEEN: "not seen",
}


@dataclass(frozen=True, slots=True)
class SurveyFacts:
    """One look at one stone.

    `stone_type` and `material` are the stored words (tablet, obelisk, ledger …; marble, slate …);
    a material "unknown" was not told. None means not measured. `tapped` says whether the stone
    was tapped at all; a hollow sound is a sign.
    """

    on: date
    signs: frozenset[Sign] = frozenset()
    stone_type: str = "other"
    tapped: bool = False
    lean_degrees: float | None = None
    lean: Lean = Lean.UNKNOWN
    height_above_cm: int | None = None
    depth_sunk_cm: int | None = None
    material: str = "unknown"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a conclusion was drawn. `bars_wet`: nothing wet until it is gone; `cordon`: keep off."""

    sentence: str
    source: str
    bars_wet: bool = False
    cordon: bool = False


@dataclass(frozen=True, slots=True)
class Conclusion:
    """What triage says of a stone, with reasons.

    `needs` is empty unless `kind` is NEEDS; empty then means sound. From the day after
    `look_again_on` no work may touch the stone until it was surveyed again.
    """

    kind: Kind
    needs: frozenset[Need] = frozenset()
    look_again_on: date | None = None
    reasons: tuple[Reason, ...] = field(default=())

    @property
    def cordon(self) -> bool:
        """Whether people must be kept away until the stone is made safe."""
        return any(reason.cordon for reason in self.reasons)


TEXAS = Source("county cemetery guidance, Texas", "cleaning of grave markers", None)
STANDARDS = Source("Cemetery Conservators for United Standards", "cleaning", None)
WHETHER = Source("Chicora Foundation", "cleaning gravestones", None)
CHICORA = Source("Chicora Foundation", "General Guidelines for Cemetery Work", None)
OREGON = Source("Oregon Commission on Historic Cemeteries", "fire-damaged markers", 2020)
CAROLINA = Source(
    "South Carolina Department of Archives and History", "cemetery handbook", None, "p. 34-36"
)
NCPTT = Source(
    "National Center for Preservation Technology and Training",
    "Resetting a Stone Grave Marker",
    2007,
)
BRIEF_48 = Source(
    "National Park Service",
    "Preservation Brief 48, Preserving Grave Markers in Historic Cemeteries",
    2016,
    "p. 9",
)
LICHEN = Source("a restoration group's teaching pages", "lichen on markers", None)
LEAN_BANDS = Source("a conservator's article on leaning markers", "3, 6 and 15 degrees", 2023)
LEAN_WAY = Source("a gravestone preservation society", "front-to-back lean is worse", None)
TALL = Source(
    "Institute of Cemetery and Crematorium Management, UK",
    "management of memorials",
    2019,
    "over 1,500 mm",
    from_memory=True,
)
AGAIN = Source("UK council guidance on memorial safety", "rolling re-inspection", None, "5 years")
YEARLY = Source("National Cemetery Administration", "look once a year", None, from_memory=True)

LEAVE_ALONE_REASONS: dict[Sign, Reason] = {
    Sign.SUGARING: Reason("Grains come off the surface: do not clean.", STANDARDS.words),
    Sign.FLAKING: Reason("The surface flakes or scales: do not clean.", TEXAS.words),
    Sign.HOLLOW: Reason("It sounds hollow: stop cleaning and handling.", TEXAS.words),
    Sign.FIRE: Reason("It was in a fire and is fragile.", OREGON.words),
}
CONSERVATOR_REASONS: dict[Sign, Reason] = {
    Sign.CRACKS: Reason("It is cracked: delay adds damage, ask a conservator.", CAROLINA.words),
    Sign.BROKEN_THROUGH: Reason("It is broken through: ask a conservator.", CAROLINA.words),
    Sign.LOOSE_PIECES: Reason(
        "Pieces are loose or missing: photograph them in place, tag them, ask a conservator.",
        CAROLINA.words,
    ),
    Sign.OLD_REPAIR: Reason(
        "Old cement or iron must come out first, by a conservator.", NCPTT.words
    ),
}

HAZARD_DEGREES = 6
URGENT_DEGREES = 15
VISIBLE_DEGREES = 3
TALL_CM = 150
UNKNOWN_MATERIAL = "unknown"
LARGE_TYPES = frozenset({"obelisk", "pedestal"})
LOW_TYPES = frozenset({"ledger", "flush"})
YEARS_UNTIL_LOOK = 5
YEARS_UNTIL_LOOK_AT_LEAN = 1


def conclusion(survey: SurveyFacts | None) -> Conclusion | None:
    """Return what the rules conclude from the last survey; None when there was none."""
    if survey is None:
        return None
    alone = _said(survey, LEAVE_ALONE_REASONS)
    mend = [*_said(survey, CONSERVATOR_REASONS), *_too_large(survey)]
    needs, reasons = _needs(survey)
    if alone:
        kind, needs = Kind.LEAVE_ALONE, frozenset()
    elif mend:
        kind, needs = Kind.CONSERVATOR, frozenset()
    else:
        kind = Kind.NEEDS
    return Conclusion(kind, needs, _look_again_on(survey), (*alone, *mend, *reasons))


def gravest(concluded: Conclusion | None, *, on: date | None = None) -> Mark:
    """Return the state that a drawing shows.

    With `on` a stone that is otherwise sound and whose survey is out of date shows "look again".
    """
    if concluded is None:
        return Mark.NOT_SEEN
    if concluded.kind is not Kind.NEEDS:
        return Mark(concluded.kind.value)
    for need in Need:
        if need in concluded.needs:
            return Mark(need.value)
    return Mark.LOOK_AGAIN if on and _out_of_date(concluded, on) else Mark.SOUND


def may_touch(
    concluded: Conclusion | None, kind: KindFacts, *, led_by_conservator: bool, on: date
) -> list[Refusal]:
    """Return why this kind of work may not be done at the stone on that day; empty: it may.

    Looking (survey, recording) is allowed whatever the triage.
    """
    if not kind.hands_on:
        return []
    if concluded is None:
        return [Refusal("not-seen", "Nobody has surveyed this stone yet; survey it first.")]
    refusals = [
        *_barred_by_kind(concluded, kind),
        *_barred_by_age(concluded, on),
        *_barred_when_wet(concluded, kind),
    ]
    if kind.needs_conservator and not led_by_conservator:
        refusals.append(Refusal("no-conservator", "Mending must be led by a conservator."))
    return refusals


def as_rows(reasons: Iterable[Reason]) -> list[dict[str, str | bool]]:
    """Return reasons as plain values, for storing."""
    return [
        {
            "sentence": reason.sentence,
            "source": reason.source,
            "bars_wet": reason.bars_wet,
            "cordon": reason.cordon,
        }
        for reason in reasons
    ]


def from_rows(rows: Iterable[dict[str, str | bool]]) -> tuple[Reason, ...]:
    """Return reasons from plain values as `as_rows` made them; missing flags are false."""
    return tuple(
        Reason(
            str(row.get("sentence", "")),
            str(row.get("source", "")),
            bool(row.get("bars_wet")),
            bool(row.get("cordon")),
        )
        for row in rows
    )


def _said(survey: SurveyFacts, reasons: dict[Sign, Reason]) -> list[Reason]:
    return [reason for sign, reason in reasons.items() if sign in survey.signs]


def _too_large(survey: SurveyFacts) -> list[Reason]:
    """A large or tall stone that is not steady is no work for volunteers; one may be tall."""
    may_fall = _unsteady(survey)
    if not (may_fall or Sign.FALLEN in survey.signs):
        return []
    if survey.stone_type in LARGE_TYPES:
        sentence = "A large monument that is not steady: a conservator."
        return [Reason(sentence, BRIEF_48.words, cordon=may_fall)]
    if survey.stone_type in LOW_TYPES:
        return []
    if survey.height_above_cm is None:
        sentence = f"Not steady, and its height was not measured: it may be over {TALL_CM} cm."
        return [Reason(sentence, TALL.words, cordon=may_fall)]
    if survey.height_above_cm > TALL_CM:
        sentence = f"Over {TALL_CM} cm and not steady: a specialist must look at it."
        return [Reason(sentence, TALL.words, cordon=may_fall)]
    return []


def _unsteady(survey: SurveyFacts) -> bool:
    return Sign.WOBBLE in survey.signs or (survey.lean_degrees or 0) >= HAZARD_DEGREES


def _needs(survey: SurveyFacts) -> tuple[frozenset[Need], list[Reason]]:
    """Return the needs that the single checks find, and every reason they give."""
    checks: tuple[Callable[[SurveyFacts], list[tuple[Need | None, Reason]]], ...] = (
        _from_wobble,
        _from_lean,
        _from_ground,
        _from_surface,
        _from_material,
        _from_gaps,
    )
    found = [pair for check in checks for pair in check(survey)]
    return frozenset(need for need, _ in found if need), [reason for _, reason in found]


def _from_wobble(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    if Sign.WOBBLE not in survey.signs:
        return []
    sentence = "It wobbles: keep people away, make it steady before any cleaning."
    return [(Need.RESET, Reason(sentence, CHICORA.words, bars_wet=True, cordon=True))]


def _from_lean(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    degrees = survey.lean_degrees
    if degrees is None or degrees < VISIBLE_DEGREES:
        return []
    words = f"It leans {degrees:g} degrees"
    if degrees >= URGENT_DEGREES:
        sentence = f"{words}: urgent, keep people and mowers away, no cleaning before the reset."
        return [(Need.RESET, Reason(sentence, LEAN_BANDS.words, bars_wet=True, cordon=True))]
    if degrees < HAZARD_DEGREES:
        return [(Need.LOOK_AGAIN, Reason(f"{words}: measure it again.", LEAN_BANDS.words))]
    if survey.lean is Lean.SIDE:
        sentence = f"{words} to the side only: it may stay so, measure it again."
        return [(Need.LOOK_AGAIN, Reason(sentence, LEAN_WAY.words))]
    way = "" if survey.lean is Lean.FRONT_OR_BACK else ", and which way was not noted"
    sentence = f"{words}{way}: a hazard, nothing wet before it is made steady."
    return [(Need.RESET, Reason(sentence, LEAN_BANDS.words, bars_wet=True))]


def _from_ground(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    found = []
    if Sign.FALLEN in survey.signs:
        found.append("It lies on the ground.")
    if survey.depth_sunk_cm:
        found.append(f"It has sunk by {survey.depth_sunk_cm} cm.")
    elif Sign.SUNK in survey.signs:
        found.append("It has sunk.")
    return [(Need.RESET, Reason(sentence, COMMON_PRACTICE.words)) for sentence in found]


def _from_surface(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    if Sign.TIGHT_LICHEN in survey.signs:
        sentence = "Lichen sits tight and would take the surface with it: leave it, do not clean."
        return [(None, Reason(sentence, LICHEN.words, bars_wet=True))]
    if Sign.GROWTH in survey.signs:
        sentence = "Growth or dirt covers it. Patina is not dirt, and each cleaning can harm."
        return [(Need.CLEAN, Reason(sentence, WHETHER.words))]
    return []


def _from_material(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    """Soft stone, hard stone and metal are not washed alike: what it is must be known first."""
    if survey.material != UNKNOWN_MATERIAL:
        return []
    sentence = "What it is made of is not noted: nothing wet before that is known."
    return [(None, Reason(sentence, COMMON_PRACTICE.words, bars_wet=True))]


def _from_gaps(survey: SurveyFacts) -> list[tuple[Need | None, Reason]]:
    """What was not measured must be looked at before anybody touches the stone."""
    return [
        (Need.LOOK_AGAIN, Reason(sentence, CHICORA.words)) for sentence in _gap_sentences(survey)
    ]


def _gap_sentences(survey: SurveyFacts) -> list[str]:
    gaps = []
    if not (survey.tapped or Sign.HOLLOW in survey.signs):
        gaps.append("It was not tapped: tap it before any work.")
    if survey.stone_type in LOW_TYPES or Sign.FALLEN in survey.signs:
        return gaps
    if survey.lean_degrees is None:
        gaps.append("Its lean was not measured.")
    return gaps


def _look_again_on(survey: SurveyFacts) -> date:
    """Return the last day on which this survey still opens the stone to work.

    A gap closes it from the day of the survey itself; a lean that was left is measured yearly,
    anything in five years.
    """
    if _gap_sentences(survey):
        return survey.on - timedelta(days=1)
    leans = (survey.lean_degrees or 0) >= VISIBLE_DEGREES
    return _years_later(survey.on, YEARS_UNTIL_LOOK_AT_LEAN if leans else YEARS_UNTIL_LOOK)


def _years_later(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def _out_of_date(concluded: Conclusion, on: date) -> bool:
    return concluded.look_again_on is not None and on > concluded.look_again_on


def _barred_by_kind(concluded: Conclusion, kind: KindFacts) -> list[Refusal]:
    if concluded.kind is Kind.LEAVE_ALONE:
        return [Refusal("leave-alone", "This stone is left alone: nothing may touch it.")]
    if concluded.kind is Kind.CONSERVATOR and not kind.needs_conservator:
        return [Refusal("conservator", "On this stone only mending, led by a conservator.")]
    return []


def _barred_by_age(concluded: Conclusion, on: date) -> list[Refusal]:
    if not _out_of_date(concluded, on):
        return []
    return [Refusal("look-again", "Look at this stone again before anybody touches it.")]


def _barred_when_wet(concluded: Conclusion, kind: KindFacts) -> list[Refusal]:
    if not kind.wets or kind.needs_conservator:
        return []
    return [
        Refusal("no-cleaning", reason.sentence) for reason in concluded.reasons if reason.bars_wet
    ]
