"""A clinic takes as many new people as its supervisors can teach; others still come."""

import pytest

from tests.factories import NOW, make_cemetery, make_day, make_sign_up, make_waiver, skill
from tests.workdays.applications import application
from workdays.actions import places
from workdays.actions.sign_ups import sign_up
from workdays.models import SignUp, Workday
from workdays.queries.teaching import teaching_words

pytestmark = pytest.mark.django_db
State = SignUp.State


@pytest.fixture
def clinic() -> Workday:
    make_waiver()
    values = {"purpose": "clinic", "teaches": skill("cleaning"), "learners_per_teacher": 2}
    return make_day(make_cemetery(), capacity=20, **values)


def test_strangers_beyond_what_can_be_taught_wait_and_are_offered_a_place(clinic: Workday) -> None:
    rows = [
        sign_up(clinic.pk, application(email=f"p{n}@volunteers.example"), now=NOW) for n in range(3)
    ]
    assert [row.state for row in rows] == [State.UNCONFIRMED, State.UNCONFIRMED, State.WAITING]
    assert teaching_words(clinic, now=NOW).startswith("No place is left for people who are new")
    for row in rows:
        places.confirm(row.pk, now=NOW)
    places.withdraw(rows[0].pk, now=NOW)
    rows[2].refresh_from_db()
    assert rows[2].state == State.OFFERED


def test_a_day_may_count_on_more_supervisors(clinic: Workday) -> None:
    Workday.objects.filter(pk=clinic.pk).update(teachers=2)
    rows = [
        sign_up(clinic.pk, application(email=f"p{n}@volunteers.example"), now=NOW) for n in range(4)
    ]
    assert {row.state for row in rows} == {State.UNCONFIRMED}


def test_a_workday_teaches_nobody_and_limits_nobody() -> None:
    make_waiver()
    day = make_day(make_cemetery(), capacity=3, learners_per_teacher=1)
    make_sign_up(day)
    row = sign_up(day.pk, application(), now=NOW)
    assert row.state == State.UNCONFIRMED
    assert teaching_words(day, now=NOW) == ""
