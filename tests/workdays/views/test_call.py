"""Pages of the weather call: entering a forecast, deciding, seeing who knows."""

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories
from tests.factories import NOW
from tests.pages import log_in
from workdays.models import Call, Forecast, Notice, SignUp, Workday
from workdays.queries.weather import outlook
from workdays.rules.weather import Thunder, Verdict

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
EXAMPLE = (Path(__file__).parents[3] / "fixtures" / "forecast.json").read_bytes()
HOSTILE = [
    "<script>alert(1)</script>",
    "\x00\x07bell",
    "x" * 10_000,
    "\u202eright to left",
    "🪦🪣",
    "1e999",
    "NaN",
    "Infinity",
    "--",
]


@pytest.fixture
def day() -> Workday:
    day = factories.make_day()
    factories.make_permission(day.cemetery)
    factories.make_sign_up(day)
    return day


@pytest.fixture
def ruth(client: Client) -> Client:
    log_in(client, factories.make_staff(name="Ruth Okafor"))
    return client


def get(client: Client, name: str, day: Workday, **asked: str) -> str:
    answer = client.get(reverse(name, args=[day.pk]), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def post(client: Client, name: str, day: Workday, typed: dict[str, Any]) -> HttpResponse:
    answer = client.post(reverse(name, args=[day.pk]), typed)
    assert answer.status_code in (200, 302)
    return answer  # type: ignore[return-value]


def hours(day: Workday) -> list[str]:
    """Return the keys of the form's hours, 9:00 first."""
    first = int(day.starts_at.timestamp() // 3600)
    return [str(first + n) for n in range(6)]


def by_hand(day: Workday, *air: str, **rest: str) -> dict[str, str]:
    typed = {f"air_{key}": value for key, value in zip(hours(day), air, strict=False)}
    return {"thunder": "no", "humidity": "50", "lowest_before": "40", "lowest_after": "40"} | (
        typed | rest
    )


def upload(client: Client, day: Workday, content: bytes) -> HttpResponse:
    return post(
        client, "forecast_file", day, {"file": SimpleUploadedFile("forecast.json", content)}
    )


def row_of(day: Workday, kind: str) -> list[Verdict]:
    found = outlook(Workday.objects.get(pk=day.pk))
    assert found
    return [row.verdict for row in found.verdicts[kind]]


def test_without_a_forecast_the_page_says_so_and_offers_both_ways(
    ruth: Client, day: Workday
) -> None:
    page = get(ruth, "call", day)
    assert "Saturday 9 May at" in page
    assert "no forecast yet" in page
    for name in ("forecast_new", "forecast_file", "call_decide"):
        assert reverse(name, args=[day.pk]) in page


def test_degrees_typed_in_fahrenheit_are_held_exactly(ruth: Client, day: Workday) -> None:
    post(ruth, "forecast_new", day, by_hand(day, "40", "40.1", "43.6", "44", "50", "50"))
    off, watch, on = Verdict.OFF, Verdict.WATCH, Verdict.ON
    assert row_of(day, "cleaning") == [off, watch, watch, on, on, on]
    stored = Forecast.objects.get()
    assert (stored.source, stored.entered_by.name) == ("hand", "Ruth Okafor")  # type: ignore[union-attr]
    assert "40/9" in json.dumps(stored.hours)


def test_frost_in_the_night_before_stops_wet_work(ruth: Client, day: Workday) -> None:
    post(ruth, "forecast_new", day, by_hand(day, *["60"] * 6, lowest_before="32"))
    assert set(row_of(day, "cleaning")) == {Verdict.OFF}
    assert set(row_of(day, "raking")) == {Verdict.ON}


def test_an_hour_can_differ_from_the_whole_day(ruth: Client, day: Workday) -> None:
    noon = hours(day)[3]
    post(ruth, "forecast_new", day, by_hand(day, *["60"] * 6, **{f"thunder_{noon}": "yes"}))
    assert row_of(day, "raking")[2:5] == [Verdict.ON, Verdict.OFF, Verdict.OFF]


def test_what_is_left_empty_is_watched_not_guessed(ruth: Client, day: Workday) -> None:
    post(ruth, "forecast_new", day, {"thunder": "unknown", f"air_{hours(day)[0]}": "60"})
    assert set(row_of(day, "raking")) == {Verdict.WATCH}


def test_a_forecast_without_one_temperature_is_refused(ruth: Client, day: Workday) -> None:
    page = post(ruth, "forecast_new", day, by_hand(day)).content.decode()
    assert "Enter the air of at least one hour" in page
    assert not Forecast.objects.exists()


@pytest.mark.parametrize("value", [*HOSTILE, "999", "-999", "40,5"])
def test_what_is_no_temperature_is_named_and_nothing_typed_is_lost(
    ruth: Client, day: Workday, value: str
) -> None:
    answer = post(ruth, "forecast_new", day, by_hand(day, value, "47.5", lowest_after=value))
    assert answer.status_code == 200
    page = answer.content.decode()
    assert 'value="47.5"' in page
    assert "<script>alert" not in page
    assert not Forecast.objects.exists()


def test_a_word_that_is_no_answer_about_thunder_is_refused(ruth: Client, day: Workday) -> None:
    answer = post(ruth, "forecast_new", day, by_hand(day, "50", thunder="maybe"))
    assert answer.status_code == 200
    assert not Forecast.objects.exists()


def test_on_the_night_clocks_go_back_both_hours_have_a_field(ruth: Client) -> None:
    from_midnight = factories.make_day(
        starts_at=factories.START.replace(month=11, day=1, hour=4)  # midnight to 5:00
    )
    page = get(ruth, "forecast_new", from_midnight)
    assert "1:00 (EDT)" in page
    assert "1:00 (EST)" in page


def test_a_file_is_read_and_shown(ruth: Client, day: Workday) -> None:
    assert upload(ruth, day, EXAMPLE).status_code == 302
    page = get(ruth, "call", day)
    assert "read from a file" in page
    assert "gentle cleaning" in page
    assert Forecast.objects.get().source == "file"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "not JSON"),
        (b"hello", "not JSON"),
        (b"\xff\xfe", "not text in UTF-8"),
        (b"[]", "one JSON object"),
        (b'{"hours": []}', "no hours"),
        (b'{"hours": [{"at": "2026-05-09T09:00-04:00", "temperature_c": NaN}]}', "not NaN"),
        (b'{"hours": [{"at": "2026-05-09T09:00-04:00", "temperature_c": 1e999}]}', "temperature_c"),
        (b'{"hours": [{"at": "2026-05-09T09:00-04:00"}]}', "hours are missing"),
        (b'{"hours": [{"at": 5}, "x"]}', "Hour 2"),
        (b'{"hours": [{"at": "<script>alert(1)</script>"}]}', "Hour 1"),
        (b'{"hours": ' + b"[" * 100_000, "nested too deep"),
        (b" " * 1_000_001, "larger than 1 MB"),
    ],
)
def test_a_file_that_cannot_be_used_is_named_and_the_old_forecast_stays(
    ruth: Client, day: Workday, content: bytes, sentence: str
) -> None:
    old = factories.make_forecast(day)
    page = upload(ruth, day, content).content.decode()
    assert sentence in page
    assert "<script>alert" not in page
    assert Forecast.objects.get() == old


