"""The page behind a person's standing link, and nobody else's."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from coordinator.models import Person, SentMessage
from tests.factories import (
    NOW,
    WAIVER_TEXT,
    make_cemetery,
    make_day,
    make_person,
    make_sign_up,
    make_waiver,
    sign,
    skill,
)
from training.models import HoursEntry
from workdays.models import Block, Crew, CrewPlan, Notice, Placement, SignUp, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
State = SignUp.State


@pytest.fixture
def person() -> Person:
    return make_person(name="Ana Costa", email="ana@hollin.example")


@pytest.fixture
def row(person: Person) -> SignUp:
    return make_sign_up(make_day(make_cemetery(name="Alder Hill"), capacity=2), person)


def address(name: str, row: SignUp) -> str:
    return reverse(name, args=[row.person.secret, row.pk])


def read(client: Client, where: str) -> str:
    response = client.get(where)
    assert response.status_code == 200
    return response.content.decode()


def own_page(client: Client, person: Person) -> str:
    return read(client, reverse("own_page", args=[person.secret]))


def test_the_own_page_shows_days_signatures_notices_and_hours(
    client: Client, person: Person, row: SignUp
) -> None:
    make_waiver(title="What you agree to")
    sign(person)
    Notice.objects.create(day=row.day, person=person, reason="weather call")
    HoursEntry.objects.create(
        person=person,
        skill=skill("cleaning"),
        day_number=1,
        block_number=1,
        cemetery_number=row.day.cemetery_id,
        place="Alder Hill",
        on=NOW.date(),
        minutes=135,
    )
    html = own_page(client, person)
    assert "Ana Costa, you're coming to one day" in html
    assert "You&#x27;re coming: Saturday 9 May at Alder Hill" in html
    assert "What you agree to" in html
    assert "Weather call" in html
    assert "135" in html
    assert "Gentle cleaning" in html
    assert "not seen yet" in html


def test_the_own_page_holds_nothing_of_others(client: Client, person: Person, row: SignUp) -> None:
    other = make_sign_up(row.day, make_person(name="Bo Other"))
    Notice.objects.create(day=row.day, person=other.person, reason="secret matter")
    html = own_page(client, person)
    assert "Bo Other" not in html
    assert "ecret matter" not in html


def test_a_place_without_a_yes_is_not_shown(client: Client, person: Person) -> None:
    make_sign_up(make_day(), person, state=State.UNCONFIRMED, held_until=NOW + timedelta(hours=1))
    assert "you have no place on a day to come" in own_page(client, person)


def test_the_own_page_takes_as_many_statements_for_many_days(
    client: Client, person: Person, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    cemetery = make_cemetery()
    for n in range(20):
        make_sign_up(make_day(cemetery, starts_at=NOW + timedelta(days=n)), person)
    with django_assert_max_num_queries(17):
        own_page(client, person)


@pytest.mark.parametrize("name", ["own_day", "own_change", "own_withdraw", "own_come"])
def test_somebody_elses_day_is_not_found(client: Client, row: SignUp, name: str) -> None:
    stranger = make_person()
    where = reverse(name, args=[stranger.secret, row.pk])
    assert client.post(where).status_code in (404, 405)
    assert client.get(where).status_code in (404, 405)
    row.refresh_from_db()
    assert row.state == State.COMING


@pytest.mark.parametrize("secret", ["x", "é" * 200, "%00", "a" * 5000])
def test_an_altered_or_renewed_link_is_not_found(client: Client, row: SignUp, secret: str) -> None:
    for name in ("own_day", "own_change", "own_withdraw"):
        assert client.get(reverse(name, args=[secret, row.pk])).status_code == 404
    assert client.get(reverse("own_page", args=[secret])).status_code == 404


def test_personal_pages_are_kept_from_indexes_and_stores(client: Client, row: SignUp) -> None:
    for name in ("own_day", "own_change", "own_withdraw"):
        headers = client.get(address(name, row)).headers
        assert headers["X-Robots-Tag"] == "noindex, nofollow"
        assert headers["Referrer-Policy"] == "same-origin"
        assert "no-store" in headers["Cache-Control"]
        assert "private" in headers["Cache-Control"]


def test_withdrawing_asks_once_more_and_acts_on_post(client: Client, row: SignUp) -> None:
    assert "You cannot come on Saturday 9 May" in read(client, address("own_withdraw", row))
    row.refresh_from_db()
    assert row.state == State.COMING
    response = client.post(address("own_withdraw", row), follow=True)
    assert "You are off this day" in response.content.decode()
    row.refresh_from_db()
    assert row.state == State.WITHDRAWN
    again = client.post(address("own_withdraw", row), follow=True)
    assert "withdrawn already" in again.content.decode()


def changed(**overrides: object) -> dict[str, object]:
    values: dict[str, object] = {
        "telephone": "555-0177",
        "emergency_name": "Rui Costa",
        "emergency_telephone": "555-0143",
        "comes_at": "20260509T1400Z",
        "leaves_at": "20260509T1900Z",
        "wishes": "",
        "words": "I come by bus.",
    }
    return values | overrides


def test_the_form_of_a_change_holds_what_was_said(client: Client, row: SignUp) -> None:
    row.words, row.cannot_kneel, row.experience = "by bus", True, {"mending": "lots"}
    row.save()
    html = read(client, address("own_change", row))
    assert "by bus" in html
    assert '<option value="lots" selected>' in html
    assert 'name="email"' not in html


def test_a_change_is_kept(client: Client, row: SignUp) -> None:
    client.post(address("own_change", row), changed())
    row.refresh_from_db()
    assert (row.words, row.person.telephone) == ("I come by bus.", "555-0177")
    assert "10:00 to 15:00" in read(client, address("own_day", row))


def test_what_somebody_brings_is_kept_shown_and_taken_back(client: Client, row: SignUp) -> None:
    where = address("own_change", row)
    assert "<details>" in read(client, where)
    client.post(where, changed(brings_bucket="2", brings_truck="0", brings_tank=""))
    row.refresh_from_db()
    assert row.brings == {"bucket": 2}
    html = read(client, where)
    assert "<details open>" in html
    assert 'name="brings_bucket" value="2"' in html
    client.post(where, changed())
    row.refresh_from_db()
    assert row.brings == {}


@pytest.mark.parametrize("amount", ["-1", "21", "two", "1e9", "9" * 400, "\x00"])
def test_an_absurd_amount_is_refused_beside_its_field(
    client: Client, row: SignUp, amount: str
) -> None:
    html = client.post(address("own_change", row), changed(brings_bucket=amount)).content.decode()
    assert "id_brings_bucket_error" in html
    assert "<details open>" in html
    assert "I come by bus." in html
    row.refresh_from_db()
    assert row.brings == {}


@pytest.mark.parametrize("name", list(changed()))
@pytest.mark.parametrize("value", ["<script>alert(1)</script>", "\x00", "a" * 10_000, "🪦\u202e"])
def test_a_hostile_change_breaks_nothing(
    client: Client, row: SignUp, name: str, value: str
) -> None:
    response = client.post(address("own_change", row), changed(**{name: value}))
    assert response.status_code in (200, 302)
    assert "<script>alert" not in response.content.decode()
    assert "<script>alert" not in read(client, address("own_day", row))


def test_too_late_a_change_keeps_what_was_typed(client: Client, row: SignUp) -> None:
    Workday.objects.update(starts_at=NOW - timedelta(hours=1))
    moved = changed(comes_at="20260506T1300Z", leaves_at="20260506T1400Z")
    html = client.post(address("own_change", row), moved).content.decode()
    assert "can no longer be changed" in html
    assert "I come by bus." in html


def test_an_offer_is_taken_on_the_own_page(client: Client, row: SignUp) -> None:
    row.state, row.held_until = State.OFFERED, NOW + timedelta(hours=2)
    row.save()
    html = read(client, address("own_day", row))
    assert "before Wednesday 6 May, 12:00" in html
    assert (
        "Good: you&#x27;re coming."
        in client.post(address("own_come", row), follow=True).content.decode()
    )
    row.refresh_from_db()
    assert row.state == State.COMING


def test_an_offer_that_is_over_says_so(client: Client, row: SignUp) -> None:
    row.state, row.held_until = State.OFFERED, NOW
    row.save()
    assert "Your place has lapsed" in read(client, address("own_day", row))
    html = client.post(address("own_come", row), follow=True).content.decode()
    assert "sign up again" in html


def test_after_a_move_the_day_asks_and_a_yes_answers(client: Client, row: SignUp) -> None:
    row.question_open = True
    row.save()
    assert "Do you still come?" in read(client, address("own_day", row))
    client.post(address("own_come", row))
    assert "Do you still come?" not in read(client, address("own_day", row))


def test_a_day_called_off_says_so_and_asks_nothing(client: Client, row: SignUp) -> None:
    Workday.objects.update(state=Workday.State.CALLED_OFF)
    html = read(client, address("own_day", row))
    assert "Called off: Saturday 9 May at Alder Hill" in html
    assert address("own_withdraw", row) not in html


def test_the_crew_stands_on_the_day_once_it_is_published(client: Client, row: SignUp) -> None:
    plan = CrewPlan.objects.create(day=row.day)
    block = Block.objects.filter(day=row.day, kind=Block.Kind.WORK).first()
    assert block is not None
    lead = make_person(name="Ben Lindqvist")
    crew = Crew.objects.create(plan=plan, block=block, name="Crew 2", lead=lead)
    Placement.objects.create(crew=crew, person=row.person)
    assert "Ben Lindqvist" not in read(client, address("own_day", row))
    CrewPlan.objects.update(state=CrewPlan.State.PUBLISHED)
    assert "Ben Lindqvist" in read(client, address("own_day", row))


def test_what_was_signed_is_shown_word_for_word(client: Client, person: Person) -> None:
    make_waiver()
    signature = sign(person)
    html = read(client, reverse("own_waiver", args=[person.secret, signature.pk]))
    for paragraph in WAIVER_TEXT.split("\n\n"):
        assert paragraph in html
    assert signature.text_sha256 in html
    assert "2026-05-06 14:00 UTC" in html
    stranger = make_person()
    where = reverse("own_waiver", args=[stranger.secret, signature.pk])
    assert client.get(where).status_code == 404


def test_a_new_link_goes_to_the_mailbox_only(client: Client, person: Person) -> None:
    old = person.secret
    where = reverse("own_renew", args=[old])
    assert "Send me a new link" in read(client, where)
    html = client.post(where).content.decode()
    person.refresh_from_db()
    assert person.secret != old
    assert person.secret not in html
    assert person.secret in SentMessage.objects.get().text
    assert client.get(reverse("own_page", args=[old])).status_code == 404


def test_a_notice_is_shown_on_get_and_seen_on_post(client: Client, row: SignUp) -> None:
    notice = Notice.objects.create(day=row.day, person=row.person, reason="weather call")
    where = reverse("notice_seen", args=[row.person.secret, notice.pk])
    assert "I have seen this" in read(client, where)
    notice.refresh_from_db()
    assert notice.seen_at is None
    assert "we know that you have seen this" in client.post(where, follow=True).content.decode()
    notice.refresh_from_db()
    assert notice.seen_at == NOW
    assert (
        client.get(reverse("notice_seen", args=[make_person().secret, notice.pk])).status_code
        == 404
    )
