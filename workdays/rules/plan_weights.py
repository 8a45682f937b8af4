"""What a good plan is worth: the points of each aim, which an organiser may change for a day."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from workdays.rules.facts import Weights

LOW, HIGH = 0, 1000
# What an organiser finds set; a file of a day has no fairness and no walks unless it says so.
USUAL = Weights(fairness=3, walk=1)


@dataclass(frozen=True)
class Aim:
    """One aim of a plan; ``key`` is its name among the weights, ``meaning`` a sentence."""

    key: str
    label: str
    meaning: str

    @property
    def usual(self) -> int:
        """Return the points where nobody has set others."""
        return int(getattr(USUAL, self.key))


AIMS = (
    Aim(
        "training",
        "A lesson",
        "Added for each person and stretch of work in a crew that does what they want to learn.",
    ),
    Aim(
        "split",
        "A party that is split",
        "Taken away for each crew beyond the first over which people who came together are spread.",
    ),
    Aim(
        "section",
        "A walk to another section",
        "Taken away for each section beyond the first in which a crew works in one stretch.",
    ),
    Aim(
        "walk",
        "Ten metres to the next stone",
        "Taken away for each ten metres that a crew walks from one of its stones to the next.",
    ),
    Aim(
        "fairness",
        "Always the plain work",
        "Taken away for each person who does plain work again, such as raking, having done more of "
        "it this season than most.",
    ),
    Aim(
        "change",
        "Another lead after the break",
        "Taken away for each person who is led by somebody else than before the break.",
    ),
    Aim(
        "idle",
        "A quarter hour without work",
        "Taken away for each quarter hour in which somebody is there and has nothing to do.",
    ),
    Aim(
        "moved",
        "Somebody moved after publishing",
        "Taken away for each person who no longer has the lead that was published.",
    ),
    Aim(
        "dropped",
        "A job dropped after publishing",
        "Taken away for each published job that the plan no longer does.",
    ),
)
BY_KEY = {aim.key: aim for aim in AIMS}


def weights_of(stored: Mapping[str, object]) -> Weights:
    """Return the weights of a day: those set for it, the usual ones for the rest."""
    own = {
        key: points
        for key, points in stored.items()
        if key in BY_KEY and isinstance(points, int) and LOW <= points <= HIGH
    }
    return replace(USUAL, **own)


def set_for_the_day(points: Mapping[str, int]) -> dict[str, int]:
    """Return what is stored of the points of a day: those that differ from the usual ones."""
    return {key: points[key] for key in sorted(BY_KEY) if points[key] != BY_KEY[key].usual}
