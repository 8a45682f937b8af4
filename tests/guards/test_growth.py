"""A list takes as many statements for twenty rows as for ten."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.factories import NOW
from tests.pages import log_in
from training.models import HoursEntry
from workdays.actions.erasing import erase
from workdays.models import (
    Booking,
    Cemetery,
    Invitation,
    MixedMaterial,
    Photograph,
    Recording,
    RollEntry,
    SheetImport,
    Survey,
    Workday,
)


def waiver(_place: Cemetery) -> None:
    factories.make_waiver(cemetery=factories.make_cemetery())


def day(place: Cemetery) -> None:
    made = factories.make_day(place, starts_at=factories.START + timedelta(hours=1))
    factories.make_sign_up(made)


def person(place: Cemetery) -> None:
    somebody = factories.make_person()
    factories.sign_off(somebody, "cleaning")
    factories.make_sign_up(place.days.earliest("pk"), somebody)


def missing(place: Cemetery) -> None:
    day = place.days.earliest("pk")
    day.starts_at, day.ends_at = NOW - timedelta(hours=1), NOW + timedelta(hours=5)
    day.save(update_fields=["starts_at", "ends_at"])
    day.plans.get_or_create(state="published")
    person(place)


def message(place: Cemetery) -> None:
    day = place.days.earliest("pk")
    factories.make_sign_up(day, party=factories.make_group(day))
    factories.make_message(day, [row.person for row in day.sign_ups.all()])


def erased(_place: Cemetery) -> None:
    somebody = factories.make_person()
    factories.sign(somebody)
    erase(somebody.pk, now=NOW)


def cemetery(_place: Cemetery) -> None:
    factories.make_stone(factories.make_section(factories.make_cemetery()))


def stone(place: Cemetery) -> None:
    made = factories.make_stone(place.sections.earliest("pk"))
    factories.conclude(made)


def piece(place: Cemetery) -> None:
    """Note a piece, and a stone that it likely belongs to, seen and read."""
    home = factories.make_stone(place.sections.earliest("pk"))
    on = date(2026, 5, 1)
    Survey.objects.create(stone=home, on=on, signs=["broken_through"])
    Recording.objects.create(stone=home, on=on, lines=["IN MEMORY"])
    made = factories.make_piece(place, section=home.section, letters="MEM")
    Photograph.objects.create(piece=made, taken_on=on)


def ending(place: Cemetery) -> None:
    factories.make_permission(place, "cleaning", ends_on=date(2026, 6, 1))
    stone = factories.make_stone(place.sections.earliest("pk"))
    factories.make_family(stone, "cleaning", "resetting")


def job(place: Cemetery) -> None:
    made = factories.make_stone(place.sections.earliest("pk"))
    factories.conclude(made)
    factories.make_job(made)


def came(place: Cemetery) -> None:
    """Note a job in a section of its own, and a day to which somebody new came."""
    factories.conclude(made := factories.make_stone(factories.make_section(place)))
    factories.make_job(made, person_minutes=10)
    before = NOW - timedelta(days=7 * place.days.count())
    day = factories.make_day(place, starts_at=before, state=Workday.State.CLOSED)
    RollEntry.objects.create(day=day, person=factories.make_person(), arrived_at=before)


def staff(_place: Cemetery) -> None:
    somebody = factories.make_staff("supervisor", factories.make_cemetery())
    Invitation.objects.create(
        email=somebody.email, role="supervisor", invited_by=somebody, invited_at=NOW
    ).skills.add(factories.skill("cleaning"))


def booking(place: Cemetery) -> None:
    Booking.objects.create(
        host=factories.make_host(),
        cemetery=place,
        skill=factories.skill("cleaning"),
        wished_on=date(2026, 6, 6),
        people=12,
    )


def hours(place: Cemetery) -> None:
    HoursEntry.objects.create(
        person=factories.make_person(),
        skill=factories.skill("cleaning"),
        day_number=place.days.earliest("pk").pk,
        block_number=1,
        cemetery_number=place.pk,
        place=place.name,
        on=date(2026, 5, 2),
        minutes=180,
        supervisor=factories.make_person(),
    )


def sheet(place: Cemetery) -> None:
    SheetImport.objects.create(cemetery=place, file_name="hill.csv")


def chain(place: Cemetery) -> None:
    made = factories.make_stone(place.sections.earliest("pk"))
    factories.conclude(made, needs=["reset", "clean"])


def mending(place: Cemetery) -> None:
    made = factories.make_stone(place.sections.earliest("pk"))
    factories.conclude(made, "conservator", needs=[])
    mortar = MixedMaterial.objects.earliest("pk")
    factories.make_job(made, "mending", lifters=1, material=mortar, material_litres=3)


LISTS: dict[str, Callable[[Cemetery], None]] = {
    "staff": staff,
    "days_public": day,
    "days": day,
    "week": day,
    "people": person,
    "kept_list": erased,
    "same_person": person,
    "day_desk": person,
    "day_list": person,
    "day_message": person,
    "day_messages": message,
    "roll": person,
    "plan_now": missing,
    "ground": cemetery,
    "cemetery": stone,
    "stones": stone,
    "sheets": sheet,
    "readings": stone,
    "pieces": piece,
    "backlog": job,
    "priorities": job,
    "look_ahead": came,
    "cemetery_chains": chain,
    "batches": mending,
    "leave_ahead": ending,
    "cemetery_leave_ahead": ending,
    "day_jobs": job,
    "bookings": booking,
    "training": hours,
    "waivers": waiver,
}
OF_DAY = {"day_desk", "day_list", "day_message", "day_messages", "roll", "day_jobs"}
OF_DAY |= {"plan_now"}
OF_PLACE = {
    *("cemetery", "stones", "sheets", "readings", "backlog", "priorities"),
    *("cemetery_leave_ahead", "pieces"),
}
OF_PLACE |= {"cemetery_chains", "batches", "look_ahead"}


def address(name: str, place: Cemetery) -> str:
    if name in OF_DAY:
        return reverse(name, args=[place.days.earliest("pk").pk])
    if name == "same_person":
        return reverse(name, args=[Person.objects.earliest("pk").pk])
    return reverse(name, args=[place.slug] if name in OF_PLACE else [])


def seen(client: Client, path: str) -> tuple[int, int]:
    """Return how many statements a page took, and how long it is."""
    with CaptureQueriesContext(connection) as found:
        page = client.get(path)
    assert page.status_code == 200
    return len(found), len(page.content)


@pytest.fixture
def place(db: None) -> Cemetery:
    """Make a place with a day, leave, a section and a waiver."""
    here = factories.make_cemetery()
    factories.make_permission(here)
    factories.make_section(here)
    factories.make_waiver()
    factories.make_day(here)
    return here


@pytest.fixture
def ruth() -> Person:
    return factories.make_staff()


@pytest.mark.django_db
@pytest.mark.parametrize("name", LISTS)
def test_a_list_does_not_ask_for_each_row(
    name: str, place: Cemetery, ruth: Person, client: Client
) -> None:
    with time_machine.travel(NOW, tick=False):
        log_in(client, ruth)
        path = address(name, place)
        pages = []
        for _ in range(2):
            for _ in range(10):
                LISTS[name](place)
            pages.append(seen(client, path))
    (for_ten, short), (for_twenty, long) = pages
    assert long > short, "the page shows no rows: this test would see nothing"
    assert for_twenty <= for_ten
