"""Why a job waits is the same whichever database tells it."""

from pathlib import Path

import pytest

from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "compare_reasons.py"


@pytest.mark.parametrize("seed", [1, 2])
def test_each_database_tells_the_same_reasons_as_the_rule(stack: Stack, seed: int) -> None:
    found = stack.python(SCRIPT, str(seed))
    assert found["jobs"] > 100
    assert found["differ"] == []
