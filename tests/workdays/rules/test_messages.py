"""Whom a message reaches: one mail a mailbox, nobody twice, nobody forgotten."""

import pytest

from workdays.rules.messages import Addressed, reach, refusals_to_send

ANA, RUI = Addressed(1, "costa@x.example"), Addressed(2, "Costa@x.example")
CY, BO = Addressed(3, "", "costa@x.example"), Addressed(4)


def test_a_family_of_one_mailbox_gets_one_mail_and_who_has_none_is_rung() -> None:
    found = reach([ANA, RUI, CY, BO, ANA])
    assert found.mailboxes == {"costa@x.example": [1, 2, 3]}
    assert found.to_ring == [4]


def test_the_digest_is_of_who_is_reached_where_and_not_of_their_order() -> None:
    seen = reach([ANA, CY, BO]).seen
    assert seen == reach([BO, CY, ANA]).seen
    assert seen != reach([ANA, BO]).seen
    assert seen != reach([ANA, CY, Addressed(4, "bo@x.example")]).seen


@pytest.mark.parametrize(
    ("people", "seen", "code"),
    [
        ([ANA], reach([ANA]).seen, None),
        ([ANA], reach([ANA, BO]).seen, "changed"),
        ([ANA], "", "changed"),
        ([BO], reach([BO]).seen, "nobody"),
        ([], reach([]).seen, "nobody"),
    ],
)
def test_it_goes_to_those_who_were_seen_and_to_nobody_else(
    people: list[Addressed], seen: str, code: str | None
) -> None:
    refusals = refusals_to_send(reach(people), seen=seen)
    assert [refusal.code for refusal in refusals] == ([code] if code else [])
