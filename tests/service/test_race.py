"""Two hundred people at once for forty places: forty placed, the rest in line, in order."""

from pathlib import Path

from tests.service.race import race, statuses
from tests.service.stack import Stack

SCRIPT = Path(__file__).parent / "scripts" / "race_day.py"
PEOPLE, PLACES = 200, 40


def test_two_hundred_race_for_forty_places(stack: Stack) -> None:
    stack.settings = {**stack.settings, "SIGN_UPS_PER_NETWORK_HOUR": "100000"}
    stack.start_web()
    day = stack.python(SCRIPT, "make", str(PLACES))
    answers = race(stack.url, f"/days/{day}/sign-up/", PEOPLE, "race")
    assert statuses(answers) == {302}
    states = stack.python(SCRIPT, "look", str(day))
    assert states == ["unconfirmed"] * PLACES + ["waiting"] * (PEOPLE - PLACES)
    # What each was told is what was stored: a place, or the list.
    assert sum(answer.location.endswith("?list") for answer in answers) == PEOPLE - PLACES
