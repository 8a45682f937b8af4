"""Whether a text may be published for people to sign: it says something, and something new."""

from collections.abc import Mapping
from dataclasses import dataclass

from workdays.rules.refusals import Refusal

FEWEST_LETTERS = 80


@dataclass(frozen=True)
class WaiverText:
    """A text to sign with its heading, and how long a signature under it holds."""

    title: str
    text: str
    validity: str
    language: str = "en"


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


@dataclass(frozen=True)
class OtherText:
    """What a version says in another language."""

    title: str
    text: str
    language: str


def refusals_to_add_language(
    new: OtherText, texts: Mapping[str, str], *, is_current: bool, version: int
) -> list[Refusal]:
    """Return why a version cannot have a language added; ``texts``: what it has, by language."""
    if not is_current:
        sentence = f"Version {version} is signed no longer: add the language to the newest one."
        return [Refusal("meanwhile", sentence)]
    if new.language in texts:
        return [
            Refusal("language", "This version has that language already, and it never changes.")
        ]
    if len(new.text) < FEWEST_LETTERS:
        sentence = f"Write the whole text in this language, at least {FEWEST_LETTERS} letters."
        return [Refusal("text", sentence)]
    if new.text in texts.values():
        return [Refusal("text", "This is word for word what it says in a language that it has.")]
    return []