def test_all_problems_of_a_file_stand_beside_the_field(ruth: Client, day: Workday) -> None:
    hour: dict[str, Any] = {"at": "2026-05-09T09:00-04:00", "wind_kmh": "x", "thunder": "perhaps"}
    page = upload(ruth, day, json.dumps({"hours": [hour, {"at": "later"}]}).encode())
    words = page.content.decode()
    for part in ("wind_kmh", "perhaps", "Hour 2: at must be a moment"):
        assert part in words


def test_no_file_chosen_is_said(ruth: Client, day: Workday) -> None:
    assert "Choose a file first." in post(ruth, "forecast_file", day, {}).content.decode()


def test_the_proposed_choice_is_filled_and_brings_its_hours(ruth: Client, day: Workday) -> None:
    day.jobs.add(factories.make_job())
    factories.make_forecast(day, clock={9: {"temperature_c": 2}, 10: {"temperature_c": 3}})
    page = get(ruth, "call", day)
    assert "must wait until 11:00" in page
    filled = page.split("btn btn-primary", 1)[1].split("</a>", 1)[0]
    assert "Start at 11:00" in filled
    assert "starts=11:00" in filled
    form = get(ruth, "call_decide", day, decision="shortened", starts="11:00", ends="15:00")
    assert 'value="11:00"' in form
    assert "Wet work stops at or below 40" in form


