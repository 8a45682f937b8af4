"""However many press at once, a loose piece has one home and a tag names one piece."""

from pathlib import Path

from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "one_home.py"
PEOPLE = 6


def test_of_many_who_place_a_piece_or_note_a_tag_at_once_one_each_is_done(stack: Stack) -> None:
    found = stack.python(SCRIPT, str(PEOPLE))
    assert found["answers"] == {"done": 2, "placed": PEOPLE - 1, "taken": PEOPLE - 1}
    assert found["tags"] == 1
    assert found["agrees"]
