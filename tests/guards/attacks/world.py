"""A place where everything can go wrong: work that is barred, and work that can become so."""

from dataclasses import dataclass
from datetime import date, timedelta

from coordinator.models import Person
from tests import factories
from tests.guards.attacks.columns import fill_empty_tables
from tests.guards.attacks.question import barred_work
from tests.guards.attacks.rows import (
    BARRED,
    BARRED_STONE,
    CALLED_OFF,
    CLOSED,
    DONE,
    DRAFT,
    DROPPED,
    FINE_STONE,
    FIRST,
    FREED,
    LOOKING,
    NOW,
    OTHER_STONE,
    OVER,
    PLANNED,
    RAKING,
    SHEET_STONE,
    SOON,
    UNSEEN_STONE,
    WAITING,
)
from workdays import drafting
from workdays.actions.plans import publish_plan
from workdays.actions.spreadsheets import bring_in, keep_sheet
from workdays.models import (
    Booking,
    Cemetery,
    CemeterySetting,
    Conclusion,
    Crew,
    CrewJob,
    CrewPlan,
    Job,
    KeptApart,
    KeptOut,
    Photograph,
    Placement,
    PlanRun,
    Section,
    SheetImport,
    Stone,
    Survey,
    Workday,
)
from workdays.queries.spreadsheets import first_mapping
from workdays.spreadsheets.reading import read

COMING = factories.START
ROUNDS = 20
LEAVE_ALONE = Conclusion.Kind.LEAVE_ALONE


@dataclass(frozen=True)
class World:
    """Who acts, and the place where everything is."""

    organiser: Person
    place: Cemetery
    section: Section


def make_world() -> World:
    """Make it: nothing barred is on a day that is not over."""
    place = factories.make_cemetery(name="Alder Hill", slug="alder-hill")
    world = World(
        organiser=factories.make_staff(may_lead=True),
        place=place,
        section=factories.make_section(place, name="North"),
    )
    factories.make_permission(place)
    factories.make_waiver()
    CemeterySetting.objects.create(
        cemetery=place, key="volunteer_resets", value=True, source="the owner"
    )
    _stones(world.section)
    _jobs(world)
    _sheets(world)
    _days(world)
    _plans(world)
    fill_empty_tables()
    Booking.objects.update(day=SOON)
    Photograph.objects.update(survey=None)  # nothing stands on what a sheet brought in
    assert barred_work(NOW) == []
    return world


def _stones(section: Section) -> None:
    """One left alone; one fine, whose older look was grave; one whose newest look is not judged."""
    alone = factories.make_stone(section, pk=BARRED_STONE, number="N1")
    look = _look(alone, date(2026, 4, 1), ["sugaring"])
    factories.conclude(alone, LEAVE_ALONE, needs=[], survey=look)
    fine = factories.make_stone(section, pk=FINE_STONE, number="N2")
    grave = _look(fine, date(2025, 5, 1), ["sugaring", "hollow"])
    Conclusion.objects.create(stone=fine, kind=LEAVE_ALONE, survey=grave)
    factories.conclude(fine, survey=_look(fine, date(2026, 4, 1), ["growth"]))
    other = factories.make_stone(section, pk=OTHER_STONE, number="N3")
    factories.conclude(other, survey=_look(other, date(2026, 4, 1), ["growth"]))
    _look(other, date(2026, 5, 5), ["flaking"])
    sheet = factories.make_stone(section, pk=SHEET_STONE, number="N4")
    look = _look(sheet, date(2026, 3, 1), ["sugaring"])
    factories.conclude(sheet, LEAVE_ALONE, needs=[], survey=look)
    factories.make_stone(section, pk=UNSEEN_STONE, number="N9")


def _look(stone: Stone, on: date, signs: list[str]) -> Survey:
    return Survey.objects.create(stone=stone, on=on, signs=signs, lean_degrees=0)


def _jobs(world: World) -> None:
    stones = {pk: Stone.objects.get(pk=pk) for pk in FIRST["stone"]}
    factories.make_job(stones[BARRED_STONE], pk=BARRED)
    factories.make_job(stones[FINE_STONE], pk=PLANNED)
    factories.make_job(stones[BARRED_STONE], "survey", pk=LOOKING)
    factories.make_job(stones[BARRED_STONE], pk=DROPPED, state=Job.State.DROPPED)
    done_at = NOW - timedelta(days=900)
    factories.make_job(stones[BARRED_STONE], pk=DONE, state=Job.State.DONE, done_at=done_at)
    factories.make_job(stones[OTHER_STONE], pk=WAITING)
    factories.make_job(stones[SHEET_STONE], pk=FREED)
    raking = factories.make_job(stones[FINE_STONE], "raking", pk=RAKING)
    Job.objects.filter(pk=raking.pk).update(stone=None)


