"""Two rows joined are one human in every question; parted, each has what was theirs."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from training.models import Countersign, HoursEntry
from training.queries import standing_lines, standing_of
from workdays.access import Viewer
from workdays.actions.erasing import erase
from workdays.actions.joining import join, part
from workdays.models import RollEntry, Signature, SignUp, Workday
from workdays.queries import my_data, own, people, planning
from workdays.queries.again import people_of
from workdays.queries.day_people import part_names
from workdays.queries.day_people import people_of as people_of_day
from workdays.queries.waivers import people_with_waiver, people_with_waiver_by_day

pytestmark = pytest.mark.django_db


def viewer(person: Person, *places: int) -> Viewer:
    return Viewer(person, frozenset(places), frozenset(), not places, supervises_everywhere=False)


@pytest.fixture
def ana() -> Person:
    """Make somebody who signed, is signed off, and worked an hour."""
    made = factories.make_person(name="Ana Costa", email="ana@volunteers.example")
    factories.sign(made)
    factories.sign_off(made, "cleaning")
    _hours(made, 60)
    return made


@pytest.fixture
def anna() -> Person:
    """Make the same human under another mailbox, who worked half an hour and missed a day."""
    made = factories.make_person(name="Anna Costa", email="anna@volunteers.example")
    _hours(made, 30)
    before = factories.START - timedelta(days=14)
    missed = factories.make_day(starts_at=before, state=Workday.State.CLOSED)
    factories.make_sign_up(missed, made)
    return made


def _hours(person: Person, minutes: int) -> None:
    entry = HoursEntry.objects.create(
        person=person,
        skill=factories.skill("cleaning"),
        day_number=1,
        block_number=1,
        cemetery_number=1,
        place="Alder Hill",
        on=date(2026, 4, 4),
        minutes=minutes,
    )
    Countersign.objects.create(
        entry=entry, decision=Countersign.Decision.CONFIRMED, minutes=minutes, by=person
    )


def known(day: Workday, person: Person) -> dict[str, Any]:
    """Return what each part of the product knows of one row."""
    listed = (r for r in people_of_day(day, part_names()) if r.sign_up.person_id == person.pk)
    row = next(listed, None)
    facts = {p.id: p for p in planning.planning_facts(day).people}
    cleaning = next(
        line
        for line in standing_lines(person, cemetery_number=1, on=NOW.date())
        if line.skill == factories.skill("cleaning").name
    )
    data = {one.key: len(one.rows) for one in my_data.data_of(person)}
    return {
        "desk": row and (row.waiver, row.levels, row.missed),
        "waiver": person.pk in people_with_waiver(day, [person.pk]),
        "waivers of the week": person.pk in people_with_waiver_by_day({day: [person.pk]})[day.pk],
        "level": standing_of([person.pk], cemetery_number=1, on=NOW.date())[person.pk]["cleaning"],
        "minutes": cleaning.minutes,
        "history": len(people.history_of(person)),
        "sign-offs": len(people.sign_offs_of(person)),
        "data": data,
        "own": len(own.own_page(person, now=NOW).signatures),
        "planned": facts.get(f"p{person.pk}"),
    }


def test_joined_they_are_one_in_every_question_and_parted_each_is_as_before(
    ana: Person, anna: Person, ruth: Person
) -> None:
    day = factories.make_day()
    factories.make_sign_up(day, anna)
    before = known(day, ana), known(day, anna)
    assert (before[0]["minutes"], before[1]["minutes"]) == (60, 30)
    assert before[1]["desk"] is not None
    assert before[1]["desk"][0] == "missing"
    kept = join(ana, anna, who=viewer(ruth), why="She told me.", now=NOW)
    assert kept == ana
    for person in (ana, Person.objects.get(pk=anna.pk)):
        now = known(day, person)
        assert (now["waiver"], now["waivers of the week"], now["minutes"]) == (True, True, 90)
        assert now["level"] == before[0]["level"]
        assert (now["history"], now["sign-offs"], now["own"]) == (2, 1, 1)
        data = now["data"]
        assert (data["you"], data["hours"], data["sign_ups"], data["signatures"]) == (2, 2, 2, 1)
    desk = known(day, Person.objects.get(pk=anna.pk))["desk"]
    assert desk is not None
    assert desk[0] == "signed"
    assert "signed off" in desk[1]
    planned = known(day, Person.objects.get(pk=anna.pk))["planned"]
    assert planned.waiver
    assert planned.levels["cleaning"] > before[1]["planned"].levels["cleaning"]
    assert not before[1]["planned"].waiver
    assert "did not come once" in desk[2]
    part(anna.pk, who=viewer(ruth))
    after = known(day, Person.objects.get(pk=ana.pk)), known(day, Person.objects.get(pk=anna.pk))
    assert after == before
    verbs = AuditEntry.objects.filter(thing_id=str(anna.pk)).values_list("verb", flat=True)
    assert sorted(verbs) == ["joined as one person", "parted again"]


def test_whoever_was_on_the_ground_by_the_other_row_missed_nothing(
    ana: Person, anna: Person, ruth: Person
) -> None:
    missed = anna.sign_ups.get().day
    day = factories.make_day()
    factories.make_sign_up(day, anna)
    RollEntry.objects.create(day=missed, person=ana, arrived_at=missed.starts_at)
    join(ana, anna, who=viewer(ruth), why="", now=NOW)
    [row] = people_of_day(day, part_names())
    assert row.missed == ""


def test_either_mailbox_leads_to_the_one_own_page(ana: Person, anna: Person, ruth: Person) -> None:
    join(ana, anna, who=viewer(ruth), why="", now=NOW)
    for mailbox in (ana.email, anna.email):
        assert list(people_of(mailbox)) == [ana]


def _live_day(one: Person, other: Person) -> None:
    day = factories.make_day()
    for person in (one, other):
        factories.make_sign_up(day, person)


def _guardian(one: Person, other: Person) -> None:
    factories.make_sign_up(factories.make_day(), one, guardian=other)


def _other_name(one: Person, other: Person) -> None:
    factories.sign(other, Signature.objects.get().waiver, typed_name="Somebody Else")


@pytest.mark.parametrize(
    ("make", "why", "words"),
    [
        (_live_day, "I know.", "withdraw one of the two first"),
        (_guardian, "I know.", "they are two people"),
        (_other_name, "", "Say why"),
    ],
)
def test_what_speaks_against_it_is_said_and_nothing_is_joined(
    ana: Person,
    anna: Person,
    ruth: Person,
    make: Callable[[Person, Person], None],
    why: str,
    words: str,
) -> None:
    make(ana, anna)
    with pytest.raises(Refused, match=words):
        join(ana, anna, who=viewer(ruth), why=why, now=NOW)
    assert not Person.objects.filter(joined_into__isnull=False).exists()
    SignUp.objects.filter(day__ends_at__gt=NOW).delete()
    assert join(ana, anna, who=viewer(ruth), why="I know her.", now=NOW) == ana


def test_staff_of_a_place_that_one_does_not_organise_are_not_joined(
    anna: Person, ruth: Person
) -> None:
    place, elsewhere = factories.make_cemetery(), factories.make_cemetery()
    staff = factories.make_staff("supervisor", elsewhere)
    with pytest.raises(Refused, match="whole programme"):
        join(staff, anna, who=viewer(ruth, place.pk), why="x", now=NOW)
    assert join(anna, staff, who=viewer(ruth), why="x", now=NOW) == staff


def test_pressed_twice_it_is_done_once(ana: Person, anna: Person, ruth: Person) -> None:
    for _ in range(2):
        assert join(anna, ana, who=viewer(ruth), why="", now=NOW) == ana
    assert AuditEntry.objects.filter(verb="joined as one person").count() == 2
    part(anna.pk, who=viewer(ruth))
    with pytest.raises(Refused, match="two already"):
        part(anna.pk, who=viewer(ruth))


def test_whoever_is_erased_is_erased_in_every_row(ana: Person, anna: Person, ruth: Person) -> None:
    join(ana, anna, who=viewer(ruth), why="", now=NOW)
    erase(ana.pk, now=NOW)
    assert set(Person.objects.filter(erased_at=NOW)) == {ana, anna}
    assert not Person.objects.filter(name__contains="Costa").exists()
