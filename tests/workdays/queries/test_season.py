"""What people did this season and what their bodies allow come from rows into the facts."""

from datetime import timedelta

import pytest

from tests import factories
from tests.workdays.test_drafting import workable_day
from workdays.models import Crew, CrewJob, CrewPlan, Placement, SignUp, Workday
from workdays.queries.planning import planning_facts

pytestmark = pytest.mark.django_db


def past(day: Workday, weeks: int, kind: str, *people: int) -> None:
    """A day that is closed, on which people did one kind of work in one crew."""
    starts_at = day.starts_at - timedelta(weeks=weeks)
    then = factories.make_day(day.cemetery, starts_at=starts_at, state=Workday.State.CLOSED)
    plan = CrewPlan.objects.create(day=then, state=CrewPlan.State.PUBLISHED)
    block = then.blocks.all()[0]
    crew = Crew.objects.create(plan=plan, block=block, name="Crew 1", lead_id=people[0])
    Placement.objects.bulk_create(Placement(crew=crew, person_id=pk) for pk in people)
    for _ in range(2):  # two jobs of a kind in one stretch of work count once
        CrewJob.objects.create(
            crew=crew,
            job=factories.make_job(kind_key=kind),
            starts_at=block.starts_at,
            ends_at=block.ends_at,
        )


def test_who_raked_on_closed_days_of_this_year_more_than_others_has_done_enough() -> None:
    day, people, _ = workable_day()
    one, other = people[1].pk, people[2].pk
    past(day, 1, "raking", one)
    past(day, 2, "raking", one)
    past(day, 3, "cleaning", one, other)
    past(day, 60, "raking", other)
    past(day, 61, "raking", other)
    facts = planning_facts(day)
    assert {p.id: p.enough for p in facts.people if p.enough} == {f"p{one}": ("raking",)}


def test_who_cannot_kneel_digs_at_no_stone() -> None:
    day, people, _ = workable_day()
    SignUp.objects.filter(person=people[1]).update(cannot_kneel=True)
    facts = planning_facts(day)
    barred = {p.id: set(p.barred) for p in facts.people if p.barred}
    assert barred == {f"p{people[1].pk}": {kind.id for kind in facts.kinds if kind.digs}}
    assert barred[f"p{people[1].pk}"]