def _sheets(world: World) -> None:
    """One that would leave a fine stone alone; one whose undoing would bring a bar back."""
    _sheet(world, ["N2", "2026-05-02", "sugaring"])
    mild = _sheet(world, ["N4", "2026-05-02", "moss"])
    bring_in(mild, by=world.organiser, now=NOW)


def _sheet(world: World, row: list[str]) -> SheetImport:
    head = ["No", "Section", "Date", "Signs", "Lean"]
    lines = [head, [row[0], "North", *row[1:], "0"]]
    octets = "\n".join(",".join(line) for line in lines).encode()
    mapping = first_mapping(world.place, read(octets)).as_json()
    return keep_sheet(world.place, octets, "hill.csv", mapping=mapping, by=world.organiser)


def _days(world: World) -> None:
    """Two to come; three that are over in one way or another, with barred work on each."""
    weeks = {SOON: 0, DRAFT: 1, OVER: -1, CALLED_OFF: 2, CLOSED: -2}
    states = {
        DRAFT: Workday.State.DRAFT,
        CALLED_OFF: Workday.State.CALLED_OFF,
        CLOSED: Workday.State.CLOSED,
    }
    for pk, week in weeks.items():
        day = factories.make_day(
            world.place,
            pk=pk,
            starts_at=COMING + timedelta(weeks=week),
            state=states.get(pk, Workday.State.OPEN),
        )
        day.jobs.set([BARRED, DROPPED] if pk in (OVER, CALLED_OFF, CLOSED) else [])
    Workday.objects.get(pk=SOON).jobs.set([PLANNED, LOOKING, WAITING, FREED, RAKING])
    Workday.objects.get(pk=DRAFT).jobs.set([PLANNED, LOOKING])


def _plans(world: World) -> None:
    """A published plan and a draft of the day to come; older ones that hold barred work."""
    soon = Workday.objects.get(pk=SOON)
    # The organiser leads: tables that are filled later may take a sign-off back from the others.
    people = [world.organiser, *(factories.make_person(may_lead=False) for _ in range(4))]
    rows = [factories.make_sign_up(soon, person, seats_offered=3) for person in people]
    factories.make_seat_request(rows[-1], rows[-2])
    for person in people:
        factories.sign(person)
        factories.sign_off(person, "cleaning")
    publish_plan(drafting.redraft(soon, rounds=ROUNDS), by=world.organiser, now=NOW)
    drafting.redraft(soon, rounds=ROUNDS)
    for state in (CrewPlan.State.PUBLISHED, CrewPlan.State.DRAFT):
        assert CrewJob.objects.filter(crew__plan__state=state, job=PLANNED).exists()
    PlanRun.objects.create(day=soon, asked_by=world.organiser)
    _found_barred_work(soon, world.organiser)
    _old_plan(soon, CrewPlan.State.OLD, world.organiser)
    old = CrewPlan.objects.get(state=CrewPlan.State.OLD)
    KeptApart.objects.create(plan=old, one=people[1], other=people[2])
    KeptOut.objects.create(plan=old, job_id=LOOKING)
    for pk in (OVER, CALLED_OFF, CLOSED):
        _old_plan(Workday.objects.get(pk=pk), CrewPlan.State.PUBLISHED, world.organiser)


def _found_barred_work(day: Workday, lead: Person) -> None:
    """A request that a worker is at, whose best plan so far holds what was barred since."""
    job = {"job": f"j{BARRED}", "start": 0, "end": 4}
    crew = {"block": 0, "leader": f"p{lead.pk}", "members": [f"p{lead.pk}"], "jobs": [job]}
    PlanRun.objects.create(
        day=day,
        asked_by=lead,
        state=PlanRun.State.RUNNING,
        started_at=NOW,
        seen_at=NOW,
        found={"crews": [crew]},
        value=30,
    )


def _old_plan(day: Workday, state: str, lead: Person) -> None:
    plan = CrewPlan.objects.create(day=day, state=state)
    block = day.blocks.all()[0]
    crew = Crew.objects.create(plan=plan, block=block, name="Crew 9", lead=lead)
    Placement.objects.create(crew=crew, person=lead)
    CrewJob.objects.create(
        crew=crew, job_id=BARRED, starts_at=block.starts_at, ends_at=block.ends_at
    )
