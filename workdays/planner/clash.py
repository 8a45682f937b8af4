"""The smallest set of pins that cannot hold together, in words.

A deletion filter: each pin in turn is taken out; if the others still clash it stays out. What
remains clashes, and without any one of it no more. The method is that of J. W. Chinneck and
E. W. Dravnieks, "Locating minimal infeasible constraint sets in linear programs", ORSA Journal on
Computing 3 (1991), from memory; here over pins, with `clash_model` to answer what can be.
"""

from workdays.planner.timing import timed, untimed
from workdays.rules.crew import violations
from workdays.rules.facts import Crew, DayFacts, JobPin, PersonPin, Plan, PlannedJob

Pin = PersonPin | JobPin
# Rules that more people than those pinned could mend, or that look beyond the pinned crews.
MENDABLE = {"crew size", "people", "lifters", "new people", "supervisor", "pin", "after", "length"}


def smallest_clash(facts: DayFacts) -> tuple[Pin, ...]:
    """Return pins that clash, none of which can be spared; empty: the pins can hold together."""
    # The solver takes most of a second to load, and pins hardly ever clash.
    from workdays.planner.clash_model import PinnedCrews

    kept: tuple[Pin, ...] = (*facts.pins, *facts.job_pins)
    if PinnedCrews(facts, kept).can_be():
        return ()
    for pin in kept:
        without = tuple(other for other in kept if other != pin)
        if not PinnedCrews(facts, without).can_be():
            kept = without
    return kept


def pin_words(facts: DayFacts, pin: Pin) -> str:
    """Say what a pin asks for: "Ann is pinned to the crew of Ben in the morning"."""
    when = facts.blocks[pin.block].name
    what = facts.person[pin.person] if isinstance(pin, PersonPin) else facts.job[pin.job]
    if pin.leader is None:
        return f"{what.label} is kept out of every crew in the {when}"
    if pin.leader == what.id:
        return f"{what.label} is pinned to lead a crew in the {when}"
    return f"{what.label} is pinned to the crew of {facts.person[pin.leader].label} in the {when}"


def why_they_clash(facts: DayFacts, clash: tuple[Pin, ...]) -> list[str]:
    """Return the checker's sentences about crews made of nothing but these pins.

    Only those that nobody else could mend; where there are none, one general sentence.
    """
    crews: dict[tuple[int, str], tuple[list[str], list[PlannedJob]]] = {}
    for pin in clash:
        if pin.leader is None:
            continue
        members, jobs = crews.setdefault((pin.block, pin.leader), ([pin.leader], []))
        if isinstance(pin, JobPin):
            jobs.append(untimed(facts, pin.job, pin.block))
        elif pin.person not in members:
            members.append(pin.person)
    plan = Plan(tuple(_crew(facts, key, *parts) for key, parts in crews.items()))
    found = [v.sentence for v in violations(facts, plan) if v.rule not in MENDABLE]
    return list(dict.fromkeys(found)) or ["No crews can be made that hold all of this."]


def _crew(
    facts: DayFacts, key: tuple[int, str], members: list[str], jobs: list[PlannedJob]
) -> Crew:
    block, leader = key
    people = tuple(members)
    return Crew(block, leader, people, timed(facts, block, people, jobs))
