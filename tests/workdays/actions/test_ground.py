"""What changes at a place, what is refused, and what the audit keeps of it."""

import pytest
from django.urls import resolve, reverse

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from workdays.actions import ground as actions
from workdays.actions.backlog import add_job, change_job
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.models import Cemetery, CemeterySetting, Job
from workdays.queries.ground import settings_of
from workdays.urls import urlpatterns

pytestmark = pytest.mark.django_db
NOW = factories.NOW
SOURCE = "letter of the owner with permission, 3 March 2026"
FACTS = {
    "name": "Mill Lane",
    "owner_name": "Mill Lane Chapel",
    "owner_email": "ada@owners.example",
    "time_zone": "America/Detroit",
    "address": "3 Mill Lane, Hollin County",
}


@pytest.fixture
def place() -> Cemetery:
    return factories.make_cemetery()


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


def test_a_cemetery_gets_an_address_of_its_own(ruth: Person) -> None:
    slugs = [actions.add_cemetery(FACTS, by=ruth).slug for _ in range(3)]
    assert slugs == ["mill-lane", "mill-lane-2", "mill-lane-3"]
    assert actions.add_cemetery(FACTS | {"name": "New"}, by=ruth).slug == "new-2"
    assert actions.add_cemetery(FACTS | {"name": "Pieces"}, by=ruth).slug == "pieces-2"
    assert actions.add_cemetery(FACTS | {"name": "墓地"}, by=ruth).slug == "cemetery"


def test_no_page_of_another_kind_stands_at_the_address_of_a_cemetery(ruth: Person) -> None:
    parts = [str(pattern.pattern).split("/") for pattern in urlpatterns]
    words = {part[1] for part in parts if part[0] == "ground" and "<" not in part[1]} - {""}
    assert {"new", "chains", "materials"} <= words
    for word in words:
        place = actions.add_cemetery(FACTS | {"name": word.title()}, by=ruth)
        for name in ("cemetery", "plan_sheet", "backlog", "pieces", "sheets"):
            assert resolve(reverse(name, args=[place.slug])).url_name == name


def test_the_audit_names_a_personal_field_without_its_value(ruth: Person, place: Cemetery) -> None:
    values = {"owner_email": "eve@owners.example", "water": "tap at the gate"}
    actions.change_cemetery(place, values, by=ruth)
    detail = AuditEntry.objects.get(verb="changed").detail
    assert detail == {"owner_email": "changed", "water": ["", "tap at the gate"]}


