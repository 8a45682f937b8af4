"""Whether a day may be opened for sign-up: the owner's leave, a waiver to sign, a date ahead."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from workdays.rules.leave import Quiet, runs_into, span
from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import day_words, hour


@dataclass(frozen=True)
class OpeningFacts:
    """What the question needs: names of kinds of work, as people say them.

    ``permitted``: kinds that a permission allows on the date. ``chosen``: kinds of the jobs meant
    for the day. ``taught``: kinds that practise the skill of a clinic (empty for a workday).
    ``starts_at`` and ``ends_at`` are on the clock of the place; ``quiet``: the owner's quiet hours
    on the date, for the kinds meant for the day, or for any while none is chosen.
    """

    place: str
    on: date
    starts_at: datetime
    ends_at: datetime
    is_draft: bool
    has_begun: bool
    permitted: frozenset[str]
    chosen: frozenset[str]
    taught: frozenset[str]
    has_waiver: bool
    quiet: tuple[Quiet, ...] = ()


def permission_refusals(facts: OpeningFacts) -> Iterator[Refusal]:
    """Return why the owner's leave does not cover the date, in the order met."""
    when = day_words(facts.on)
    if not facts.permitted:
        yield Refusal(
            "no_permission",
            f"No permission of the owner covers {when} at {facts.place}. Ask the owner first.",
        )
        return
    if facts.taught and not facts.taught & facts.permitted:
        kinds = " or ".join(sorted(facts.taught)).lower()
        yield Refusal("clinic_not_permitted", f"The permission for {when} leaves out {kinds}.")
    barred = sorted(facts.chosen - facts.permitted)
    if barred:
        yield Refusal(
            "jobs_not_permitted",
            f"The permission for {when} leaves out {', '.join(barred).lower()}: "
            "take those jobs off the day or ask the owner.",
        )
    yield from quiet_refusals(facts)


def quiet_refusals(facts: OpeningFacts) -> Iterator[Refusal]:
    """Return which quiet hours of the owner the day runs into."""
    when = day_words(facts.on)
    for quiet in facts.quiet:
        if runs_into(quiet, facts.starts_at, facts.ends_at):
            yield Refusal(
                "quiet_hours",
                f"The owner's quiet hours at {facts.place} on {when} are {span(quiet)}, and the "
                f"day runs from {hour(facts.starts_at)} to {hour(facts.ends_at)}. "
                "Choose other hours or ask the owner.",
            )


def refusals_to_open(facts: OpeningFacts) -> list[Refusal]:
    """Return everything that keeps a day from being opened; empty when it may be."""
    if not facts.is_draft:
        return [Refusal("not_a_draft", "This day has been opened already.")]
    if facts.has_begun:
        return [Refusal("day_past", "This day has begun or is over.")]
    found = list(permission_refusals(facts))
    if not facts.has_waiver:
        found.append(
            Refusal("no_waiver", "No waiver is published yet: nobody could sign for this day.")
        )
    return found
