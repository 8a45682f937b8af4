"""Nothing puts work that touches on a day, at a stone that is left alone: every function tries.

Functions are found by looking, their arguments are made from their annotations, and the tables
are asked after each attempt. Nothing is exempt: a function that cannot be tried fails by name.
"""

import pytest

from tests.guards.attacks.arguments import NoProvider
from tests.guards.attacks.found import Found, writers
from tests.guards.attacks.trying import Report, planned, try_once

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("barred_world")]
FOUND = {found.name: found for found in writers()}


def attempt(found: Found, *, to_the_end: bool = True) -> Report:
    """Make every planned attempt at a function, or those up to the first that finds a hole."""
    report = Report()
    try:
        for arguments in planned(found):
            try_once(found, arguments, report)
            if report.holes and not to_the_end:
                break
    except NoProvider as missing:
        pytest.fail(f"{found.name} cannot be tried: {missing}")
    return report


@pytest.mark.parametrize("name", FOUND)
def test_no_function_puts_a_hand_on_a_stone_left_alone(name: str) -> None:
    report = attempt(FOUND[name])
    assert report.holes == []
    assert report.done + report.refused > 0, report.crashes[:3]
