"""Whether a text may be published for people to sign: it says something, and something new."""

from dataclasses import dataclass

from workdays.rules.refusals import Refusal

FEWEST_LETTERS = 80


@dataclass(frozen=True)
class WaiverText:
    """A text to sign with its heading, and how long a signature under it holds."""

    title: str
    text: str
    validity: str


def refusals_to_publish(new: WaiverText, current: WaiverText | None, version: int) -> list[Refusal]:
    """Return why a text cannot be published; ``current`` is the one of that number signed now."""
    if len(new.text) < FEWEST_LETTERS:
        sentence = (
            f"Write the whole text, at least {FEWEST_LETTERS} letters: people sign what it says."
        )
        return [Refusal("text", sentence)]
    if new == current:
        return [Refusal("text", f"Version {version} says just this and is signed now.")]
    return []
