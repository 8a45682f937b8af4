"""However many press at once, no day is overbooked and nobody is lost."""

from collections import Counter
from pathlib import Path

from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "last_places.py"
PEOPLE, FREE = 16, 3


def test_many_strangers_at_once_take_no_more_places_than_there_are(stack: Stack) -> None:
    states = Counter(stack.python(SCRIPT, str(PEOPLE), str(FREE)))
    assert states["withdrawn"] == 1
    # The fourth place is the one given up: taken by a stranger, or offered to whoever waits.
    assert states["coming"] + states["offered"] == FREE + 1
    assert states["waiting"] == PEOPLE - FREE - 1
    assert sum(states.values()) == PEOPLE + 1
