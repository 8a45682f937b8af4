"""Who may let whom in and out of the staff. Common practice, no source."""

from collections.abc import Iterable, Set

from workdays.rules.refusals import Refusal

OVER = Refusal("over", "This invitation was used or taken back; ask for a new one.")


def refusals_to_invite(role: str, skills: Iterable[str], judged: Set[str]) -> list[Refusal]:
    """Return why an invitation may not go out.

    ``skills`` are those to be supervised, ``judged`` those that the inviter may judge there.
    """
    wanted = set(skills)
    if wanted and role != "supervisor":
        return [Refusal("skills", "Skills go with supervising: choose that, or no skill.")]
    not_judged = sorted(wanted - judged)
    if not_judged:
        named = ", ".join(not_judged)
        sentence = f"Only a supervisor of {named} there can say that somebody supervises it."
        return [Refusal("skills", sentence)]
    return []


def refusals_to_end(organisers: Set[int], person: int) -> list[Refusal]:
    """Return why an access may not end; ``organisers`` are those of the whole programme."""
    if organisers == {person}:
        sentence = "The last organiser of the whole programme stays: invite another one first."
        return [Refusal("last", sentence)]
    return []
