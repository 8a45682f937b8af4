"""The owner's terms in force on a date: what is said on pages and sheets before work begins.

Where terms and a setting of the cemetery differ, the stricter counts. Probing for buried stones:
Indiana and Illinois ask for a state permit; elsewhere local law and the owner's rules decide.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from workdays.rules.leave import PermissionFacts, Quiet, span

TRAINING = "The owner demands training: whoever works must have taken the training the owner names."


@dataclass(frozen=True)
class ProbingSetting:
    """What the cemetery has decided about probing, and who says so."""

    allowed: bool
    source: str


@dataclass(frozen=True)
class Terms:
    """What binds on a date; ``words`` are the owner's own, each once."""

    no_probing: bool = False
    training_demanded: bool = False
    quiet: tuple[Quiet, ...] = ()
    words: tuple[str, ...] = ()


def terms_on(
    permissions: Iterable[PermissionFacts], on: date, *, kinds: Collection[str] = ()
) -> Terms:
    """Return the terms of all leave in force on a date for some kinds of work.

    No kinds: for any, as long as nobody knows which. No probing holds whatever the kinds are.
    """
    in_force = [leave for leave in permissions if leave.starts_on <= on <= leave.ends_on]
    meant = [leave for leave in in_force if not kinds or leave.holds(on, kinds)]
    return Terms(
        no_probing=any(leave.no_probing for leave in in_force),
        training_demanded=any(leave.training_demanded for leave in meant),
        quiet=tuple(sorted({leave.quiet for leave in meant if leave.quiet})),
        words=tuple(dict.fromkeys(leave.words for leave in meant if leave.words)),
    )


def term_sentences(terms: Terms, probing: ProbingSetting) -> list[str]:
    """Return what is said of the terms, what can hurt first; the owner's own words come last."""
    return [
        probing_sentence(terms, probing),
        *([TRAINING] if terms.training_demanded else []),
        *(f"Quiet hours of the owner, in which nobody works: {span(q)}." for q in terms.quiet),
        *(f"The owner's words: {words}" for words in terms.words),
    ]


def probing_sentence(terms: Terms, probing: ProbingSetting) -> str:
    """Return whether anybody may probe for buried stones, and who says so."""
    if terms.no_probing:
        return "No probing for buried stones: the owner's permission forbids it."
    if not probing.allowed:
        return f"No probing for buried stones; a setting of this cemetery ({probing.source})."
    return (
        f"Probing for buried stones is allowed here ({probing.source}). A rod can break a stone "
        "or hit a line: local law, the owner's rules and licensed professionals decide."
    )
