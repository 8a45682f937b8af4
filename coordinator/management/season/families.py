"""People who come together, share a car, or are asked to run days: by the product's own acts."""

from datetime import datetime, timedelta

from coordinator.models import Person
from workdays.actions import places, seats, staff
from workdays.actions.sign_ups import Application, Contact, Wishes, sign_up
from workdays.models import Cemetery, Membership, SignUp, Waiver, Workday
from workdays.queries.days import local_date
from workdays.rules.parties import Companion
from workdays.rules.signed_text import sha256

NAME = "Tomas Lindgren"


def come(day: Workday, *, now: datetime) -> None:
    """Sign up a father with a child; the child's aunt is named and has not answered yet."""
    on = local_date(day)
    text = Waiver.objects.filter(cemetery=None, translates=None).latest("version").text
    row = sign_up(
        day.pk,
        Application(
            name=NAME,
            email="tomas.lindgren@volunteers.example",
            contact=Contact("555-0161", "Signe Lindgren", "555-0162"),
            wishes=Wishes(experience={"cleaning": "some"}, languages=["en"]),
            is_adult=True,
            typed_name=NAME,
            text_sha256=sha256(text),
            companions=(
                Companion(
                    line=1,
                    name="Elsa Lindgren",
                    born_on=on - timedelta(days=11 * 366),
                    relation="father",
                    agrees=True,
                    signs=True,
                ),
                Companion(line=2, name="Signe Lindgren", email="signe.lindgren@volunteers.example"),
            ),
        ),
        now=now,
    )
    places.confirm(row.pk, now=now)


def share_a_car(day: Workday, driver: Person, *, now: datetime) -> None:
    """Have somebody who comes ask another for a seat."""
    rows = SignUp.objects.filter(day=day, state=SignUp.State.COMING, person__is_adult=True)
    drives = rows.get(person=driver)
    rides = rows.exclude(pk=drives.pk).exclude(person__user__isnull=False).earliest("pk")
    SignUp.objects.filter(pk=drives.pk).update(seats_offered=3, seats_from="Hollin")
    SignUp.objects.filter(pk=rides.pk).update(seats_wanted=1, seats_from="Mill Lane")
    seats.ask(rides.pk, drives.pk, now=now)


def invite(place: Cemetery, *, by: Person, now: datetime) -> None:
    """Ask somebody to organise days at one place."""
    wish = staff.InvitationWish(
        "wren.halloran@volunteers.example", Membership.Role.ORGANISER, [place], []
    )
    staff.invite(wish, by=by, now=now)