def test_only_the_work_meant_for_the_day_has_a_strip(ruth: Client, day: Workday) -> None:
    day.jobs.add(factories.make_job())
    factories.make_forecast(day)
    page = get(ruth, "call", day)
    assert "Gentle cleaning" in page
    assert "Resetting" not in page


def test_each_rule_stands_with_its_source_and_who_decides(ruth: Client, day: Workday) -> None:
    factories.make_forecast(day, temperature_c=2)
    page = get(ruth, "call", day)
    assert "cleaner maker (name withheld)" in page
    assert "Using the Heat Index: A Guide for Employers" in page
    assert "licensed professionals decide" in page
    assert "the air&#x27;s is taken for it" in page


@pytest.mark.parametrize("decision", ["stands", "shortened", "moved", "called_off"])
def test_each_decision_is_taken_from_its_page(ruth: Client, day: Workday, decision: str) -> None:
    factories.make_forecast(day)
    asked = {"decision": decision, "starts": "10:00", "ends": "14:00"}
    form = get(ruth, "call_decide", day, **asked)
    seen = form.split('name="seen" value="', 1)[1].split('"', 1)[0]
    answer = post(ruth, "call_decide", day, asked | {"reason": "Frost.", "seen": seen})
    assert answer.status_code == 302
    assert Call.objects.get().decision == decision
    again = post(ruth, "call_decide", day, asked | {"reason": "Frost.", "seen": seen})
    assert again.status_code == 302
    assert Call.objects.count() == 1
    get(ruth, "call", day)
    get(ruth, "notices", day)


def test_the_page_says_who_is_told_and_whom_no_mail_reaches(ruth: Client, day: Workday) -> None:
    factories.make_sign_up(
        day, factories.make_person(name="Eli Without", email="", telephone="555-0133")
    )
    page = get(ruth, "call_decide", day, decision="called_off")
    assert "2 people are told" in page
    assert 'href="tel:555-0133"' in page


@pytest.mark.parametrize("reason", ["", "   ", "x" * 501])
def test_calling_off_needs_a_reason_of_a_few_words(ruth: Client, day: Workday, reason: str) -> None:
    typed = {"decision": "called_off", "reason": reason}
    assert post(ruth, "call_decide", day, typed).status_code == 200
    assert not Call.objects.exists()


@pytest.mark.parametrize("value", HOSTILE)
def test_hostile_words_give_a_page_and_no_markup(ruth: Client, day: Workday, value: str) -> None:
    typed = {"decision": "shortened", "starts": value, "ends": value, "reason": value}
    answer = post(ruth, "call_decide", day, typed | {"seen": value[:150]})
    assert answer.status_code == 200
    assert "<script>alert" not in answer.content.decode()
    get(ruth, "call_decide", day, decision="shortened", starts=value, ends=value)
    assert post(ruth, "call_decide", day, {"decision": value}).status_code == 302
    assert not Call.objects.exists()


