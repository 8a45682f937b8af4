"""What the owner and families allow: refused when it cannot be, binding on days there already."""

from dataclasses import replace
from datetime import date, time, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from workdays.actions.days import open_day
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.actions.leave import add_family, add_permission, change_family, change_permission
from workdays.models import Cemetery, FamilyLeave, Job, KindOfWork, Permission, Stone, Workday
from workdays.queries.opening import opening_facts
from workdays.queries.readiness import readiness_of
from workdays.rules.opening import refusals_to_open

pytestmark = pytest.mark.django_db
ASKED = {"name": "Family Example", "contact": "555-0170", "state": "asked", "answered_on": None}
ON = date(2026, 5, 9)


@pytest.fixture
def place() -> Cemetery:
    return factories.make_cemetery()


@pytest.fixture
def stone(place: Cemetery) -> Stone:
    stone = factories.make_stone(factories.make_section(place))
    factories.conclude(stone)
    return stone


def cleaning() -> list[KindOfWork]:
    return [factories.kind("cleaning")]


def year(**changes: Any) -> dict[str, Any]:
    values = {"starts_on": date(2026, 1, 1), "ends_on": date(2026, 12, 31), "given_by": "Township"}
    return values | changes


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


def job_on_a_day(stone: Stone, by: Person) -> tuple[Workday, Job]:
    day, job = factories.make_day(stone.cemetery), factories.make_job(stone)
    put_jobs_on_day(day, [job], by=by, now=NOW)
    return day, job


def test_a_permission_that_cannot_be_is_not_stored(ruth: Person, place: Cemetery) -> None:
    with pytest.raises(Refused) as refused:
        add_permission(place, year(ends_on=date(2025, 1, 1)), kinds=[], by=ruth, now=NOW)
    assert codes(refused) == ["no-kinds", "ends-first"]
    tomorrow = year(given_on=date(2026, 5, 7))
    with pytest.raises(Refused) as refused:
        add_permission(place, tomorrow, kinds=cleaning(), by=ruth, now=NOW)
    assert codes(refused) == ["given-ahead"]
    assert not Permission.objects.exists()


def test_a_change_of_one_value_is_judged_with_those_that_stay(
    ruth: Person, place: Cemetery
) -> None:
    leave = factories.make_permission(place)
    with pytest.raises(Refused) as refused:
        change_permission(leave, {"quiet_from": time(12)}, kinds=cleaning(), by=ruth, now=NOW)
    assert codes(refused) == ["quiet-until"]
    with pytest.raises(Refused) as refused:
        change_permission(leave, {"ends_on": date(2025, 6, 1)}, kinds=cleaning(), by=ruth, now=NOW)
    assert codes(refused) == ["ends-first"]


