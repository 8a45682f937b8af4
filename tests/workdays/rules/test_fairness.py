"""A fair share of the plain work: who has raked more than most has had enough."""

from tests.workdays.rules.crew_days import CLEAN, MEND, RAKE, RESET
from workdays.rules.fairness import had_enough, plain_kinds

PLAIN = plain_kinds((RAKE, CLEAN, RESET, MEND))


def test_plain_work_is_what_anybody_may_do_and_lead() -> None:
    assert {"rake"} == PLAIN


def test_who_rakes_more_than_their_share_has_had_enough() -> None:
    did = {
        "always": {"rake": 4},
        "half": {"rake": 3, "clean": 3},
        "never": {"clean": 6},
    }
    assert had_enough(did, PLAIN) == {"always": ("rake",), "half": ("rake",)}


def test_nobody_has_had_enough_where_all_rake_alike_or_hardly() -> None:
    assert had_enough({"a": {"rake": 5}, "b": {"rake": 9}}, PLAIN) == {}
    assert had_enough({"a": {"rake": 1}, "b": {"clean": 9}}, PLAIN) == {}
    assert had_enough({}, PLAIN) == {}


def test_other_work_is_not_counted_as_plain() -> None:
    assert had_enough({"a": {"reset": 9}, "b": {"rake": 1, "clean": 8}}, PLAIN) == {}