def test_a_stale_page_is_answered_with_the_words_kept(ruth: Client, day: Workday) -> None:
    typed = {"decision": "called_off", "reason": "Hail all day.", "seen": "an older page"}
    page = post(ruth, "call_decide", day, typed).content.decode()
    assert "Look at it again" in page
    assert "Hail all day." in page
    assert not Call.objects.exists()


def test_a_day_that_is_over_is_shown_but_not_decided(ruth: Client) -> None:
    over = factories.make_day(starts_at=NOW - timedelta(days=2))
    page = get(ruth, "call", over)
    assert "This day is over" in page
    assert "?decision=" not in page
    typed = {"decision": "called_off", "reason": "Too late."}
    assert "This day is over" in post(ruth, "call_decide", over, typed).content.decode()


def test_a_supervisor_sees_the_call_without_the_buttons(client: Client, day: Workday) -> None:
    staff = factories.make_staff("supervisor", day.cemetery)
    log_in(client, staff)
    factories.make_forecast(day)
    page = get(client, "call", day)
    assert "?decision=" not in page
    assert reverse("forecast_new", args=[day.pk]) not in page


def call_off(client: Client, day: Workday) -> None:
    typed = {"decision": "called_off", "reason": "Thunder from noon."}
    assert post(client, "call_decide", day, typed).status_code == 302


def test_the_notices_count_who_saw_it_and_list_the_others(ruth: Client, day: Workday) -> None:
    guardian = factories.make_person(name="Gail Parent", telephone="555-0177")
    minor = factories.make_person(name="Kit Parent", email="", telephone="", is_adult=False)
    factories.make_sign_up(day, minor, guardian=guardian)
    call_off(ruth, day)
    page = get(ruth, "notices", day)
    assert "0 of 2 have seen it" in page
    assert "guardian Gail Parent" in page
    assert 'href="tel:555-0177"' in page


def test_pressing_i_have_seen_this_is_counted(ruth: Client, day: Workday) -> None:
    call_off(ruth, day)
    notice = Notice.objects.get()
    visitor, path = Client(), reverse("notice_seen", args=[notice.person.secret, notice.pk])
    shown = visitor.get(path).content.decode()
    assert "Called off: Saturday 9 May" in shown
    assert "Thunder from noon." in shown
    assert Notice.objects.get().seen_at is None, "GET only shows"
    assert visitor.post(path).status_code == 302
    assert visitor.post(path).status_code == 302
    assert Notice.objects.get().seen_at == NOW
    page = get(ruth, "notices", day)
    assert "1 of 1 have seen it" in page
    assert "Everybody has seen it." in page


def test_mailing_again_minutes_later_says_that_nothing_was_sent(ruth: Client, day: Workday) -> None:
    call_off(ruth, day)
    answer = ruth.post(reverse("notices_again", args=[day.pk]), follow=True)
    assert "Nothing was sent" in answer.content.decode()


@pytest.mark.parametrize("name", ["call", "notices"])
def test_the_pages_take_as_many_queries_for_twenty_people_as_for_two(
    ruth: Client, day: Workday, name: str
) -> None:
    def queries(people: int) -> int:
        there = factories.make_day(day.cemetery)
        for n in range(people):
            factories.make_sign_up(
                there, factories.make_person(email="" if n % 2 else "a@b.example")
            )
            there.jobs.add(factories.make_job())
        factories.make_forecast(there, clock={9: {"thunder": Thunder.YES}})
        call_off(ruth, there)
        with CaptureQueriesContext(
            connection,
        ) as captured:
            get(ruth, name, there)
        return len(captured)

    assert queries(2) == queries(20)


def test_moving_leaves_the_page_asking_for_a_new_forecast(ruth: Client, day: Workday) -> None:
    factories.make_forecast(day)
    post(ruth, "call_decide", day, {"decision": "moved", "reason": "Hail on Saturday."})
    page = get(ruth, "call", day)
    assert "Sunday 10 May at" in page
    assert "no forecast yet" in page
    assert "moves to Sunday 10 May" in page
    assert SignUp.objects.get().question_open