def test_a_permission_that_ends_takes_its_jobs_off_days(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    noted = add_permission(place, year(), kinds=cleaning(), by=ruth, now=NOW)
    day, job = job_on_a_day(stone, ruth)
    ends = year(ends_on=date(2026, 5, 8))
    gone = change_permission(noted.permission, ends, kinds=cleaning(), by=ruth, now=NOW)
    assert [one.job for one in gone] == [job]
    assert not day.jobs.exists()
    assert "ends on 8 May 2026; it does not cover Saturday 9 May 2026" in gone[0].sentence
    assert Permission.objects.get().ends_on == date(2026, 5, 8)


def test_a_second_permission_with_quiet_hours_takes_jobs_off_days(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    factories.make_permission(place)
    day, job = job_on_a_day(stone, ruth)
    quiet = year(quiet_from=time(12), quiet_until=time(13))
    noted = add_permission(place, quiet, kinds=cleaning(), by=ruth, now=NOW)
    assert [one.job for one in noted.taken_off] == [job]
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(day, [job], by=ruth, now=NOW)
    assert codes(refused) == ["quiet-hours"]
    assert "quiet hours for gentle cleaning are 12:00 to 13:00" in str(refused.value)


def test_quiet_hours_are_read_on_the_clock_of_the_place(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    # The day is 9:00 to 15:00 in Detroit, 13:00 to 19:00 in UTC.
    early = year(quiet_from=time(0), quiet_until=time(9))
    late = year(quiet_from=time(15), quiet_until=time(23, 59))
    for values in (early, late):
        add_permission(place, values, kinds=cleaning(), by=ruth, now=NOW)
    day, job = job_on_a_day(stone, ruth)
    assert list(day.jobs.all()) == [job]


def test_a_day_is_not_opened_into_quiet_hours(ruth: Person, place: Cemetery) -> None:
    factories.make_waiver()
    factories.make_permission(place, quiet_from=time(14, 45), quiet_until=time(18))
    day = factories.make_day(place, state=Workday.State.DRAFT)
    with pytest.raises(Refused) as refused:
        open_day(day.pk, by=ruth, now=NOW)
    assert codes(refused) == ["quiet_hours"]
    assert "on Saturday 9 May are 14:45 to 18:00, and the day runs from 9:00 to 15:00" in str(
        refused.value
    )
    Permission.objects.update(quiet_from=time(15))
    assert open_day(day.pk, by=ruth, now=NOW).state == Workday.State.OPEN


def test_quiet_hours_for_other_work_do_not_keep_a_day_shut(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    factories.make_waiver()
    factories.make_permission(place, "cleaning")
    factories.make_permission(place, "resetting", quiet_from=time(9), quiet_until=time(10))
    day = factories.make_day(place, state=Workday.State.DRAFT)
    assert [r.code for r in refusals_to_open(opening_facts(day, NOW))] == ["quiet_hours"]
    put_jobs_on_day(day, [factories.make_job(stone)], by=ruth, now=NOW)
    assert refusals_to_open(opening_facts(day, NOW)) == []


def test_the_rain_date_is_judged_by_the_same_hours(place: Cemetery) -> None:
    factories.make_waiver()
    factories.make_permission(
        place, starts_on=date(2026, 5, 10), quiet_from=time(10), quiet_until=time(11)
    )
    day = factories.make_day(place, state=Workday.State.DRAFT)
    facts = opening_facts(day, NOW, on=date(2026, 5, 10))
    assert (facts.on, facts.starts_at.hour, facts.ends_at.hour) == (date(2026, 5, 10), 9, 15)
    assert [refusal.code for refusal in refusals_to_open(facts)] == ["quiet_hours"]
    assert refusals_to_open(replace(facts, quiet=())) == []


def test_a_family_that_is_wanted_takes_its_jobs_off_days(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    factories.make_permission(place)
    day, job = job_on_a_day(stone, ruth)
    values = ASKED | {"asked_on": date(2026, 5, 3)}
    noted = add_family(stone, values, kinds=cleaning(), by=ruth, now=NOW)
    assert [one.job for one in noted.taken_off] == [job]
    said = noted.taken_off[0].sentence
    assert "The family was asked on 3 May and has not answered" in said
    assert "Family Example" not in said
    assert not day.jobs.exists()


def test_leave_that_a_family_gave_frees_its_jobs_and_a_refusal_takes_them_off(
    ruth: Person, place: Cemetery, stone: Stone
) -> None:
    factories.make_permission(place)
    family, job = factories.make_family(stone), factories.make_job(stone)
    assert [refusal.code for refusal in readiness_of([job], ON)[job.pk]] == ["family"]
    given = {"state": "given", "answered_on": date(2026, 5, 5)}
    assert change_family(family, given, kinds=cleaning(), by=ruth, now=NOW) == []
    assert readiness_of([job], ON)[job.pk] == []
    day = factories.make_day(place)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    gone = change_family(family, {"state": "refused"}, kinds=cleaning(), by=ruth, now=NOW)
    assert [one.sentence for one in gone] == [
        f"{job} was taken off Saturday 9 May. "
        "The family refused on 5 May: no gentle cleaning at this stone."
    ]


def test_a_family_holds_up_only_its_kinds_at_its_stone(place: Cemetery, stone: Stone) -> None:
    factories.make_permission(place)
    factories.make_family(stone, "resetting")
    other = factories.make_stone(stone.section)
    factories.conclude(other)
    factories.make_family(other)
    jobs = [factories.make_job(stone), factories.make_job(stone, "recording")]
    assert list(readiness_of(jobs, ON).values()) == [[], []]


def test_a_family_that_cannot_be_is_not_stored(ruth: Person, stone: Stone) -> None:
    ahead = ASKED | {"asked_on": NOW.date() + timedelta(days=1)}
    with pytest.raises(Refused) as refused:
        add_family(stone, ahead, kinds=[], by=ruth, now=NOW)
    assert codes(refused) == ["no-kinds", "asked-ahead"]
    assert not FamilyLeave.objects.exists()
    family = factories.make_family(stone)
    with pytest.raises(Refused) as refused:
        change_family(family, {"state": "given"}, kinds=cleaning(), by=ruth, now=NOW)
    assert codes(refused) == ["not-answered"]


def test_the_audit_of_a_family_keeps_no_name_and_no_words(ruth: Person, stone: Stone) -> None:
    values = ASKED | {"asked_on": date(2026, 5, 3)}
    family = add_family(stone, values, kinds=cleaning(), by=ruth, now=NOW).family
    answer = {"words": "Leave her alone.", "state": "no_answer"}
    change_family(family, answer, kinds=[factories.kind("resetting")], by=ruth, now=NOW)
    change_family(family, answer, kinds=[factories.kind("resetting")], by=ruth, now=NOW)
    added, changed = AuditEntry.objects.filter(thing_type="familyleave").order_by("pk")
    assert added.detail == {
        "state": "asked",
        "asked_on": "2026-05-03",
        "answered_on": None,
        "kinds": ["cleaning"],
    }
    assert changed.detail == {
        "words": "changed",
        "state": ["asked", "no_answer"],
        "kinds": [["cleaning"], ["resetting"]],
    }
