"""When somebody may erase what is stored of them, and whose things go along.

Source: EU 2016/679, article 17: erased when no longer needed or consent is withdrawn, not what is
needed for legal claims or a legal duty.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from workdays.rules.refusals import Refusal

ERASED_NAME = "a volunteer"
ERASED_GROUP = "a group"


@dataclass(frozen=True, slots=True)
class Asking:
    """Who asks: ``serves`` as organiser or supervisor; ``begun``: days that they are on now."""

    serves: bool = False
    begun: Sequence[str] = ()


def refusals_to_erase(asking: Asking) -> list[Refusal]:
    """Return why somebody cannot be erased yet, and what would change it."""
    found = []
    if asking.serves:
        sentence = (
            "You serve as organiser or supervisor: days, plans and hours rest on your word. Have "
            "an organiser of the programme end that first; then this page erases you."
        )
        found.append(Refusal("serves", sentence))
    for day in asking.begun:
        sentence = (
            f"{day} has begun, and whoever leads it must be able to reach your people if you are "
            "hurt. Come back when it is over."
        )
        found.append(Refusal("begun", sentence))
    return found


def words_to_look_for(names: Sequence[str], numbers: Sequence[str]) -> list[str]:
    """Return by what somebody is found in words about others, the longest first.

    A name of one word alone finds too much: it is May as often as it is somebody.
    """
    whole = {name for name in names if " " in name.strip()}
    whole |= {number for number in numbers if len(number) > 5}
    return sorted(whole, key=lambda word: (-len(word), word))


def without(text: str, words: Sequence[str]) -> str:
    """Return a text in which nobody can read any of these words."""
    for word in words:
        text = text.replace(word, ERASED_NAME)
    return text
