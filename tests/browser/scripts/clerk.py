"""Stay beside a site for all tours: put in what one begins with, say what is stored of a day.

Reads one JSON list a line, an act and what it needs, and answers each with one line of JSON.
"""

import json
import sys
from collections.abc import Callable
from datetime import datetime, time, timedelta
from typing import Any

import django

django.setup()

from django.db import transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from coordinator import links  # noqa: E402
from coordinator.log_in_link import link_for  # noqa: E402
from coordinator.models import AuditEntry, Person  # noqa: E402
from tests import factories  # noqa: E402
from workdays import drafting  # noqa: E402
from workdays.models import (  # noqa: E402
    Cemetery,
    Membership,
    Party,
    Signature,
    SignUp,
    Waiver,
    Workday,
)

NOW = timezone.now()
State = SignUp.State
TEXT = "Old stones are heavy and break without warning.\n\nI do as the lead says."


def place() -> Cemetery:
    """Make a cemetery of this tour's own, with a text of its own that holds until a new one."""
    n = Cemetery.objects.count() + 1
    made = factories.make_cemetery(name=f"Alder Hill {n}", slug=f"alder-hill-{n}")
    publish(made, 1)
    return made


def publish(cemetery: Cemetery, version: int) -> Waiver:
    """Publish a version of what is signed there."""
    return factories.make_waiver(
        cemetery=cemetery,
        version=version,
        text=f"{TEXT}\n\nThis is text {version}.",
        validity=Waiver.Validity.NEW_VERSION,
        published_at=NOW - timedelta(days=40 - version),
    )


def day_ahead(cemetery: Cemetery, days: int = 4, **values: Any) -> Workday:
    """Make a day from 9:00 to 15:00."""
    on = NOW.astimezone(cemetery.zone).date() + timedelta(days=days)
    start = datetime.combine(on, time(9), tzinfo=cemetery.zone)
    return factories.make_day(cemetery, starts_at=start, **values)


def known(name: str, day: Workday, state: str = State.COMING) -> Person:
    """Make somebody who has signed and is on a day."""
    mailbox = f"{name.split()[0].lower()}.{day.pk}@volunteers.example"
    person = factories.make_person(name=name, email=mailbox, confirmed_at=NOW)
    factories.sign(person, Waiver.objects.get(cemetery=day.cemetery))
    factories.make_sign_up(day, person, state=state, experience={"cleaning": "lots"})
    return person


def open_day() -> dict[str, Any]:
    """A day with room, and an organiser."""
    day = day_ahead(place())
    return {"day": day.pk, "door": staff(day, "Ruth Okafor", Membership.Role.ORGANISER)}


def staff(day: Workday, name: str, role: Membership.Role) -> str:
    """Make one of the staff of a place; return the link that signs them in."""
    user = factories.make_user(email=f"{name.split()[0].lower()}.{day.pk}@hollin.example")
    person = factories.make_person(name=name, email=user.email, user=user)
    Membership.objects.create(person=person, role=role, cemetery=day.cemetery)
    return link_for(user)


def again() -> dict[str, Any]:
    """Somebody who came a month ago, a day where the text still holds, one with a new text."""
    here, elsewhere = place(), place()
    past = day_ahead(here, -30, state=Workday.State.CLOSED)
    irene = known("Irene Calloway", past)
    factories.sign(irene, Waiver.objects.get(cemetery=elsewhere))
    publish(elsewhere, 2)
    other = day_ahead(elsewhere, 5)
    return {"past": past.pk, "day": day_ahead(here).pk, "other": other.pk}


def full_day() -> dict[str, Any]:
    """A day of two places, both taken, and one who waits."""
    day = day_ahead(place(), capacity=2)
    maya = known("Maya Thornton", day)
    known("Ben Lindqvist", day)
    known("Theo Brandt", day, State.WAITING)
    return {"day": day.pk, "own": links.absolute("own_page", maya.secret)}


def gate() -> dict[str, Any]:
    """A day that has begun, and a supervisor at its gate."""
    cemetery = place()
    day = factories.make_day(cemetery, starts_at=NOW - timedelta(hours=1), capacity=12)
    return {"day": day.pk, "door": staff(day, "Ida Marsh", Membership.Role.SUPERVISOR)}


def plan() -> dict[str, Any]:
    """A draft with one crew, somebody without a signature in none, and an organiser."""
    cemetery, today = place(), NOW.date()
    last = today + timedelta(days=30)
    factories.make_permission(cemetery, starts_on=today - timedelta(days=30), ends_on=last)
    section, day = factories.make_section(cemetery), day_ahead(cemetery)
    for _ in range(3):
        stone = factories.make_stone(section)
        factories.conclude(stone)
        day.jobs.add(factories.make_job(stone))
    lead = known("Ben Lindqvist", day)
    Person.objects.filter(pk=lead.pk).update(may_lead=True)
    factories.sign_off(lead, "cleaning")
    known("Maya Thornton", day)
    known("Theo Brandt", day)
    factories.make_sign_up(day, factories.make_person(name="Nora Quist"))
    drafting.redraft(day, rounds=100)
    return {"day": day.pk, "door": staff(day, "Ruth Okafor", Membership.Role.ORGANISER)}


TOURS: dict[str, Callable[[], dict[str, Any]]] = {
    "open day": open_day,
    "full day": full_day,
    "gate": gate,
    "again": again,
    "plan": plan,
}


def begin(tour: str) -> dict[str, Any]:
    """Put a place, a text to sign, a day and its people into the site."""
    return TOURS[tour]()


def let_pass(day: int) -> dict[str, Any]:
    """Move the cut-off of a day, and what is held no longer than that, to a minute ago."""
    passed = timezone.now() - timedelta(minutes=1)
    until = Workday.objects.get(pk=day).cut_off_at
    SignUp.objects.filter(day=day, held_until__lte=until).update(held_until=passed)
    Party.objects.filter(day=day, held_until__lte=until).update(held_until=passed)
    Workday.objects.filter(pk=day).update(cut_off_at=passed)
    return {}


def stored(day: int) -> dict[str, Any]:
    """Return what is stored of the people of a day by name, and how many places groups hold."""
    rows = SignUp.objects.filter(day=day).select_related("person", "guardian", "party")
    groups = Party.objects.filter(day=day, is_group=True)
    return {
        "people": {row.person.name: of(row) for row in rows.order_by("pk")},
        "held": [party.reserved for party in groups],
    }


def of(row: SignUp) -> dict[str, Any]:
    """Return the state of somebody, who signed for them in which role, and what was noted."""
    signed = Signature.objects.filter(person=row.person, confirmed_at__isnull=False)
    entries = AuditEntry.objects.filter(thing_type="signup", thing_id=row.pk).order_by("pk")
    return {
        "state": row.state,
        "party": row.party.name if row.party else "",
        "guardian": row.guardian.name if row.guardian else "",
        "signed": [f"{one.role}: {one.typed_name}" for one in signed.order_by("pk")],
        "noted": [entry.verb for entry in entries],
        "experience": row.experience,
        "here": row.person.roll.filter(day=row.day).exists(),
    }


ACTS: dict[str, Callable[..., dict[str, Any]]] = {
    "begin": begin,
    "let_pass": let_pass,
    "stored": stored,
}


def answer(line: str) -> dict[str, Any]:
    """Do what one line asks for."""
    act, *words = json.loads(line)
    with transaction.atomic():
        return ACTS[act](*words)


for asked in sys.stdin:
    sys.stdout.write(f"{json.dumps(answer(asked))}\n")
    sys.stdout.flush()
