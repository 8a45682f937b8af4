"""Work that nobody who comes may lead: found, so that it is named and does not spoil the range."""

from collections.abc import Collection
from dataclasses import replace

from workdays.rules.ahead_facts import AheadFacts, Undone
from workdays.rules.ahead_tables import may_lead
from workdays.rules.facts import SUPERVISOR, KindFacts, PersonFacts


def unled_kinds(facts: AheadFacts) -> tuple[KindFacts, ...]:
    """Return the kinds of work to be done that nobody who comes may lead, or supervise."""
    asked = {one.job.kind for one in facts.undone}
    people = [one.person for one in facts.people]
    return tuple(
        kind
        for kind in facts.kinds
        if kind.id in asked and not any(_may_begin(person, kind) for person in people)
    )


def _may_begin(person: PersonFacts, kind: KindFacts) -> bool:
    """Whether somebody may lead such work without another who supervises it."""
    may_supervise = not kind.needs_supervisor or person.level(kind.skill) >= SUPERVISOR
    return may_supervise and may_lead(person, kind)


def led_only(facts: AheadFacts) -> AheadFacts:
    """Return the facts without the work that nobody may lead, and without what waits for it."""
    return without_kinds(facts, {kind.id for kind in unled_kinds(facts)})


def without_kinds(facts: AheadFacts, kinds: Collection[str]) -> AheadFacts:
    """Return the facts without some kinds of work, and without what waits for them.

    The same facts where nothing would be left, or fewer stones than are asked for.
    """
    without = {one.job.id for one in facts.undone if one.job.kind in kinds}
    while more := _waiting(facts.undone, without):
        without |= more
    rest = tuple(one for one in facts.undone if one.job.id not in without)
    stones = {one.job.stone for one in rest if one.job.stone}
    enough = rest and len(stones) >= (facts.stones or 0)
    return replace(facts, undone=rest) if enough else facts


def _waiting(undone: Collection[Undone], without: set[str]) -> set[str]:
    """Return the jobs that come right after one of those, and are none of them."""
    return {
        one.job.id
        for one in undone
        if one.job.id not in without and not without.isdisjoint(one.job.after)
    }
