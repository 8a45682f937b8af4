"""The heading of the page of jobs answers what was asked."""

import pytest

from workdays.queries.blocked import CODES
from workdays.rules.backlog_words import REASON_WORDS, Show, Sought, heading

EVERYTHING = Sought("on Saturday 9 May", "Gentle cleaning", "B 12", "Old hill", "must rest")


@pytest.mark.parametrize(
    ("show", "sought", "shown", "others", "words"),
    [
        ("ready", Sought("today"), 34, 1, "Hill: 34 jobs are ready today, 1 waits"),
        ("ready", Sought("today"), 1, 2, "Hill: 1 job is ready today, 2 wait"),
        ("waiting", Sought("today"), 2, 1, "Hill: 2 jobs wait today, 1 is ready"),
        ("over", Sought("today"), 1, 9, "Hill: 1 job is done or dropped"),
        ("over", Sought("today"), 0, 9, "Hill: 0 jobs are done or dropped"),
        (
            "waiting",
            EVERYTHING,
            *(1, 0),
            "Hill: 1 job of gentle cleaning at stone B 12 in Old hill waits on Saturday 9 May "
            "(must rest), 0 are ready",
        ),
    ],
)
def test_the_heading_says_what_is_shown(
    show: Show, sought: Sought, shown: int, others: int, words: str
) -> None:
    assert heading("Hill", show, sought, shown=shown, others=others) == words


def test_every_reason_has_its_words_in_the_order_of_the_rules() -> None:
    assert tuple(REASON_WORDS) == CODES
