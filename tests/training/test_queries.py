"""Reads of the ledger against rows."""

from datetime import date

import pytest
from pytest_django import DjangoAssertNumQueries

from tests import factories
from training.models import ClinicAttendance, Countersign, HoursEntry
from training.queries import standing_lines, standing_of, waiting_for_countersign
from training.rules.standing import Level

pytestmark = pytest.mark.django_db
ON = date(2026, 5, 9)


def entry(person_id: int, **overrides: object) -> HoursEntry:
    values: dict[str, object] = {
        "person_id": person_id,
        "skill": factories.skill("cleaning"),
        "day_number": 1,
        "block_number": 1,
        "cemetery_number": 7,
        "place": "Alder Hill",
        "on": date(2026, 4, 1),
        "minutes": 480,
        "stones": 6,
    }
    return HoursEntry.objects.create(**(values | overrides))


def test_the_newest_countersign_counts() -> None:
    person, supervisor = factories.make_person(), factories.make_person()
    row = entry(person.pk)
    for decision, minutes in [("confirmed", 480), ("refused", 0)]:
        Countersign.objects.create(
            entry=row, decision=decision, minutes=minutes, stones=6, by=supervisor
        )
    levels = standing_of([person.pk], cemetery_number=7, on=ON)
    assert levels[person.pk]["cleaning"] is Level.NEW


def test_levels_come_from_dated_rows_in_as_many_statements_for_many_people(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    people = [factories.make_person() for _ in range(5)]
    factories.sign_off(people[0], "resetting", "supervisor", cemetery_numbers=[7])
    ClinicAttendance.objects.create(
        person=people[1], skill=factories.skill("cleaning"), on=date(2026, 3, 1)
    )
    row = entry(people[2].pk)
    Countersign.objects.create(entry=row, decision="confirmed", minutes=480, stones=6, by=people[0])
    with django_assert_num_queries(5):
        levels = standing_of([p.pk for p in people], cemetery_number=7, on=ON)
    assert levels[people[0].pk]["resetting"] is Level.SUPERVISOR
    assert levels[people[1].pk]["cleaning"] is Level.TAUGHT
    assert levels[people[2].pk]["cleaning"] is Level.PRACTISED
    assert levels[people[3].pk]["cleaning"] is Level.NEW
    elsewhere = standing_of([people[0].pk], cemetery_number=8, on=ON)
    assert elsewhere[people[0].pk]["resetting"] is Level.NEW


def test_a_page_line_says_what_is_missing() -> None:
    person = factories.make_person()
    lines = {line.skill: line for line in standing_lines(person, cemetery_number=7, on=ON)}
    assert "clinic" in lines["gentle cleaning"].missing


def test_an_entry_without_a_word_waits() -> None:
    person, supervisor = factories.make_person(), factories.make_person()
    row = entry(person.pk, supervisor=supervisor)
    assert list(waiting_for_countersign(supervisor)) == [row]
    assert list(waiting_for_countersign(person)) == []
