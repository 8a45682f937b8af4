"""Each decision and everything that follows from it, in one transaction and only once."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from workdays import invites
from workdays.actions.calls import CallWish, Outcome, decide, keep_forecast, tell_again
from workdays.models import (
    Block,
    Call,
    Crew,
    CrewJob,
    CrewPlan,
    Forecast,
    Invite,
    Notice,
    Placement,
    RollEntry,
    SignUp,
    Workday,
)
from workdays.queries.calls import page_token
from workdays.queries.weather import outlook
from workdays.rules.calls import Decided
from workdays.rules.weather import HourFacts, Window
from workdays.rules.weather_call import Decision

pytestmark = pytest.mark.django_db
EVENING = factories.START - timedelta(hours=16)


def clock(hours: float) -> datetime:
    """Return a moment so many hours after the start of the day as it was made."""
    return factories.START + timedelta(hours=hours)


@pytest.fixture
def ruth() -> Person:
    return factories.make_staff(name="Ruth Okafor")


@pytest.fixture
def day() -> Workday:
    """Make a day with one of each on it, everybody who comes invited, and a forecast."""
    day = factories.make_day()
    factories.make_permission(day.cemetery)
    factories.make_forecast(day)
    for state in SignUp.State:
        row = factories.make_sign_up(day, state=state)
        if state == SignUp.State.COMING:
            invites.invite(day, row.person.email, now=NOW)
    return day


def wish(decision: Decision, reason: str = "Frost until noon.", **more: Any) -> CallWish:
    span = more.pop("span", None)
    return CallWish(Decided(decision, reason, Window(*span) if span else None), **more)


def call(day: Workday, ruth: Person, asked: CallWish, now: datetime = EVENING) -> Outcome:
    done = decide(day.pk, asked, by=ruth, now=now)
    day.refresh_from_db()
    return done


OFF = wish(Decision.CALLED_OFF)
MOVED = wish(Decision.MOVED)
LATE = wish(Decision.SHORTENED, span=(clock(2), clock(6)))


def refused(day: Workday, ruth: Person, asked: CallWish, now: datetime = EVENING) -> list[str]:
    """Return why a decision is refused; nothing may have changed."""
    before = (list(Workday.objects.values()), Call.objects.count(), SentMessage.objects.count())
    with pytest.raises(Refused) as caught:
        decide(day.pk, asked, by=ruth, now=now)
    now_there = (list(Workday.objects.values()), Call.objects.count(), SentMessage.objects.count())
    assert now_there == before
    return [refusal.code for refusal in caught.value.refusals]


def told(day: Workday) -> set[str]:
    """Return the states of the sign-ups whose people have a notice with a mail."""
    rows = Notice.objects.filter(day=day, message__isnull=False).values("person")
    return set(day.sign_ups.filter(person__in=rows).values_list("state", flat=True))


LIVE = {"unconfirmed", "waiting", "offered", "coming"}


def entry(day: Workday) -> tuple[Invite, str]:
    """Return the invite of the one who comes, and the calendar message sent last."""
    row = Invite.objects.get(day=day)
    last = SentMessage.objects.filter(thread=f"invite:{row.pk}").last()
    assert last
    assert last.calendar
    return row, bytes(last.calendar).decode().replace("\r\n ", "")


def test_calling_off_takes_back_the_entries_and_tells_everybody(day: Workday, ruth: Person) -> None:
    uid = Invite.objects.get(day=day).uid
    done = call(day, ruth, OFF)
    row, calendar = entry(day)
    assert day.state == Workday.State.CALLED_OFF
    assert (row.uid, row.state, row.sequence) == (uid, Invite.State.CANCELLED, 1)
    for line in ("METHOD:CANCEL", "STATUS:CANCELLED", "SEQUENCE:1", f"UID:{uid}"):
        assert line in calendar
    assert (done.told, told(day)) == (4, LIVE)
    assert Invite.objects.filter(day=day).count() == 1, "who never had an entry gets no CANCEL"


def test_calling_off_is_written_down_with_who_when_and_why(day: Workday, ruth: Person) -> None:
    done = call(day, ruth, OFF)
    row = AuditEntry.objects.get(verb="decided")
    assert (row.actor, row.thing_id) == (ruth, str(day.pk))
    assert row.detail["decision"] == "called_off"
    assert row.detail["reason"] == done.call.reason == "Frost until noon."
    assert done.call.forecast == Forecast.objects.get(day=day)
    assert day.sequence == 1


def test_the_notice_says_what_to_do_and_has_the_link_to_say_seen(
    day: Workday, ruth: Person
) -> None:
    call(day, ruth, OFF)
    person = day.sign_ups.get(state=SignUp.State.COMING).person
    notice = Notice.objects.get(person=person)
    assert notice.message
    assert notice.message.subject == f"Called off: Saturday 9 May at {day.cemetery}"
    for words in (person.name, "Please do not come", "Frost until noon.", "at the first thunder"):
        assert words in notice.message.text
    for body in (notice.message.text, notice.message.html):
        assert f"/you/{person.secret}/seen/{notice.pk}/" in body


def test_a_name_that_a_stranger_typed_is_not_mailed(day: Workday, ruth: Person) -> None:
    stranger = factories.make_person(name="Buy cheap", confirmed_at=None)
    factories.make_sign_up(day, stranger, state=SignUp.State.UNCONFIRMED)
    call(day, ruth, OFF)
    message = Notice.objects.get(person=stranger).message
    assert message
    assert "Buy cheap" not in message.subject + message.text + message.html


def test_jobs_of_a_day_called_off_stay_open_in_the_backlog(day: Workday, ruth: Person) -> None:
    job = factories.make_job()
    day.jobs.add(job)
    state = job.state
    call(day, ruth, OFF)
    job.refresh_from_db()
    assert job.state == state


def test_moving_keeps_the_entry_and_asks_everybody_again(day: Workday, ruth: Person) -> None:
    uid = Invite.objects.get(day=day).uid
    done = call(day, ruth, MOVED)
    row, calendar = entry(day)
    assert day.state == Workday.State.OPEN
    assert (day.starts_at, day.ends_at) == (clock(24), clock(30))
    assert (day.moved_from, day.rain_on) == (date(2026, 5, 9), None)
    assert (row.uid, row.state, row.sequence) == (uid, Invite.State.LIVE, 1)
    for line in ("METHOD:REQUEST", "SEQUENCE:1", f"UID:{uid}", "20260510T090000", "NEEDS-ACTION"):
        assert line in calendar
    asked = day.sign_ups.filter(question_open=True).values_list("state", flat=True)
    assert list(asked) == ["coming"]
    assert (done.told, told(day)) == (4, LIVE)


def test_moving_sets_a_new_cut_off_and_a_new_time_for_the_call(day: Workday, ruth: Person) -> None:
    held = factories.make_sign_up(day, state=SignUp.State.UNCONFIRMED, held_until=day.cut_off_at)
    call(day, ruth, MOVED)
    held.refresh_from_db()
    assert day.cut_off_at == day.call_by_at == clock(9)  # 18:00 of Saturday
    assert held.held_until == day.cut_off_at


def test_moving_takes_the_blocks_along_and_leaves_the_old_forecast(
    day: Workday, ruth: Person
) -> None:
    done = call(day, ruth, MOVED)
    starts = list(day.blocks.values_list("starts_at", flat=True))
    assert starts == [clock(24), clock(27), clock(27.5)]
    assert outlook(day) is None
    assert Forecast.objects.filter(day=day).count() == 1
    assert done.call.forecast_id


def test_moving_keeps_clock_times_when_clocks_change_in_between(ruth: Person) -> None:
    starts_at = datetime(2026, 10, 31, 13, 0, tzinfo=UTC)  # 9:00 in summer time
    day = factories.make_day(starts_at=starts_at)
    factories.make_permission(day.cemetery)
    call(day, ruth, MOVED, starts_at - timedelta(hours=16))
    assert day.starts_at.astimezone(day.cemetery.zone).hour == 9
    assert day.starts_at - starts_at == timedelta(hours=25)
    assert day.blocks.last().ends_at == day.ends_at  # type: ignore[union-attr]


def test_the_mail_about_a_move_names_both_dates(day: Workday, ruth: Person) -> None:
    call(day, ruth, MOVED)
    message = Notice.objects.filter(day=day).first().message  # type: ignore[union-attr]
    assert message
    assert message.subject == f"Moved to Sunday 10 May: {day.cemetery}"
    assert "Saturday 9 May at" in message.text
    assert "moves to Sunday 10 May, 9:00 to 15:00" in message.text
    assert "by Saturday 9 May, 18:00" in message.text


def test_shortening_cuts_the_day_and_sends_the_new_hours(day: Workday, ruth: Person) -> None:
    done = call(day, ruth, LATE)
    row, calendar = entry(day)
    assert (day.starts_at, day.ends_at) == (clock(2), clock(6))
    assert (done.call.starts_at, done.call.ends_at) == (clock(2), clock(6))
    assert (row.state, row.sequence) == (Invite.State.LIVE, 1)
    assert "DTSTART;TZID=America/Detroit:20260509T110000" in calendar
    assert [b.name for b in day.blocks.all()] == ["morning", "lunch", "afternoon"]
    assert day.blocks.first().starts_at == clock(2)  # type: ignore[union-attr]
    assert (done.told, told(day)) == (4, LIVE)
    assert outlook(day) is not None, "the forecast is still of this date"


def test_shortening_to_the_afternoon_drops_the_morning_and_lunch(
    day: Workday, ruth: Person
) -> None:
    call(day, ruth, wish(Decision.SHORTENED, span=(clock(3), clock(6))))
    assert [b.name for b in day.blocks.all()] == ["afternoon"]


def test_a_day_that_stands_tells_nobody_who_was_told_nothing(day: Workday, ruth: Person) -> None:
    before = SentMessage.objects.count()
    done = call(day, ruth, wish(Decision.STANDS, "", tell=True))
    assert (done.told, SentMessage.objects.count(), day.sequence) == (0, before, 0)
    assert Call.objects.get().decision == "stands"


@pytest.mark.parametrize(("tell", "notices"), [(True, 4), (False, 0)])
def test_a_day_that_stands_tells_those_who_were_told_otherwise_if_asked(
    day: Workday, ruth: Person, tell: bool, notices: int
) -> None:
    call(day, ruth, LATE)
    done = call(day, ruth, wish(Decision.STANDS, "", tell=tell))
    assert done.told == Notice.objects.filter(call=done.call).count() == notices


def plan(day: Workday, *spans: tuple[str, float, float]) -> CrewPlan:
    """Publish a plan: a crew in each named block with one job from and to."""
    published = CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED)
    lead = factories.make_person()
    for name, start, end in spans:
        crew = Crew.objects.create(
            plan=published, block=day.blocks.get(name=name), name=name, lead=lead
        )
        Placement.objects.create(crew=crew, person=lead)
        job = factories.make_job()
        CrewJob.objects.create(crew=crew, job=job, starts_at=clock(start), ends_at=clock(end))
    return published


def test_a_plan_whose_jobs_fall_out_of_the_new_hours_is_retired(day: Workday, ruth: Person) -> None:
    published = plan(day, ("morning", 0, 1), ("afternoon", 4, 5))
    done = call(day, ruth, LATE)
    published.refresh_from_db()
    assert (done.plan_fell, published.state) == (True, CrewPlan.State.OLD)
    assert AuditEntry.objects.get(verb="retired").thing_id == str(published.pk)


def test_a_plan_whose_jobs_all_lie_in_the_new_hours_stays(day: Workday, ruth: Person) -> None:
    published = plan(day, ("morning", 2, 3), ("afternoon", 4, 5))
    done = call(day, ruth, LATE)
    published.refresh_from_db()
    assert (done.plan_fell, published.state) == (False, CrewPlan.State.PUBLISHED)


def test_crews_of_a_dropped_block_are_written_down_before_they_go(
    day: Workday, ruth: Person
) -> None:
    published = plan(day, ("morning", 0, 1), ("afternoon", 4, 5))
    lead = Crew.objects.filter(name="morning").get().lead_id
    job = CrewJob.objects.filter(crew__name="morning").get().job_id
    call(day, ruth, wish(Decision.SHORTENED, span=(clock(3.5), clock(6))))
    row = AuditEntry.objects.get(verb="dropped crew")
    assert row.thing_id == str(published.pk)
    assert (row.detail["lead"], row.detail["people"]) == (lead, [lead])
    assert row.detail["jobs"] == [[job, "2026-05-09T13:00+00:00", "2026-05-09T14:00+00:00"]]
    assert list(Crew.objects.values_list("name", flat=True)) == ["afternoon"]


def test_ending_a_day_under_way_keeps_its_plan_for_the_hours_done(
    day: Workday, ruth: Person
) -> None:
    published = plan(day, ("morning", 0, 3), ("afternoon", 4, 5))
    call(day, ruth, wish(Decision.SHORTENED, span=(clock(0), clock(2))), clock(1.1))
    published.refresh_from_db()
    assert published.state == CrewPlan.State.PUBLISHED
    assert [(j.starts_at, j.ends_at) for j in CrewJob.objects.all()] == [(clock(0), clock(2))]


@pytest.mark.parametrize("asked", [OFF, MOVED])
def test_moving_and_calling_off_retire_the_plan(
    day: Workday, ruth: Person, asked: CallWish
) -> None:
    published = plan(day, ("morning", 0, 1))
    assert call(day, ruth, asked).plan_fell
    published.refresh_from_db()
    assert published.state == CrewPlan.State.OLD


def test_a_host_of_a_clinic_is_told_too(day: Workday, ruth: Person) -> None:
    host = factories.make_host()
    host.bookings.create(
        skill=factories.skill("cleaning"),
        day=day,
        wished_on=date(2026, 5, 9),
        people=8,
        place="Alder Hill",
    )
    call(day, ruth, OFF)
    message = SentMessage.objects.get(to_address=host.email)
    assert "is called off" in message.text
    assert "Frost until noon." in message.text


def test_pressing_twice_does_nothing_twice(day: Workday, ruth: Person) -> None:
    for decision in (Decision.STANDS, Decision.SHORTENED, Decision.MOVED, Decision.CALLED_OFF):
        span = (clock(2), clock(6)) if decision is Decision.SHORTENED else None
        asked = wish(decision, seen=page_token(day), span=span)
        first = call(day, ruth, asked)
        counts = Call.objects.count(), SentMessage.objects.count(), Notice.objects.count()
        again = call(day, ruth, asked)
        assert (again.call, again.repeated) == (first.call, True)
        assert counts == (Call.objects.count(), SentMessage.objects.count(), Notice.objects.count())


def test_a_stale_page_is_refused_kindly(day: Workday, ruth: Person) -> None:
    seen = page_token(day)
    call(day, factories.make_staff(), wish(Decision.STANDS))
    assert refused(day, ruth, wish(Decision.CALLED_OFF, seen=seen)) == ["stale"]
    seen = page_token(day)
    factories.make_forecast(day)
    assert refused(day, ruth, wish(Decision.CALLED_OFF, seen=seen)) == ["stale"]


@pytest.mark.parametrize("asked", [OFF, MOVED, LATE, wish(Decision.STANDS)])
def test_what_is_over_stays_as_it_is(day: Workday, ruth: Person, asked: CallWish) -> None:
    assert refused(day, ruth, asked, clock(6)) == ["day_past"]
    Workday.objects.update(state=Workday.State.CLOSED)
    assert refused(day, ruth, asked) == ["day_closed"]
    Workday.objects.update(state=Workday.State.CALLED_OFF)
    assert refused(day, ruth, asked) == ["day_called_off"]


def test_a_day_does_not_move_to_a_date_without_permission(day: Workday, ruth: Person) -> None:
    day.cemetery.permissions.update(ends_on=date(2026, 5, 9))
    assert refused(day, ruth, MOVED) == ["no_permission"]


def test_a_day_does_not_move_to_a_date_on_which_its_work_is_not_permitted(
    day: Workday, ruth: Person
) -> None:
    day.cemetery.permissions.update(ends_on=date(2026, 5, 9))
    factories.make_permission(day.cemetery, "raking")
    day.jobs.add(factories.make_job())
    assert refused(day, ruth, MOVED) == ["jobs_not_permitted"]


def test_a_day_does_not_move_without_a_rain_date_or_to_one_gone_by(
    day: Workday, ruth: Person
) -> None:
    Workday.objects.update(rain_on=date(2026, 5, 1))
    assert refused(day, ruth, MOVED) == ["rain_past"]
    Workday.objects.update(rain_on=None)
    assert refused(day, ruth, MOVED) == ["no_rain_date"]


def test_a_day_with_people_on_the_roll_is_not_called_off(day: Workday, ruth: Person) -> None:
    RollEntry.objects.create(day=day, person=ruth, arrived_at=clock(0))
    assert refused(day, ruth, OFF, clock(1)) == ["begun"]


def test_without_a_forecast_a_reason_is_enough(day: Workday, ruth: Person) -> None:
    Forecast.objects.all().delete()
    assert refused(day, ruth, wish(Decision.STANDS, "")) == ["reason"]
    assert call(day, ruth, wish(Decision.STANDS, "Clear sky.")).call.forecast is None


def test_somebody_without_a_mailbox_has_a_notice_and_no_mail(day: Workday, ruth: Person) -> None:
    nobody = factories.make_person(email="")
    factories.make_sign_up(day, nobody)
    assert call(day, ruth, OFF).told == 5
    assert Notice.objects.get(person=nobody).message is None


def test_mail_for_a_minor_without_a_mailbox_goes_to_the_guardian(
    day: Workday, ruth: Person
) -> None:
    guardian = factories.make_person()
    minor = factories.make_person(email="", is_adult=False)
    factories.make_sign_up(day, minor, guardian=guardian)
    call(day, ruth, OFF)
    notice = Notice.objects.get(person=minor)
    assert notice.message
    assert notice.message.to_address == guardian.email
    assert f"/you/{minor.secret}/seen/{notice.pk}/" in notice.message.text


def test_telling_again_reaches_those_who_have_not_seen_it_and_only_once(
    day: Workday, ruth: Person
) -> None:
    call(day, ruth, OFF)
    Notice.objects.filter(pk=Notice.objects.first().pk).update(seen_at=NOW)  # type: ignore[union-attr]
    later = SentMessage.objects.last().queued_at + timedelta(minutes=11)  # type: ignore[union-attr]
    before = SentMessage.objects.count()
    assert tell_again(day.pk, by=ruth, now=later - timedelta(minutes=10)) == 0
    assert tell_again(day.pk, by=ruth, now=later) == 3
    tell_again(day.pk, by=ruth, now=later)
    assert SentMessage.objects.count() == before + 3
    assert Notice.objects.count() == 4


def test_telling_again_when_nobody_was_told_does_nothing(day: Workday, ruth: Person) -> None:
    assert tell_again(day.pk, by=ruth, now=EVENING) == 0


def test_a_kept_forecast_is_a_new_row_with_who_and_how(day: Workday, ruth: Person) -> None:
    hours = [HourFacts(clock(0), temperature_c=12)]
    row = keep_forecast(day.pk, hours, source=Forecast.Source.BY_HAND, by=ruth, now=EVENING)
    assert (row.entered_by, row.source, Forecast.objects.count()) == (ruth, "hand", 2)
    assert AuditEntry.objects.get(verb="kept a forecast").detail["source"] == "hand"


def test_no_forecast_is_kept_for_a_day_that_is_over(day: Workday, ruth: Person) -> None:
    with pytest.raises(Refused):
        keep_forecast(day.pk, [], source=Forecast.Source.FILE, by=ruth, now=clock(6))
    assert Forecast.objects.count() == 1


def test_blocks_never_reach_out_of_the_day_after_all(day: Workday, ruth: Person) -> None:
    call(day, ruth, LATE)
    call(day, ruth, MOVED)
    blocks = Block.objects.filter(day=day)
    assert all(day.starts_at <= b.starts_at < b.ends_at <= day.ends_at for b in blocks)


def test_a_job_that_may_not_be_done_on_the_rain_date_leaves(day: Workday, ruth: Person) -> None:
    section = factories.make_section(day.cemetery)
    ready, late = factories.make_stone(section), factories.make_stone(section)
    factories.conclude(ready)
    factories.conclude(late, look_again_on=factories.START.date())
    jobs = [factories.make_job(ready), factories.make_job(late)]
    day.jobs.set(jobs)
    call(day, ruth, MOVED)
    assert list(day.jobs.all()) == jobs[:1]
