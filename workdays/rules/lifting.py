"""How a stone may be lifted: by hands, with a hoist, by trained riggers, not by volunteers.

Advice only. It is on the careful side wherever figures differ, and it never clears a lift.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from workdays.rules.counting import heads
from workdays.rules.lift_cautions import CAUTIONS, ONE_PERSON_CAUTION, Line
from workdays.rules.niosh import LIMITS, Lift, lifting_index, reach_from_depth, recommended
from workdays.rules.published import Source
from workdays.rules.team_lift import (
    FILTER,
    GROUND_KG,
    KNUCKLE_KG,
    L23,
    capability_words,
    people_needed,
)
from workdays.rules.units import KG_PER_LB, inches, plain, pounds, rounded
from workdays.rules.weights import Weight, needs_riggers

TRIPOD_LB = 2000
"""The least capacity published for a tripod: a home-made steel one (wooden two-leg ones 2 tons,
steel three-leg ones 5 tons). What may be heavier is no work for volunteers."""
HOIST_CREW = 3
HANDS_V_IN, HANDS_D_IN = 6, 18

TRIPOD = Source("a restoration group's pages", "tripod hoists", None)
EQUATION = Source(
    "National Institute for Occupational Safety and Health",
    "Applications Manual for the Revised NIOSH Lifting Equation, 94-110",
    2021,
    "p. 6-18",
)
CLAMP = Source("National Park Service", "Preservation Brief 48, text of a photograph", 2016)


class Outcome(StrEnum):
    """What the advice comes to, lightest first."""

    HANDS = "hands"
    CLAMP = "clamp"
    HOIST = "hoist"
    RIGGERS = "riggers"
    NOT_VOLUNTEERS = "not_volunteers"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True)
class LiftFacts:
    """A stone that is to be lifted. `weight` None: not known, or a hollow casting.

    `barred`: why volunteers may not lift it at all, whatever it weighs; empty: they may.
    """

    weight: Weight | None
    limit_lb: float
    thickness_cm: float = 0
    hollow: bool = False
    barred: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do about a lift. `lifters`: people who must be able to lift; `crew`: at the stone.

    `equation`: what the equation for one person says, as a warning.
    """

    outcome: Outcome
    sentence: str
    short: str
    lifters: int
    crew: int
    reasons: tuple[Line, ...]
    equation: tuple[Line, ...] = ()
    cautions: tuple[Line, ...] = CAUTIONS


def advice(facts: LiftFacts) -> Advice:
    """Return how a stone may be lifted."""
    outcome, people, reasons = _outcome(facts)
    sentence, short = _words(outcome, people, facts)
    lifters, crew = _needed(outcome, people)
    return Advice(
        outcome=outcome,
        sentence=sentence,
        short=f"{facts.weight.words}: {short}" if facts.weight else short,
        lifters=lifters,
        crew=crew,
        reasons=tuple(reasons),
        equation=_equation(facts),
    )


def _outcome(facts: LiftFacts) -> tuple[Outcome, int, list[Line]]:
    """Return the outcome, how many hands it takes (0: no hands) and why."""
    barred = [Line(sentence, "") for sentence in facts.barred]
    if facts.weight is None:
        return (Outcome.NOT_VOLUNTEERS if barred else Outcome.NOT_KNOWN), 0, barred
    by_weight = _by_weight(facts.weight, facts.limit_lb)
    if barred:
        heavy = by_weight[0] in (Outcome.RIGGERS, Outcome.NOT_VOLUNTEERS)
        return Outcome.NOT_VOLUNTEERS, 0, [*barred, *(by_weight[2] if heavy else [])]
    return by_weight


def _by_weight(found: Weight, limit_lb: float) -> tuple[Outcome, int, list[Line]]:
    if found.high_lb > TRIPOD_LB:
        sentence = (
            f"It may weigh over {TRIPOD_LB} lb, the least capacity published for a tripod: a firm "
            "with a crane, asked by the owner."
        )
        return Outcome.NOT_VOLUNTEERS, 0, [Line(sentence, TRIPOD.words)]
    if needs_riggers(found, limit_lb=limit_lb):
        sentence = f"It may weigh over {limit_lb:g} lb, the limit of this cemetery."
        return Outcome.RIGGERS, 0, [Line(sentence, TRIPOD.words)]
    why = [Line(capability_words(), f"{L23.words}; {FILTER.words}")]
    by_hands = people_needed(found.high_kg, GROUND_KG[0])
    if by_hands:
        return Outcome.HANDS, by_hands, why
    clamped = people_needed(found.high_kg, KNUCKLE_KG[0])
    if clamped:
        people = max(2, clamped)
        sentence = "A wooden clamp lets two people hold a marble tablet with straight arms."
        return Outcome.CLAMP, people, [*why, Line(sentence, CLAMP.words)]
    return Outcome.HOIST, 0, why


