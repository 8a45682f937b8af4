"""Priorities: typed by hand, taken as suggested, told apart, and never of another place."""

from datetime import date

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from workdays.actions.backlog import add_job, change_job
from workdays.actions.priorities import set_priorities, take_suggestion, take_suggestions
from workdays.models import Cemetery, FamilyLeave, Job, Survey
from workdays.queries.suggestions import suggestions_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def hill() -> Cemetery:
    return factories.make_cemetery()


def reset(place: Cemetery, **overrides: object) -> Job:
    """Make a job to reset a stone that leaned 4 degrees and now leans 20 and wobbles."""
    stone = factories.make_stone(factories.make_section(place))
    factories.conclude(stone, needs=["reset"])
    Survey.objects.create(stone=stone, on=date(2025, 5, 1), lean_degrees=4)
    Survey.objects.create(stone=stone, on=date(2026, 5, 1), lean_degrees=20, signs=["wobble"])
    return factories.make_job(stone, "resetting", lifters=2, **overrides)


def told(job: Job) -> tuple[int, bool]:
    job.refresh_from_db()
    return job.priority, job.priority_by_hand


def test_danger_that_grows_is_suggested_from_rows_with_its_reasons(hill: Cemetery) -> None:
    job = reset(hill)
    found = suggestions_of([job], now=NOW)[job.pk]
    assert found is not None
    assert found.priority == 100
    assert [ground.sentence for ground in found.grounds] == [
        "A danger to visitors: it leans 20 degrees, a touch may snap it.",
        "It leans 16 degrees more than on 1 May 2025.",
        "Getting worse since 1 May 2025: wobbles.",
    ]


def test_a_family_that_gave_its_leave_and_a_day_nearby_speak_for_a_job(hill: Cemetery) -> None:
    section = factories.make_section(hill)
    first, second = (factories.make_job(factories.make_stone(section)) for _ in range(2))
    assert suggestions_of([first, second], now=NOW) == {first.pk: None, second.pk: None}
    assert first.stone
    factories.make_family(first.stone, "cleaning", state=FamilyLeave.State.GIVEN)
    factories.make_day(hill).jobs.add(second)
    found = suggestions_of([first, second], now=NOW)
    assert found[second.pk] is None, "its own day is no reason to do it"
    one = found[first.pk]
    assert one is not None
    assert [ground.sentence for ground in one.grounds] == [
        "The family gave its leave and waits.",
        "People work in this section on Saturday 9 May anyway.",
    ]


def test_taking_all_leaves_what_was_set_by_hand(hill: Cemetery, ruth: Person) -> None:
    free, held = reset(hill), reset(hill, priority=12, priority_by_hand=True)
    ids = [free.pk, held.pk]
    assert take_suggestions(hill, ids, by=ruth, now=NOW) == 1
    assert (told(free), told(held)) == ((100, False), (12, True))
    entry = AuditEntry.objects.get(verb="took suggested priority")
    assert (entry.actor, entry.thing_id) == (ruth, str(free.pk))
    assert entry.detail["priority"] == [30, 100]
    assert take_suggestions(hill, ids, by=ruth, now=NOW) == 0, "a second press changes nothing"


def test_one_taken_by_itself_gives_up_what_was_set_by_hand(hill: Cemetery, ruth: Person) -> None:
    held = reset(hill, priority=12, priority_by_hand=True)
    assert take_suggestion(hill, held.pk, by=ruth, now=NOW) == 1
    assert told(held) == (100, False)


def test_typed_numbers_are_set_by_hand_and_only_inside_the_bounds(
    hill: Cemetery, ruth: Person
) -> None:
    job = reset(hill)
    assert set_priorities(hill, {job.pk: 77}, by=ruth) == 1
    assert told(job) == (77, True)
    assert set_priorities(hill, {job.pk: 77}, by=ruth) == 0
    for number in (0, 101, -1):
        with pytest.raises(Refused, match="Give 1 to 100"):
            set_priorities(hill, {job.pk: number}, by=ruth)
    assert told(job) == (77, True)
    assert AuditEntry.objects.filter(verb="set priority").count() == 1


def test_jobs_of_another_place_and_jobs_that_are_done_stay(hill: Cemetery, ruth: Person) -> None:
    other, done = reset(factories.make_cemetery()), reset(hill, state=Job.State.DONE)
    ids = [other.pk, done.pk, 10**15]
    assert set_priorities(hill, dict.fromkeys(ids, 90), by=ruth) == 0
    assert take_suggestions(hill, ids, by=ruth, now=NOW) == 0
    assert (told(other), told(done)) == ((30, False), (30, False))


def test_a_priority_typed_into_the_form_of_a_job_is_set_by_hand(
    hill: Cemetery, ruth: Person
) -> None:
    section = factories.make_section(hill)
    values = {
        "kind": factories.kind("raking"),
        "stone": None,
        "section": section,
        "priority": 30,
        "person_minutes": 60,
        "fewest": 2,
        "most": 4,
        "lifters": 0,
        "wait_hours": 0,
    }
    usual = add_job(hill, values, by=ruth)
    chosen = add_job(hill, values | {"priority": 55}, by=ruth)
    assert (told(usual), told(chosen)) == ((30, False), (55, True))
    change_job(usual, values | {"person_minutes": 90}, prerequisites=[], by=ruth, now=NOW)
    assert told(usual) == (30, False)
    change_job(usual, values | {"priority": 31}, prerequisites=[], by=ruth, now=NOW)
    assert told(usual) == (31, True)
