"""Making, changing and opening a day: what is allowed beside what is refused."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from workdays.actions.days import DayWishes, change_day, make_day, open_day
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.models import Block, Cemetery, Crew, CrewJob, CrewPlan, SignUp, Workday
from workdays.rules.day_frame import DayFrame

pytestmark = pytest.mark.django_db
NOW = factories.NOW


def wishes(cemetery: Cemetery | None = None, **frame: Any) -> DayWishes:
    cemetery = cemetery or factories.make_cemetery()
    asked = DayFrame(
        on=date(2026, 5, 9),
        starts=time(9),
        ends=time(15),
        zone=cemetery.zone,
        break_from=time(12),
        break_to=time(12, 30),
        rain_on=date(2026, 5, 10),
    )
    return DayWishes(cemetery, replace(asked, **frame), meeting_point="At the gate")


def codes(refused: pytest.ExceptionInfo[Refused]) -> set[str]:
    return {refusal.code for refusal in refused.value.refusals}


def organiser() -> Person:
    return factories.make_staff()


def test_a_day_is_made_with_its_blocks_and_defaults() -> None:
    day = make_day(wishes(equipment={"buckets": 4, "tripod": 0}), by=organiser(), now=NOW)
    assert day.state == Workday.State.DRAFT
    assert day.starts_at == factories.START
    assert day.cut_off_at == day.call_by_at == datetime(2026, 5, 8, 22, 0, tzinfo=UTC)
    assert day.equipment == {"buckets": 4}
    kinds = list(day.blocks.values_list("name", "kind"))
    assert kinds == [("morning", "work"), ("lunch", "break"), ("afternoon", "work")]
    assert AuditEntry.objects.filter(verb="made", thing_id=str(day.pk)).exists()


def test_a_refused_day_leaves_nothing() -> None:
    with pytest.raises(Refused) as refused:
        make_day(wishes(ends=time(8)), by=organiser(), now=NOW)
    assert "end_before_start" in codes(refused)
    assert not Workday.objects.exists()
    assert not Block.objects.exists()


def test_a_clinic_is_a_day_that_teaches() -> None:
    asked = wishes(is_clinic=True, teaches="cleaning")
    asked = replace(asked, teaches=factories.skill("cleaning"))
    day = make_day(asked, by=organiser(), now=NOW)
    assert day.purpose == Workday.Purpose.CLINIC
    assert day.teaches == factories.skill("cleaning")


def test_a_workday_teaches_nothing_even_if_a_skill_was_chosen() -> None:
    asked = replace(wishes(), teaches=factories.skill("cleaning"))
    assert make_day(asked, by=organiser(), now=NOW).teaches is None


def made(**frame: Any) -> Workday:
    return make_day(wishes(**frame), by=organiser(), now=NOW)


def changed(day: Workday, *, by: Person | None = None, **frame: Any) -> Workday:
    return change_day(day.pk, wishes(day.cemetery, **frame), by=by or organiser(), now=NOW)


def test_a_change_keeps_the_rows_of_blocks_and_moves_them() -> None:
    day = made()
    before = list(day.blocks.values_list("pk", flat=True))
    changed(day, on=date(2026, 5, 16), rain_on=None)
    assert list(day.blocks.values_list("pk", flat=True)) == before
    day.refresh_from_db()
    assert day.starts_at == factories.START + timedelta(days=7)
    assert day.blocks.earliest("starts_at").starts_at == day.starts_at


def test_a_change_of_time_raises_the_sequence_and_one_of_words_does_not() -> None:
    day = made()
    changed(day, capacity=12)
    day.refresh_from_db()
    assert (day.capacity, day.sequence) == (12, 0)
    changed(day, starts=time(8, 30), capacity=12)
    day.refresh_from_db()
    assert day.sequence == 1


def test_a_new_date_asks_those_who_come_and_an_hour_does_not() -> None:
    day = made()
    sign_up = factories.make_sign_up(day, comes_at=day.starts_at + timedelta(hours=1))
    changed(day, starts=time(8, 30))
    sign_up.refresh_from_db()
    assert not sign_up.question_open
    changed(day, on=date(2026, 5, 16), rain_on=None)
    sign_up.refresh_from_db()
    day.refresh_from_db()
    assert sign_up.question_open
    assert sign_up.comes_at == day.starts_at + timedelta(hours=1)


def plan_on(day: Workday) -> CrewJob:
    block = day.blocks.earliest("starts_at")
    plan = CrewPlan.objects.create(day=day)
    crew = Crew.objects.create(plan=plan, block=block, name="A", lead=factories.make_person())
    return CrewJob.objects.create(
        crew=crew,
        job=factories.make_job(),
        starts_at=block.starts_at,
        ends_at=block.starts_at + timedelta(minutes=30),
    )


def test_crew_jobs_move_with_the_day() -> None:
    day = made()
    crew_job = plan_on(day)
    changed(day, on=date(2026, 5, 16), rain_on=None)
    crew_job.refresh_from_db()
    assert crew_job.starts_at == factories.START + timedelta(days=7)


def test_a_break_is_not_taken_from_under_crews_but_may_move() -> None:
    day = made()
    plan_on(day)
    with pytest.raises(Refused) as refused:
        changed(day, break_from=None, break_to=None)
    assert codes(refused) == {"blocks_planned"}
    changed(day, break_from=time(11, 45), break_to=time(12, 15))
    assert day.blocks.get(kind=Block.Kind.BREAK).starts_at.minute == 45


def test_a_break_may_go_while_nothing_is_planned() -> None:
    day = made()
    changed(day, break_from=None, break_to=None)
    assert list(day.blocks.values_list("name", flat=True)) == ["whole day"]


def test_fewer_places_than_are_taken_are_refused() -> None:
    day = made()
    for _ in range(3):
        factories.make_sign_up(day)
    with pytest.raises(Refused) as refused:
        changed(day, capacity=2, fewest=2)
    assert codes(refused) == {"capacity"}
    changed(day, capacity=3, fewest=2)


def test_the_cemetery_is_fixed_once_somebody_signed_up() -> None:
    day = made()
    other = factories.make_cemetery()
    change_day(day.pk, wishes(other), by=organiser(), now=NOW)
    factories.make_sign_up(day)
    with pytest.raises(Refused) as refused:
        change_day(day.pk, wishes(factories.make_cemetery()), by=organiser(), now=NOW)
    assert codes(refused) == {"cemetery_fixed"}


@pytest.mark.parametrize("state", [Workday.State.CALLED_OFF, Workday.State.CLOSED])
def test_a_day_that_is_over_stays_as_it_is(state: str) -> None:
    day = made()
    Workday.objects.filter(pk=day.pk).update(state=state)
    with pytest.raises(Refused) as refused:
        changed(day)
    assert codes(refused) == {"day_over"}


def test_a_day_that_has_begun_stays_as_it_is() -> None:
    day = made()
    with pytest.raises(Refused) as refused:
        change_day(day.pk, wishes(day.cemetery), by=organiser(), now=day.starts_at)
    assert codes(refused) == {"day_begun"}


def test_a_past_cut_off_may_stay_when_something_else_changes() -> None:
    day = made()
    late = day.cut_off_at + timedelta(hours=1)
    frame = {
        "cut_off": datetime(2026, 5, 8, 18),  # noqa: DTZ001  # as the clock shows it
        "call_by": datetime(2026, 5, 8, 18),  # noqa: DTZ001
        "keeps": frozenset({day.cut_off_at, day.call_by_at}),
    }
    change_day(day.pk, wishes(day.cemetery, capacity=25, **frame), by=organiser(), now=late)
    day.refresh_from_db()
    assert (day.capacity, day.cut_off_at) == (25, datetime(2026, 5, 8, 22, 0, tzinfo=UTC))


def draft_with_leave(**frame: Any) -> Workday:
    day = made(**frame)
    factories.make_permission(day.cemetery, "cleaning", "raking")
    factories.make_waiver()
    return day


def test_a_day_with_leave_and_a_waiver_opens() -> None:
    day = draft_with_leave()
    assert open_day(day.pk, by=organiser(), now=NOW).state == Workday.State.OPEN
    assert AuditEntry.objects.filter(verb="opened", thing_id=str(day.pk)).exists()


def refused_opening(day: Workday, now: datetime = NOW) -> set[str]:
    with pytest.raises(Refused) as refused:
        open_day(day.pk, by=organiser(), now=now)
    day.refresh_from_db()
    return codes(refused)


def test_a_day_without_leave_or_waiver_stays_shut() -> None:
    day = made()
    assert refused_opening(day) == {"no_permission", "no_waiver"}
    assert day.state == Workday.State.DRAFT


def test_leave_that_ends_the_day_before_does_not_do() -> None:
    day = made()
    factories.make_waiver()
    factories.make_permission(day.cemetery, ends_on=date(2026, 5, 8))
    assert refused_opening(day) == {"no_permission"}


def test_leave_for_another_cemetery_does_not_do() -> None:
    day = made()
    factories.make_waiver()
    factories.make_permission(factories.make_cemetery())
    assert refused_opening(day) == {"no_permission"}


def test_a_job_of_a_kind_without_leave_keeps_the_day_shut() -> None:
    day = draft_with_leave()
    day.jobs.add(factories.make_job(kind_key="resetting"))
    assert refused_opening(day) == {"jobs_not_permitted"}


def test_a_clinic_on_what_may_not_be_done_stays_shut() -> None:
    day = draft_with_leave()
    Workday.objects.filter(pk=day.pk).update(
        purpose=Workday.Purpose.CLINIC, teaches=factories.skill("resetting")
    )
    assert refused_opening(day) == {"clinic_not_permitted"}
    Workday.objects.filter(pk=day.pk).update(teaches=factories.skill("cleaning"))
    open_day(day.pk, by=organiser(), now=NOW)


def test_a_waiver_of_another_cemetery_or_not_published_does_not_do() -> None:
    day = made()
    factories.make_permission(day.cemetery)
    factories.make_waiver(cemetery=factories.make_cemetery())
    factories.make_waiver(published_at=None)
    assert refused_opening(day) == {"no_waiver"}


def test_a_day_opens_once_and_not_after_it_began() -> None:
    day = draft_with_leave()
    assert refused_opening(day, now=day.starts_at) == {"day_past"}
    open_day(day.pk, by=organiser(), now=NOW)
    assert refused_opening(day) == {"not_a_draft"}


def test_those_who_withdrew_are_not_asked_again() -> None:
    day = made()
    gone = factories.make_sign_up(day, state=SignUp.State.WITHDRAWN)
    changed(day, on=date(2026, 5, 16), rain_on=None)
    gone.refresh_from_db()
    assert not gone.question_open


def test_a_job_that_may_not_be_done_on_the_new_date_leaves_the_day() -> None:
    cemetery, by = factories.make_cemetery(), organiser()
    factories.make_permission(cemetery)
    day = make_day(wishes(cemetery), by=by, now=NOW)
    stones = [factories.make_stone(factories.make_section(cemetery)) for _ in range(2)]
    factories.conclude(stones[0], look_again_on=date(2026, 5, 12))
    factories.conclude(stones[1])
    jobs = [factories.make_job(stone) for stone in stones]
    put_jobs_on_day(day, jobs, by=by, now=NOW)
    later = wishes(cemetery, on=date(2026, 5, 16), rain_on=date(2026, 5, 17))
    change_day(day.pk, later, by=by, now=NOW)
    assert list(day.jobs.all()) == jobs[1:]
    detail = {"day": day.pk, "why": ["look-again"], "planned": False}
    assert AuditEntry.objects.get(verb="took off").detail == detail
