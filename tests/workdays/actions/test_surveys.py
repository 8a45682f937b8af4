"""A look at a stone, what the rules conclude from it, and a person's word over that."""

from datetime import date
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from workdays.actions.ground import change_stone
from workdays.actions.surveys import override_conclusion, record_survey
from workdays.models import Conclusion, Stone

pytestmark = pytest.mark.django_db
NOW = factories.NOW
REASON = "A conservator tapped and looked at it on 2 May 2026."


def seen(**overrides: Any) -> dict[str, Any]:
    found = {"on": date(2026, 5, 6), "signs": [], "sound": "solid", "lean_degrees": 0}
    return found | overrides


@pytest.fixture
def stone() -> Stone:
    return factories.make_stone()


def in_force(stone: Stone) -> Conclusion:
    stone.refresh_from_db()
    assert stone.conclusion is not None
    return stone.conclusion


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


@pytest.mark.parametrize(
    ("found", "kind", "needs"),
    [
        (seen(), "needs", []),
        (seen(signs=["growth"]), "needs", ["clean"]),
        (seen(signs=["growth", "sunk"]), "needs", ["clean", "reset"]),
        (seen(sound="hollow"), "leave_alone", []),
        (seen(signs=["broken_through"], pieces=2), "conservator", []),
        (seen(sound="unknown"), "needs", ["look_again"]),
    ],
)
def test_a_survey_puts_what_the_rules_conclude_in_force(
    stone: Stone, ruth: Person, found: dict[str, Any], kind: str, needs: list[str]
) -> None:
    done = record_survey(stone, found, by=ruth, now=NOW)
    row = in_force(stone)
    assert (row.kind, row.needs) == (kind, needs)
    assert row.survey == done.survey
    assert done.survey.by == ruth
    assert all(reason["sentence"] and reason["source"] for reason in row.reasons)
    entry = AuditEntry.objects.get(verb="surveyed", thing_id=str(stone.pk))
    assert entry.detail["kind"] == kind


@pytest.mark.parametrize(
    ("found", "code"),
    [
        (seen(on=date(2026, 5, 7)), "future"),
        (seen(on=date(1900, 1, 1)), "too-old"),
        (seen(pieces=3), "pieces"),
        (seen(height_above_cm=400), "too-high"),
    ],
)
def test_a_survey_that_cannot_be_is_refused_and_leaves_nothing(
    stone: Stone, ruth: Person, found: dict[str, Any], code: str
) -> None:
    with pytest.raises(Refused) as refused:
        record_survey(stone, found, by=ruth, now=NOW)
    assert codes(refused) == [code]
    assert not stone.surveys.exists()
    assert not Conclusion.objects.exists()


def test_the_day_of_a_look_is_that_of_the_cemetery(stone: Stone, ruth: Person) -> None:
    late = NOW.replace(hour=3)  # still 5 May in Detroit
    with pytest.raises(Refused):
        record_survey(stone, seen(), by=ruth, now=late)
    record_survey(stone, seen(on=date(2026, 5, 5)), by=ruth, now=late)


def test_an_older_look_noted_later_does_not_hold(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(signs=["sugaring"]), by=ruth, now=NOW)
    done = record_survey(stone, seen(on=date(2026, 4, 1)), by=ruth, now=NOW)
    assert not done.in_force
    assert in_force(stone).kind == "leave_alone"


def test_a_person_may_be_stricter_without_a_reason(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(signs=["growth"]), by=ruth, now=NOW)
    override_conclusion(stone, kind="leave_alone", needs=[], reason="", by=ruth, now=NOW)
    row = in_force(stone)
    assert row.kind == "leave_alone"
    assert row.overridden_by == ruth


@pytest.mark.parametrize("kind", ["conservator", "needs"])
def test_looser_needs_a_written_reason(stone: Stone, ruth: Person, kind: str) -> None:
    record_survey(stone, seen(signs=["sugaring"]), by=ruth, now=NOW)
    with pytest.raises(Refused) as refused:
        override_conclusion(stone, kind=kind, needs=[], reason="fine", by=ruth, now=NOW)
    assert codes(refused) == ["no-reason"]
    assert in_force(stone).kind == "leave_alone"
    override_conclusion(stone, kind=kind, needs=[], reason=REASON, by=ruth, now=NOW)
    row = in_force(stone)
    assert (row.kind, row.override_reason) == (kind, REASON)
    assert AuditEntry.objects.get(verb="overruled").detail["why"] == REASON


def test_a_stone_that_nobody_saw_can_only_be_left_alone(stone: Stone, ruth: Person) -> None:
    with pytest.raises(Refused) as refused:
        override_conclusion(stone, kind="needs", needs=["clean"], reason=REASON, by=ruth, now=NOW)
    assert codes(refused) == ["not-seen"]
    override_conclusion(stone, kind="leave_alone", needs=[], reason="", by=ruth, now=NOW)
    assert in_force(stone).kind == "leave_alone"


