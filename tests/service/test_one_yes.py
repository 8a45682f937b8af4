"""However often a link is pressed at once, it works once and the others are told so."""

from pathlib import Path

from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "one_yes.py"
PRESSES = 6


def test_of_many_presses_on_the_link_of_a_known_host_one_counts(stack: Stack) -> None:
    found = stack.python(SCRIPT, str(PRESSES))
    assert found["answers"] == {"done": 1, "used": PRESSES - 1}
    assert found["hosts"] == [1, 1]
