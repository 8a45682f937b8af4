"""An example day of fixtures/days as a day of the site: its ground, people and jobs as rows.

People get invented names by their number, stones the numbers of the file. Left out, because no row
says it: hours in which the weather allows a single job.
"""

import json
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from coordinator.models import Person
from tests import factories
from training.models import ClinicAttendance
from workdays.models import (
    Block,
    CemeterySetting,
    Job,
    Party,
    Section,
    SignUp,
    Stone,
    Waiver,
    Workday,
)
from workdays.rules.facts import SIGNED_OFF, SUPERVISOR, TAUGHT

DAYS = Path(__file__).parents[1] / "fixtures" / "days"
SLOT = timedelta(minutes=15)
# The three kinds of the file: kind of work and skill, and what a stone must need for it.
KINDS = {"rake": ("raking", ""), "clean": ("cleaning", "clean"), "reset": ("resetting", "reset")}
GIVEN = (
    *("Ana", "Ben", "Cora", "Dov", "Elsa", "Finn", "Greta", "Hugo", "Ines", "Jonas"),
    *("Kaya", "Leon", "Mira", "Nils", "Olga", "Piet", "Rosa", "Sven", "Tova", "Udo"),
)
FAMILY = (
    *("Ashdown", "Birk", "Cray", "Dunmore", "Elling", "Farrow", "Gill", "Hatch", "Irby", "Jarl"),
    *("Kell", "Lund", "Marl", "Nook", "Orme", "Pell", "Quist", "Rusk", "Stoll", "Thane"),
)


def example_day(name: str, starts_at: datetime = factories.START, **place: Any) -> Workday:
    """Put a day such as "25x60s1" into the site, open, with nothing planned; return it."""
    row = json.loads((DAYS / f"{name}.json").read_text())
    cemetery = factories.make_cemetery(**place)
    CemeterySetting.objects.create(
        cemetery=cemetery, key="volunteer_resets", value=True, source="the owner's letter"
    )
    on = starts_at.astimezone(cemetery.zone).date()
    month = timedelta(days=30)
    factories.make_permission(cemetery, starts_on=on - month, ends_on=on + month)
    day = Workday.objects.create(
        cemetery=cemetery,
        state=Workday.State.OPEN,
        starts_at=starts_at,
        ends_at=starts_at + SLOT * max(block["end"] for block in row["blocks"]),
        cut_off_at=starts_at - timedelta(hours=15),
        call_by_at=starts_at - timedelta(hours=15),
        meeting_point="At the gate on Quarry Road",
        capacity=len(row["people"]),
        equipment=row["kit"],
    )
    _blocks(day, row["blocks"])
    _people(day, row["people"])
    _jobs(day, row["sections"], row["jobs"])
    return day


def name_of(key: str) -> str:
    """Return the invented name of somebody of the file, such as "p7"."""
    number = int(key[1:]) - 1
    return f"{GIVEN[number % len(GIVEN)]} {FAMILY[number // len(GIVEN)]}"


def _blocks(day: Workday, rows: list[dict[str, Any]]) -> None:
    """Cut the day into its stretches of work, with a break between two."""
    before = None
    for row in rows:
        starts_at, ends_at = (day.starts_at + SLOT * row[edge] for edge in ("start", "end"))
        if before is not None:
            Block.objects.create(
                day=day, name="lunch", kind=Block.Kind.BREAK, starts_at=before, ends_at=starts_at
            )
        Block.objects.create(day=day, name=row["name"], starts_at=starts_at, ends_at=ends_at)
        before = ends_at


def _people(day: Workday, rows: list[dict[str, Any]]) -> None:
    waiver = factories.make_waiver(cemetery=day.cemetery, validity=Waiver.Validity.NEW_VERSION)
    people = {row["id"]: _person(row, day) for row in rows}
    parties = {key: Party.objects.create(day=day, name=key) for key in _parties(rows)}
    for row in rows:
        guardian = people.get(row["guardian"])
        factories.sign(people[row["id"]], waiver, signed_by=guardian or people[row["id"]])
        SignUp.objects.create(
            day=day,
            person=people[row["id"]],
            state=SignUp.State.COMING,
            party=parties.get(row["party"]),
            guardian=guardian,
            comes_at=day.starts_at + SLOT * row["arrive"] if row["arrive"] else None,
            leaves_at=day.starts_at + SLOT * row["leave"],
            wishes=factories.skill(KINDS[row["goal"]][0]) if row["goal"] else None,
            cannot_lift=not row["lift"] and row["adult"],
            cannot_stand_long=row["light"],
            languages=row["langs"],
        )


def _parties(rows: list[dict[str, Any]]) -> list[str]:
    return sorted({row["party"] for row in rows if row["party"]})


def _person(row: dict[str, Any], day: Workday) -> Person:
    name = name_of(row["id"])
    mailbox = f"{name.replace(' ', '.').lower()}.{day.pk}@volunteers.example"
    person = factories.make_person(
        name=name, email=mailbox, is_adult=row["adult"], may_lead=row["leads"]
    )
    for kind, level in row["levels"].items():
        _level(person, KINDS[kind][0], level)
    return person


def _level(person: Person, skill: str, level: int) -> None:
    if level == TAUGHT:
        ClinicAttendance.objects.create(
            person=person, skill=factories.skill(skill), on=date(2026, 1, 10)
        )
    elif level >= SIGNED_OFF:
        factories.sign_off(person, skill, "supervisor" if level == SUPERVISOR else "signed_off")


def _jobs(day: Workday, sections: list[dict[str, Any]], rows: list[dict[str, Any]]) -> None:
    ground = {
        row["id"]: factories.make_section(
            day.cemetery, name=f"Section {row['id'][1:]}", east_m=row["x"], north_m=row["y"]
        )
        for row in sections
    }
    made = {row["id"]: _job(row, ground[row["section"]]) for row in rows}
    for row in rows:
        made[row["id"]].prerequisites.set(made[key] for key in row["after"])
    day.jobs.set(made.values())


def _job(row: dict[str, Any], section: Section) -> Job:
    kind, need = KINDS[row["kind"]]
    return Job.objects.create(
        kind=factories.kind(kind),
        cemetery=section.cemetery,
        section=section,
        stone=_stone(row, section, need) if need else None,
        words="" if need else f"round {row['stone']}",
        person_minutes=row["minutes"],
        priority=row["priority"],
        fewest=row["min"],
        most=row["max"],
        lifters=row["lifters"],
        equipment=row["kit"],
    )


def _stone(row: dict[str, Any], section: Section, need: str) -> Stone:
    stone = factories.make_stone(section, number=row["stone"], east_m=row["x"], north_m=row["y"])
    factories.conclude(stone, needs=[need])
    return stone