def _words(outcome: Outcome, people: int, facts: LiftFacts) -> tuple[str, str]:
    if outcome is Outcome.NOT_KNOWN:
        what = "weigh it" if facts.hollow else "measure it"
        return (
            f"Its weight is not known: {what} before anybody lifts. Do not try by lifting.",
            f"weight not known, {what} before anybody lifts",
        )
    hands = heads(people)
    said = {
        Outcome.HANDS: (
            f"By hands, {hands}; never alone, a second person stands by.",
            f"by hands, {hands}, never alone",
        ),
        Outcome.CLAMP: (
            f"By hands with a clamp, {hands}; not with bent backs from the ground.",
            f"{hands} with a clamp",
        ),
        Outcome.HOIST: (
            "A hoist: too heavy for any team by hands. Three people who were trained on it: at "
            "the chain, at the stone, and one who watches.",
            "a hoist, not by hands",
        ),
        Outcome.RIGGERS: (
            "A hoist and trained riggers only; say who they are before the day.",
            "a hoist and trained riggers only",
        ),
        Outcome.NOT_VOLUNTEERS: ("Not by volunteers.", "not by volunteers"),
    }
    return said[outcome]


def _needed(outcome: Outcome, people: int) -> tuple[int, int]:
    """Return lifters and crew; a hoist is worked by three: common practice, no source."""
    if outcome in (Outcome.HANDS, Outcome.CLAMP):
        return people, max(2, people)
    return (2, HOIST_CREW) if outcome in (Outcome.HOIST, Outcome.RIGGERS) else (0, 0)


def _equation(facts: LiftFacts) -> tuple[Line, ...]:
    """Return what one person might lift from the ground, bent over a stone with a poor grip."""
    if facts.weight is None:
        return ()
    depth = inches(facts.thickness_cm)
    reach = reach_from_depth(depth, HANDS_V_IN)
    limit = recommended(Lift(reach, HANDS_V_IN, HANDS_D_IN))
    index = lifting_index(pounds(facts.weight.high_kg), limit)
    posture = (
        f"hands {HANDS_V_IN} in above the ground and {plain(reach)} in before the ankles, lifted "
        f"{HANDS_D_IN} in, poor grip, one lift in five minutes"
    )
    if index is None:
        sentence = f"One person: nothing at all may be lifted that far out ({posture})."
    else:
        sentence = (
            f"One person: at most {rounded(limit)} lb ({rounded(limit * KG_PER_LB)} kg) so "
            f"({posture}). This stone may be {plain(index)} times that."
        )
    limits = f"{ONE_PERSON_CAUTION} It does not hold for {', '.join(LIMITS)}."
    return Line(sentence, EQUATION.words), Line(limits, EQUATION.words)


def lift_gaps(found: Advice, *, lifters: int, fewest: int, equipment: frozenset[str]) -> list[str]:
    """Return what a job that lifts lacks beside the advice; a warning, empty: nothing."""
    if found.outcome in (Outcome.NOT_VOLUNTEERS, Outcome.NOT_KNOWN, Outcome.RIGGERS):
        gaps = [" ".join([found.sentence, *(r.sentence for r in found.reasons)])]
    else:
        gaps = []
    if lifters < found.lifters:
        gaps.append(f"{heads(found.lifters)} must be able to lift; the job asks for {lifters}.")
    if fewest < found.crew:
        gaps.append(f"{found.crew} people are needed at the stone; {fewest} could be sent.")
    return [*gaps, *_missing(found.outcome, equipment)]


def _missing(outcome: Outcome, equipment: frozenset[str]) -> list[str]:
    hoist = outcome in (Outcome.HOIST, Outcome.RIGGERS)
    if hoist and "hoist" not in equipment:
        return ["Its equipment names no hoist."]
    if outcome is Outcome.CLAMP and not equipment & {"clamp", "hoist"}:
        return ["Its equipment names no clamp."]
    return []
