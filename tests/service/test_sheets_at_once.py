"""However often an import is pressed at once, each stone and each look comes in once."""

from pathlib import Path

from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "sheets_at_once.py"
STONES = 60


def test_presses_at_once_bring_a_sheet_in_once(stack: Stack) -> None:
    found = stack.python(SCRIPT, str(STONES))
    assert (found["stones"], found["looks"], found["audited"]) == (STONES, STONES, 1)
    assert found["told"] == {
        "brought in": 1,
        "This sheet was brought in already.": 1,
        "Every row is known here as it is: nothing changes.": 2,
    }