def test_nothing_changed_leaves_no_trace(ruth: Person, place: Cemetery) -> None:
    actions.change_cemetery(place, {"name": place.name}, by=ruth)
    assert not AuditEntry.objects.exists()


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("coldest_wet_f", 5, "out-of-bounds"),
        ("coldest_wet_f", float("nan"), "not-whole"),
        ("coldest_wet_f", 40.5, "not-whole"),
        ("coldest_wet_f", True, "not-a-number"),
        ("coldest_wet_f", "warm", "not-a-number"),
        ("below_ground_fraction", 0.9, "out-of-bounds"),
        ("probing", "yes", "yes-or-no"),
        ("water", "  ", "no-words"),
    ],
)
def test_a_value_outside_its_bounds_is_refused(
    ruth: Person, place: Cemetery, key: str, value: object, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        actions.change_setting(place, key, value, source=SOURCE, by=ruth, now=NOW)  # type: ignore[arg-type]  # what a form may let in
    assert codes(refused) == [code]
    assert not CemeterySetting.objects.exists()


def test_a_setting_is_kept_with_its_source(ruth: Person, place: Cemetery) -> None:
    assert settings_of(place)["coldest_wet_f"] == 40
    actions.change_setting(place, "coldest_wet_f", 55, source=SOURCE, by=ruth, now=NOW)
    assert settings_of(place)["coldest_wet_f"] == 55
    row = place.settings.get()
    assert (row.source, row.changed_by) == (SOURCE, ruth)
    assert AuditEntry.objects.get().detail["value"] == [40, 55]
    with pytest.raises(Refused) as refused:
        actions.change_setting(place, "coldest_wet_f", 50, source="", by=ruth, now=NOW)
    assert codes(refused) == ["no-source"]


def test_volunteers_reset_only_with_the_owners_permission_named(
    ruth: Person, place: Cemetery
) -> None:
    key = "volunteer_resets"
    with pytest.raises(Refused) as refused:
        actions.change_setting(place, key, True, source="we always did", by=ruth, now=NOW)
    assert codes(refused) == ["no-leave-of-owner"]
    actions.change_setting(place, key, True, source=SOURCE, by=ruth, now=NOW)
    assert settings_of(place)[key] is True
    actions.change_setting(place, key, False, source="we always did", by=ruth, now=NOW)


def test_turning_volunteer_resets_off_takes_resets_off_days(ruth: Person, place: Cemetery) -> None:
    factories.make_permission(place)
    key = "volunteer_resets"
    actions.change_setting(place, key, True, source=SOURCE, by=ruth, now=NOW)
    stone = factories.make_stone(factories.make_section(place))
    factories.conclude(stone, needs=["reset"])
    day, job = factories.make_day(place), factories.make_job(stone, "resetting")
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    gone = actions.change_setting(place, key, False, source=SOURCE, by=ruth, now=NOW)
    assert [one.job for one in gone] == [job]
    assert not day.jobs.exists()


def test_a_stone_number_is_taken_once_in_a_cemetery(ruth: Person, place: Cemetery) -> None:
    section = factories.make_section(place)
    actions.add_stone(place, {"number": "A1", "section": section}, by=ruth)
    with pytest.raises(Refused) as refused:
        actions.add_stone(place, {"number": "A1", "section": section}, by=ruth)
    assert codes(refused) == ["taken"]
    other = factories.make_section()
    actions.add_stone(other.cemetery, {"number": "A1", "section": other}, by=ruth)


def test_jobs_follow_their_stone_into_another_section(ruth: Person, place: Cemetery) -> None:
    stone = factories.make_stone(factories.make_section(place))
    job, other = factories.make_job(stone), factories.make_section(place)
    actions.change_stone(stone, {"section": other}, by=ruth, now=NOW)
    job.refresh_from_db()
    assert job.section == other


def wanted(place: Cemetery, **overrides: object) -> dict[str, object]:
    stone = factories.make_stone(factories.make_section(place))
    values: dict[str, object] = {
        "kind": factories.kind("cleaning"),
        "stone": stone,
        "section": None,
        "priority": 30,
        "person_minutes": 60,
        "fewest": 2,
        "most": 4,
        "lifters": 0,
    }
    return values | overrides


def test_a_job_takes_its_section_from_its_stone(ruth: Person, place: Cemetery) -> None:
    values = wanted(place)
    job = add_job(place, values, by=ruth)
    assert job.stone is not None
    assert job.section == job.stone.section


@pytest.mark.parametrize(
    ("overrides", "code"),
    [
        ({"stone": None}, "no-stone"),
        ({"fewest": 1}, "alone"),
        ({"most": 1}, "most"),
        ({"fewest": 2, "most": 40}, "crowd"),
        ({"lifters": 5}, "lifters"),
        ({"priority": 101}, "priority"),
        ({"person_minutes": 100_000}, "minutes"),
    ],
)
def test_a_job_that_cannot_be_is_refused(
    ruth: Person, place: Cemetery, overrides: dict[str, object], code: str
) -> None:
    with pytest.raises(Refused) as refused:
        add_job(place, wanted(place, **overrides), by=ruth)
    assert codes(refused) == [code]
    assert not Job.objects.exists()


def test_a_job_lies_in_its_own_cemetery(ruth: Person, place: Cemetery) -> None:
    with pytest.raises(Refused) as refused:
        add_job(place, wanted(factories.make_cemetery()), by=ruth)
    assert codes(refused) == ["elsewhere"]


def test_jobs_do_not_wait_for_each_other_in_a_circle(ruth: Person, place: Cemetery) -> None:
    one = add_job(place, wanted(place), by=ruth)
    two = add_job(place, wanted(place), prerequisites=[one], by=ruth)
    three = add_job(place, wanted(place), prerequisites=[two], by=ruth)
    for circle in (one, three):
        with pytest.raises(Refused) as refused:
            change_job(one, wanted(place), prerequisites=[circle], by=ruth, now=NOW)
        assert codes(refused) == ["circle"]
    assert not one.prerequisites.exists()


def test_a_job_marked_done_says_when(ruth: Person, place: Cemetery) -> None:
    job = add_job(place, wanted(place), by=ruth)
    change_job(job, wanted(place, state="done"), prerequisites=[], by=ruth, now=NOW)
    job.refresh_from_db()
    assert job.done_at == NOW
    change_job(job, wanted(place, state="open"), prerequisites=[], by=ruth, now=NOW)
    job.refresh_from_db()
    assert job.done_at is None
