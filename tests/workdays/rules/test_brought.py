"""What people bring counts while they are there for all of the work."""

from datetime import timedelta

import pytest

from tests.factories import START
from workdays.rules.brought import Bringer, brought, missing, most_at_once, together

HOUR = timedelta(hours=1)
WORK = [(START, START + 3 * HOUR), (START + 4 * HOUR, START + 6 * HOUR)]
BUCKETS = {"bucket": 2}


@pytest.mark.parametrize(
    ("bringer", "counts"),
    [
        (Bringer(BUCKETS), True),
        (Bringer(BUCKETS, comes_at=START), True),
        (Bringer(BUCKETS, comes_at=START + HOUR / 4), False),
        (Bringer(BUCKETS, leaves_at=START + 6 * HOUR), True),
        (Bringer(BUCKETS, leaves_at=START + 5 * HOUR), False),
        (Bringer(BUCKETS, comes_at=START + 3 * HOUR, leaves_at=START + 4 * HOUR), False),
    ],
)
def test_what_is_not_there_for_all_of_the_work_does_not_count(
    bringer: Bringer, counts: bool
) -> None:
    found = brought([bringer], WORK)
    assert found.counted == (BUCKETS if counts else {})
    assert found.not_counted == ({} if counts else BUCKETS)


def test_what_several_people_bring_is_added() -> None:
    people = [Bringer(BUCKETS), Bringer({"bucket": 1, "truck": 1}), Bringer({})]
    assert brought(people, WORK).counted == {"bucket": 3, "truck": 1}
    assert together({"rake": 4, "bucket": 6}, {"bucket": 3, "truck": 1}) == {
        "rake": 4,
        "bucket": 9,
        "truck": 1,
    }


def test_a_day_needs_the_most_that_one_job_uses_and_lacks_what_is_not_there() -> None:
    wanted = most_at_once([{"bucket": 2, "rake": 1}, {"bucket": 3}, {}])
    assert wanted == {"bucket": 3, "rake": 1}
    assert missing(wanted, {"bucket": 1, "rake": 1}) == {"bucket": 2}
    assert missing(wanted, {"bucket": 3, "rake": 9}) == {}