def test_a_word_lifts_no_bar_on_wet_work(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(signs=["tight_lichen"]), by=ruth, now=NOW)
    override_conclusion(stone, kind="needs", needs=["clean"], reason=REASON, by=ruth, now=NOW)
    assert [reason["bars_wet"] for reason in in_force(stone).reasons] == [False, True]


def test_a_new_look_does_not_undo_a_stricter_word(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(signs=["growth"]), by=ruth, now=NOW)
    override_conclusion(stone, kind="leave_alone", needs=[], reason="", by=ruth, now=NOW)
    done = record_survey(stone, seen(), by=ruth, now=NOW)
    assert not done.in_force
    assert in_force(stone).kind == "leave_alone"
    override_conclusion(stone, kind="needs", needs=["clean"], reason=REASON, by=ruth, now=NOW)
    assert record_survey(stone, seen(signs=["fire"]), by=ruth, now=NOW).in_force
    assert in_force(stone).kind == "leave_alone"


def word(stone: Stone, ruth: Person, kind: str, *needs: str, reason: str = REASON) -> None:
    override_conclusion(stone, kind=kind, needs=list(needs), reason=reason, by=ruth, now=NOW)


def test_a_stricter_word_outlives_looks_that_say_as_much_or_less(
    stone: Stone, ruth: Person
) -> None:
    record_survey(stone, seen(signs=["growth"]), by=ruth, now=NOW)
    word(stone, ruth, "leave_alone", reason="The face moves under the hand.")
    record_survey(stone, seen(signs=["sugaring"]), by=ruth, now=NOW)
    assert in_force(stone).kind == "leave_alone"
    record_survey(stone, seen(signs=["growth"]), by=ruth, now=NOW)
    row = in_force(stone)
    assert (row.kind, row.overridden_by) == ("leave_alone", ruth)
    assert row.reasons[0]["sentence"] == row.override_reason == "The face moves under the hand."
    assert row.reasons[0]["source"] == "a person's word, written down on Wednesday 6 May 2026"


def test_a_word_holds_again_after_a_worse_look_was_followed_by_a_milder_one(
    stone: Stone, ruth: Person
) -> None:
    record_survey(stone, seen(), by=ruth, now=NOW)
    word(stone, ruth, "conservator", reason="")
    record_survey(stone, seen(signs=["sugaring"]), by=ruth, now=NOW)
    row = in_force(stone)
    assert (row.kind, row.overridden_by) == ("leave_alone", None)
    record_survey(stone, seen(), by=ruth, now=NOW)
    row = in_force(stone)
    assert (row.kind, row.overridden_by) == ("conservator", ruth)


def test_under_a_stricter_word_the_cordons_of_a_new_look_count(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(), by=ruth, now=NOW)
    word(stone, ruth, "leave_alone", reason="")
    record_survey(stone, seen(signs=["wobble"]), by=ruth, now=NOW)
    row = in_force(stone)
    assert row.kind == "leave_alone"
    assert [reason["cordon"] for reason in row.reasons] == [False, True]


def test_a_new_type_or_height_of_a_stone_is_concluded_from_anew(stone: Stone, ruth: Person) -> None:
    found = seen(signs=["wobble", "growth"])
    record_survey(stone, found, by=ruth, now=NOW)
    assert in_force(stone).kind == "needs"
    change_stone(stone, {"type": "obelisk"}, by=ruth, now=NOW)
    assert in_force(stone).kind == "conservator"
    change_stone(stone, {"type": "tablet"}, by=ruth, now=NOW)
    assert in_force(stone).kind == "needs"
    change_stone(stone, {"height_cm": 151}, by=ruth, now=NOW)
    assert in_force(stone).kind == "conservator"
    change_stone(stone, {"height_cm": None}, by=ruth, now=NOW)
    assert in_force(stone).kind == "conservator"
    assert AuditEntry.objects.filter(verb="concluded anew").count() == 4


def test_a_change_that_concludes_the_same_leaves_a_word_in_force(
    stone: Stone, ruth: Person
) -> None:
    record_survey(stone, seen(signs=["sugaring"]), by=ruth, now=NOW)
    word(stone, ruth, "needs", "clean")
    before = in_force(stone).pk
    change_stone(stone, {"height_cm": 120, "notes": "measured anew"}, by=ruth, now=NOW)
    assert in_force(stone).pk == before
    unseen = factories.make_stone(stone.section)
    assert change_stone(unseen, {"type": "obelisk"}, by=ruth, now=NOW) == []


def test_asking_for_another_look_closes_the_stone_from_today(stone: Stone, ruth: Person) -> None:
    record_survey(stone, seen(signs=["growth"]), by=ruth, now=NOW)
    needs = ["clean", "look_again"]
    override_conclusion(stone, kind="needs", needs=needs, reason="", by=ruth, now=NOW)
    assert in_force(stone).look_again_on == date(2026, 5, 5)
