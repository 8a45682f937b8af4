"""What a look ahead reads: who came how often, which work days can do, and why not the rest."""

from datetime import timedelta

import pytest

from coordinator.models import Person
from tests import factories
from tests.factories import NOW, START
from workdays.models import Cemetery, Job, RollEntry, Workday
from workdays.queries.ahead_people import turnout_of
from workdays.queries.ahead_work import open_work, undone
from workdays.rules.ahead_facts import Lost

pytestmark = pytest.mark.django_db


def held(place: Cemetery, *came: Person, weeks_ago: int, **values: object) -> Workday:
    starts_at = START - timedelta(days=7 * weeks_ago)
    day = factories.make_day(
        place, **({"starts_at": starts_at, "state": Workday.State.CLOSED} | values)
    )
    for person in came:
        RollEntry.objects.create(day=day, person=person, arrived_at=starts_at)
    return day


def test_people_count_from_the_day_after_their_first() -> None:
    place = factories.make_cemetery()
    ana, ben, cy = (factories.make_person() for _ in range(3))
    gone = factories.make_person(erased_at=NOW)
    again = factories.make_person(joined_into=ana)
    held(place, ana, gone, weeks_ago=5)
    held(place, again, ben, weeks_ago=4)
    unkept = held(place, weeks_ago=3)
    factories.make_sign_up(unkept, ben)
    held(place, cy, weeks_ago=2)
    held(place, weeks_ago=1, state=Workday.State.CALLED_OFF)
    found = turnout_of(place, (), now=NOW)
    assert [(one.person.id, one.came, one.days) for one in found.people] == [
        (f"p{ana.pk}", 1, 3),
        (f"p{ben.pk}", 1, 2),
        (f"p{cy.pk}", 0, 0),
    ]
    assert found.newcomers == (1, 0, 1)
    assert found.held == 4
    assert sum(month.called_off for month in found.lost.values()) == 1
    assert sum(month.days for month in found.lost.values()) == 5
    assert isinstance(found.lost[5], Lost)
    assert found.hours == 5.5


def test_a_chain_is_counted_with_what_comes_first_and_a_blocked_one_not_at_all() -> None:
    section = factories.make_section()
    place = section.cemetery
    factories.make_permission(place)
    jobs: dict[str, Job] = {}
    for name in ("first", "second", "unseen", "after unseen", "dropped", "after dropped", "long"):
        stone = factories.make_stone(section)
        if name != "unseen":
            factories.conclude(stone)
        jobs[name] = factories.make_job(stone)
    for one, other in (
        ("second", "first"),
        ("after unseen", "unseen"),
        ("after dropped", "dropped"),
    ):
        jobs[one].prerequisites.add(jobs[other])
    Job.objects.filter(pk=jobs["dropped"].pk).update(state=Job.State.DROPPED)
    Job.objects.filter(pk=jobs["long"].pk).update(person_minutes=6000)
    work = open_work(place, on=NOW.date())
    chosen = undone(work, [jobs["second"].pk], longest_slots=12, max_crew=6)
    assert chosen.ids == (jobs["first"].pk, jobs["second"].pk)
    assert [one.job.after for one in chosen.undone] == [(), (f"j{jobs['first'].pk}",)]
    everything = undone(work, work.jobs, longest_slots=12, max_crew=6)
    assert everything.ids == chosen.ids
    assert everything.left_out == {"not-seen": 1, "prerequisite": 2, "too-long": 1}
