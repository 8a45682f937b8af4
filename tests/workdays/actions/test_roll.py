"""The roll and the closing of a day."""

from datetime import timedelta

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.factories import START
from training.models import ClinicAttendance, HoursEntry
from workdays.actions.roll import arrive, close_day, leave
from workdays.models import Block, Crew, CrewJob, CrewPlan, Job, Placement, Workday

pytestmark = pytest.mark.django_db
EVENING = START + timedelta(hours=7)


def crew_of(day: Workday, lead: Person, *others: Person, job: Job) -> Crew:
    """Publish a plan: one crew cleans for two hours from the start of the morning."""
    plan = CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED)
    block = day.blocks.filter(kind=Block.Kind.WORK).earliest("starts_at")
    crew = Crew.objects.create(plan=plan, block=block, name="Crew 1", lead=lead)
    for person in (lead, *others):
        Placement.objects.create(crew=crew, person=person)
    CrewJob.objects.create(crew=crew, job=job, starts_at=START, ends_at=START + timedelta(hours=2))
    return crew


def worked_day() -> tuple[Workday, Person, Person, Job]:
    """A day on which a signed-off cleaner leads a newcomer over one stone; both have a place."""
    job = factories.make_job()
    day = factories.make_day(job.cemetery)
    waiver = factories.make_waiver()
    lead, trainee = factories.make_person(may_lead=True), factories.make_person()
    factories.sign_off(lead, "cleaning")
    for person in (lead, trainee):
        factories.make_sign_up(day, person)
        factories.sign(person, waiver)
    crew_of(day, lead, trainee, job=job)
    return day, lead, trainee, job


def note(day: Workday, person: Person, hours_in: float, hours_out: float, by: Person) -> None:
    arrive(day, person, at=START + timedelta(hours=hours_in), by=by, now=EVENING)
    leave(day, person, at=START + timedelta(hours=hours_out), by=by, now=EVENING)


def test_closing_proposes_the_hours_of_the_trainee_only_and_once() -> None:
    day, lead, trainee, _job = worked_day()
    note(day, lead, 0, 6, lead)
    note(day, trainee, 0.6, 6, lead)
    closing = close_day(day, {}, by=lead, now=EVENING)
    [entry] = HoursEntry.objects.all()
    assert (entry.person, entry.supervisor, entry.stones) == (trainee, lead, 1)
    assert entry.minutes == 120
    assert closing.hours == 1
    with pytest.raises(Refused, match="closed"):
        close_day(day, {}, by=lead, now=EVENING)
    assert HoursEntry.objects.count() == 1


def test_nothing_is_earned_while_the_lead_was_away() -> None:
    day, lead, trainee, _ = worked_day()
    note(day, lead, 0, 0.5, lead)
    note(day, trainee, 0, 6, lead)
    close_day(day, {}, by=lead, now=EVENING)
    assert HoursEntry.objects.get().minutes == 30


def test_closing_marks_work_done_and_takes_the_need_off_the_stone() -> None:
    day, lead, _, job = worked_day()
    close_day(day, {}, by=lead, now=EVENING)
    job.refresh_from_db()
    assert job.stone is not None
    job.stone.refresh_from_db()
    assert job.state == Job.State.DONE
    assert job.stone.conclusion is not None
    assert job.stone.conclusion.needs == []
    assert AuditEntry.objects.filter(verb="done", thing_id=str(job.pk)).exists()


def test_the_need_stays_while_another_job_of_its_kind_is_to_do() -> None:
    day, lead, _, job = worked_day()
    assert job.stone is not None
    factories.make_job(job.stone)
    close_day(day, {}, by=lead, now=EVENING)
    job.stone.refresh_from_db()
    assert job.stone.conclusion is not None
    assert job.stone.conclusion.needs == ["clean"]


def test_part_done_work_keeps_its_minutes() -> None:
    day, lead, _, job = worked_day()
    close_day(day, {job.pk: 25}, by=lead, now=EVENING)
    job.refresh_from_db()
    assert (job.state, job.minutes_left) == (Job.State.OPEN, 25)


def test_who_was_not_noted_as_leaving_left_when_the_day_ended() -> None:
    day, lead, trainee, _ = worked_day()
    arrive(day, trainee, at=START, by=lead, now=EVENING)
    assert close_day(day, {}, by=lead, now=EVENING).still_here == 1
    assert day.roll.get().left_at == day.ends_at


def test_a_clinic_counts_as_taught_for_those_who_came() -> None:
    day, lead, trainee, _ = worked_day()
    Workday.objects.filter(pk=day.pk).update(
        purpose=Workday.Purpose.CLINIC, teaches=factories.skill("cleaning")
    )
    note(day, trainee, 0, 3, lead)
    close_day(day, {}, by=lead, now=EVENING)
    assert [row.person for row in ClinicAttendance.objects.all()] == [trainee]


@pytest.mark.parametrize(
    ("hours_at", "hours_now", "sentence"),
    [
        (0, -24, "opens three hours before"),
        (5, 1, "not come yet"),
        (20, 24, "not on the day"),
    ],
)
def test_the_roll_refuses_times_that_cannot_be(
    hours_at: float, hours_now: float, sentence: str
) -> None:
    day, lead, trainee, _ = worked_day()
    at, now = START + timedelta(hours=hours_at), START + timedelta(hours=hours_now)
    with pytest.raises(Refused, match=sentence):
        arrive(day, trainee, at=at, by=lead, now=now)


def test_nobody_without_a_waiver_or_a_place_is_on_the_roll() -> None:
    day, lead, _, _ = worked_day()
    stranger, unsigned = factories.make_person(), factories.make_person()
    factories.make_sign_up(day, unsigned)
    with pytest.raises(Refused, match="no valid waiver"):
        arrive(day, unsigned, at=START, by=lead, now=EVENING)
    with pytest.raises(Refused, match="with a place"):
        arrive(day, stranger, at=START, by=lead, now=EVENING)


def test_arriving_twice_is_one_stay_and_leaving_twice_is_refused() -> None:
    day, lead, trainee, _ = worked_day()
    for _ in range(2):
        arrive(day, trainee, at=START, by=lead, now=EVENING)
    assert day.roll.count() == 1
    leave(day, trainee, at=START + timedelta(hours=1), by=lead, now=EVENING)
    with pytest.raises(Refused, match="not on the ground"):
        leave(day, trainee, at=START + timedelta(hours=1), by=lead, now=EVENING)
