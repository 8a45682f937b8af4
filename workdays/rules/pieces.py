"""Judge what is noted of a loose piece, and who may still say where it belongs."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from itertools import count

from workdays.rules.lettering import LINE_END
from workdays.rules.published import COMMON_PRACTICE, Source
from workdays.rules.reading import paired
from workdays.rules.refusals import Refusal

FIRST_YEAR = 1900  # a box in a shed may hold what a grandfather found
PREFIX = "L"
HANDBOOK = "South Carolina Department of Archives and History", "cemetery handbook", None
CAUTIONS = (
    "Photograph it where it lies and tag it. It stays there unless the owner agrees.",
    "Nobody carries or turns a heavy piece alone. Edges cut; snakes and insects lie under stones.",
    "No glue, and no trying it on the stone: hold a paper outline to the break. Mending is for a "
    "conservator.",
    "Local law, the owner's rules and licensed professionals decide.",
)
CAUTION_SOURCE = (
    f"{Source(*HANDBOOK, 'p. 34 and 36').words} (photograph and tag; no mending by volunteers). "
    f"The rest: {COMMON_PRACTICE.words}."
)


@dataclass(frozen=True, slots=True)
class Word:
    """What a person said of a piece and a stone, in words for a sentence."""

    fits: bool
    who: str
    when: str
    why: str = ""

    @property
    def sentence(self) -> str:
        """Return it as "Ada Bell said on 3 May 2026 that it does not belong there: too thin."."""
        said = "that it belongs there" if self.fits else "that it does not belong there"
        why = f": {self.why.rstrip('.')}" if self.why else ""
        return f"{self.who or 'Somebody'} said on {self.when} {said}{why}."


def free_tag(taken: Collection[str]) -> str:
    """Return a tag that no piece bears in any letters: L1, L2 …"""
    borne = {tag.casefold() for tag in taken}
    return next(tag for n in count(1) if (tag := f"{PREFIX}{n}").casefold() not in borne)


def refusals_to_log(
    tag: str,
    found_on: date,
    letters: str,
    *,
    taken: Collection[str],
    today: date,
    section_here: bool = True,
) -> list[Refusal]:
    """Return why a piece cannot be noted so; codes taken, future, too-old, brackets, elsewhere."""
    refusals = []
    if tag.casefold() in {other.casefold() for other in taken}:
        said = f"There is already a piece {tag} here. {free_tag(taken)} is free."
        refusals.append(Refusal("taken", said))
    if found_on > today:
        said = "A piece is noted after it was found: this day is to come."
        refusals.append(Refusal("future", said))
    if found_on.year < FIRST_YEAR:
        refusals.append(Refusal("too-old", f"Give a day from {FIRST_YEAR} on."))
    if not all(map(paired, LINE_END.split(letters))):
        said = "Each [ needs its ] in the same line, not one in another."
        refusals.append(Refusal("brackets", said))
    if not section_here:
        refusals.append(Refusal("elsewhere", "This section is of another cemetery."))
    return refusals


def refusals_to_judge(
    *,
    same_cemetery: bool,
    fits: bool,
    why: str,
    said: Word | None,
    belongs_to: str,
) -> list[Refusal]:
    """Return why a word on a piece and a stone cannot be kept.

    ``said`` is the word that holds for this pair, ``belongs_to`` the number of the stone at
    which the piece is placed, empty while it is at none.
    """
    if not same_cemetery:
        return [Refusal("elsewhere", "This stone stands in another cemetery.")]
    if said is not None and said.fits == fits:
        return [Refusal("said", f"{said.sentence} Nothing is left to say.")]
    if said is not None:
        return [
            Refusal("said-otherwise", f"{said.sentence} Take that word back first, and say why.")
        ]
    if belongs_to and fits:
        sentence = f"It is placed at stone {belongs_to}. Take that back first, and say why."
        return [Refusal("placed", sentence)]
    if not fits and not why:
        return [Refusal("no-why", "Say why not, so that nobody carries it there again.")]
    return []


def refusals_to_take_back(why: str) -> list[Refusal]:
    """Return why a word cannot be taken back: only that nobody says why."""
    return [] if why else [Refusal("no-why", "Say why: both words stay in the history.")]
