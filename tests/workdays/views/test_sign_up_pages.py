"""The public form: what is typed survives every error; the links of the first mail and an offer."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from coordinator.models import AuditEntry, Person, SentMessage
from tests.factories import (
    NOW,
    WAIVER_TEXT,
    make_cemetery,
    make_day,
    make_sign_up,
    make_waiver,
    rewrite_waivers,
)
from workdays.forms.guard import stamp
from workdays.models import Cemetery, Signature, SignUp, Waiver, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
State = SignUp.State

HOSTILE = {
    "empty": "",
    "blank": "   ",
    "html": "<script>alert(1)</script>",
    "control": "\x00\x1b[31m\x07\r\n",
    "long": "a" * 10_000,
    "right to left": "\u202e\u05de\u05e8\u05d9\u05dd\u202c",
    "emoji": "🪦👩‍👩‍👧‍👦🌿",
    "template": "{{ 7|add:7 }} {% now %}",
    "quote": "'; DROP TABLE person; -- \"",
}
FIELDS = [
    "name",
    "email",
    "telephone",
    "emergency_name",
    "emergency_telephone",
    "is_adult",
    "experience_cleaning",
    "wishes",
    "cannot_lift",
    "languages",
    "comes_at",
    "leaves_at",
    "brings_bucket",
    "words",
    "affirm",
    "typed_name",
    "text_sha256",
    "age",
]


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(make_cemetery(name="Alder Hill"), capacity=3)


def typed(**overrides: object) -> dict[str, object]:
    values: dict[str, object] = {
        "name": "Ana Costa",
        "email": "ana@hollin.example",
        "telephone": "555-0142",
        "emergency_name": "Rui Costa",
        "emergency_telephone": "555-0143",
        "is_adult": "on",
        "experience_cleaning": "some",
        "wishes": "resetting",
        "cannot_lift": "on",
        "languages": ["en", "es"],
        "comes_at": "20260509T1300Z",
        "leaves_at": "20260509T1700Z",
        "words": "I bring scones.",
        "affirm": "on",
        "typed_name": "ana  costa",
        "text_sha256": Waiver.objects.latest("pk").text_sha256,
        "age": stamp(),
    }
    return values | overrides


def send(client: Client, day: Workday, **overrides: object) -> tuple[int, str]:
    response = client.post(reverse("sign_up", args=[day.pk]), typed(**overrides))
    return response.status_code, response.content.decode()


def link(reason: str) -> str:
    text = SentMessage.objects.filter(reason=reason).latest("pk").text
    found = re.search(r"http://[^/]+(/\S+)", text)
    assert found
    return found.group(1)


def test_the_form_shows_the_waiver_whole(client: Client, day: Workday) -> None:
    text = "\n\n".join(f"Paragraph {n}: stones are heavy." for n in range(40))
    make_waiver(text=text)
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert html.count("stones are heavy.") == 40
    assert "I am 18 or older" in html
    assert "guardian" in html


@pytest.mark.parametrize(("state", "age"), [("AL", 19), ("NE", 19), ("MS", 21), ("OH", 18)])
def test_people_sign_from_the_age_of_the_place(
    client: Client, day: Workday, state: str, age: int
) -> None:
    make_waiver()
    Cemetery.objects.update(us_state=state)
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert f"I am {age} or older" in html
    assert send(client, day)[0] == 302
    assert AuditEntry.objects.get(verb="signed up").detail["adult_age"] == age


def test_a_sign_up_answers_with_a_redirect_and_a_mail(client: Client, day: Workday) -> None:
    response = client.post(reverse("sign_up", args=[day.pk]), typed())
    assert response.status_code == 302
    assert response.headers["Location"] == reverse("sign_up_sent", args=[day.pk])
    row = SignUp.objects.get()
    assert row.experience["cleaning"] == "some"
    assert row.experience["mending"] == "none"
    assert (row.comes_at, row.languages, row.cannot_lift) == (None, ["en", "es"], True)
    assert row.leaves_at == NOW.replace(day=9, hour=17)
    assert Signature.objects.get().typed_name == "ana costa"
    sent = client.get(response.headers["Location"]).content.decode()
    assert "Thursday 7 May, 10:00" in sent
    assert "Ana" not in sent


def test_what_a_stranger_brings_is_kept_with_the_sign_up(client: Client, day: Workday) -> None:
    assert send(client, day, brings_bucket="2", brings_truck="")[0] == 302
    assert SignUp.objects.get().brings == {"bucket": 2}


def test_known_and_unknown_mailboxes_get_the_same_answer(client: Client, day: Workday) -> None:
    answers = [client.post(reverse("sign_up", args=[day.pk]), typed()) for _ in range(2)]
    assert Person.objects.filter(email="ana@hollin.example").count() == 2
    first, second = [(a.status_code, a.headers["Location"], a.content) for a in answers]
    assert first == second


def test_a_full_day_takes_people_for_the_list(client: Client, day: Workday) -> None:
    for _ in range(3):
        make_sign_up(day)
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert "Put me on the waiting list" in html
    response = client.post(reverse("sign_up", args=[day.pk]), typed(), follow=True)
    assert "there is a place for you on the waiting list" in response.content.decode()


@pytest.mark.parametrize("name", FIELDS)
@pytest.mark.parametrize("kind", HOSTILE)
def test_no_field_breaks_the_page_or_loses_the_others(
    client: Client, day: Workday, name: str, kind: str
) -> None:
    status, html = send(client, day, **{name: HOSTILE[kind]})
    assert status in (200, 302)
    assert "<script>alert" not in html
    if status == 200:
        assert "Not yet: please look at this again" in html
        assert not SignUp.objects.exists()
        others = {"email": "ana@hollin.example", "words": "I bring scones."} | {
            "telephone": "555-0142",
            "emergency_name": "Rui Costa",
        }
        for other, value in others.items():
            assert other == name or value in html
    else:
        assert SignUp.objects.count() == 1


def test_an_empty_form_says_what_is_missing(client: Client, day: Workday) -> None:
    response = client.post(reverse("sign_up", args=[day.pk]), {})
    html = response.content.decode()
    assert response.status_code == 200
    for name in ("name", "email", "telephone", "is_adult", "affirm", "typed_name"):
        assert f'id="id_{name}_error"' in html


def test_too_long_is_said_and_kept(client: Client, day: Workday) -> None:
    _, html = send(client, day, words="b" * 501)
    assert "at most 500" in html
    assert "b" * 501 in html


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"typed_name": "Somebody Else"}, "same name as at the top"),
        ({"leaves_at": "20260509T1300Z"}, "hours of the day have changed"),
        ({"comes_at": "20260509T1700Z"}, "not after the time you come"),
        ({"comes_at": "20260509T1305Z"}, "hours of the day have changed"),
        ({"telephone": "none"}, "with digits"),
        ({"email": "ana@"}, "valid email"),
        ({"text_sha256": "0" * 64}, "text has changed"),
        ({"trap": "x"}, "must stay empty"),
        ({"age": ""}, "without its date"),
        ({"age": "x:y:z"}, "without its date"),
        ({"wishes": "flying"}, "not one of the available"),
        ({"languages": ["xx"]}, "not one of the available"),
    ],
)
def test_each_refusal_says_why(
    client: Client, day: Workday, change: dict[str, object], words: str
) -> None:
    status, html = send(client, day, **change)
    assert status == 200
    assert words in html
    assert not Person.objects.exists()
    assert not SentMessage.objects.exists()


def test_a_text_that_changed_is_read_and_affirmed_anew(client: Client, day: Workday) -> None:
    old = typed()
    make_waiver(text="The new text.")
    html = client.post(reverse("sign_up", args=[day.pk]), old).content.decode()
    assert "The new text." in html
    box = re.search(r'<input[^>]*name="affirm"[^>]*>', html)
    assert box
    assert "checked" not in box.group()
    status, _ = send(client, day)
    assert status == 302


def test_a_page_that_is_a_day_old_is_sent_once_more(client: Client, day: Workday) -> None:
    with time_machine.travel(NOW - timedelta(hours=25), tick=False):
        old = stamp()
    html = send(client, day, age=old)[1]
    assert "open for more than a day" in html
    age = re.search(r'name="age" value="([^"]+)"', html)
    assert age
    assert send(client, day, age=age.group(1))[0] == 302


def test_a_machine_is_quicker_than_a_person(
    client: Client, day: Workday, settings: Settings
) -> None:
    settings.FORM_LEAST_SECONDS = 2
    with time_machine.travel(NOW - timedelta(seconds=1), tick=False):
        young = stamp()
    assert "very quick" in send(client, day, age=young)[1]
    with time_machine.travel(NOW - timedelta(seconds=4), tick=False):
        grown = stamp()
    assert send(client, day, age=grown)[0] == 302


def test_one_network_and_one_mailbox_have_a_limit(
    client: Client, day: Workday, settings: Settings
) -> None:
    settings.SIGN_UPS_PER_MAILBOX_DAY = 1
    assert send(client, day)[0] == 302
    status, html = send(client, day)
    assert (status, SignUp.objects.count()) == (429, 1)
    assert "I bring scones." in html
    cache.clear()
    settings.SIGN_UPS_PER_NETWORK_HOUR = 1
    assert send(client, day, email="li@hollin.example")[0] == 302
    assert send(client, day, email="bo@hollin.example")[0] == 429
    assert SentMessage.objects.count() == 2


@pytest.mark.parametrize(
    "change", [{"state": Workday.State.CALLED_OFF}, {"cut_off_at": NOW}, {"starts_at": NOW}]
)
def test_a_day_that_takes_nobody_says_so(
    client: Client, day: Workday, change: dict[str, object]
) -> None:
    Workday.objects.update(**change)
    assert "Nobody can sign up" in client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert send(client, day)[0] == 409
    assert not Person.objects.exists()


def test_without_a_waiver_the_page_says_so(client: Client, day: Workday) -> None:
    rewrite_waivers(published_at=None)
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert "no waiver to sign yet" in html


def test_the_mailed_link_shows_and_the_button_acts(client: Client, day: Workday) -> None:
    send(client, day)
    address = link("is this your mailbox")
    for _ in range(2):
        shown = client.get(address)
        assert "Are you coming on Saturday 9 May at Alder Hill?" in shown.content.decode()
        assert WAIVER_TEXT.split("\n")[0] in shown.content.decode()
    assert SignUp.objects.get().state == State.UNCONFIRMED
    assert shown.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert shown.headers["Referrer-Policy"] == "same-origin"
    assert "no-store" in shown.headers["Cache-Control"]
    done = client.post(address).content.decode()
    assert "You&#x27;re coming: Saturday 9 May at Alder Hill" in done
    assert SignUp.objects.get().state == State.COMING


def test_a_used_link_says_what_to_do(client: Client, day: Workday) -> None:
    send(client, day)
    address = link("is this your mailbox")
    client.post(address)
    for response in (client.get(address), client.post(address)):
        assert response.status_code == 410
        assert "You have said yes already" in response.content.decode()


def test_a_lapsed_link_says_what_to_do(client: Client, day: Workday) -> None:
    send(client, day)
    address = link("is this your mailbox")
    with time_machine.travel(NOW + timedelta(hours=25), tick=False):
        response = client.post(address)
        assert response.status_code == 410
        assert "sign up again" in response.content.decode()
    SignUp.objects.update(state=State.LAPSED)
    response = client.get(address)
    assert response.status_code == 410
    assert "its time is over" in response.content.decode()


def test_an_old_link_says_what_to_do(client: Client, day: Workday) -> None:
    send(client, day)
    address = link("is this your mailbox")
    with time_machine.travel(NOW + timedelta(days=15), tick=False):
        response = client.get(address)
    assert response.status_code == 410
    assert "Sign up again" in response.content.decode()


@pytest.mark.parametrize("kind", ["confirm_sign_up", "take_offer"])
@pytest.mark.parametrize("token", ["x", "é" * 400, "a:b:c", "%00", "WzEsIngiXQ:1x:2y"])
def test_an_altered_link_is_not_found(client: Client, kind: str, token: str) -> None:
    response = client.post(reverse(kind, args=[token]))
    assert response.status_code == 404
    assert "not a whole link" in response.content.decode()


def test_the_link_of_the_first_mail_takes_no_offer(client: Client, day: Workday) -> None:
    send(client, day)
    token = link("is this your mailbox").split("/")[-2]
    assert client.get(reverse("take_offer", args=[token])).status_code == 404


def offered(client: Client, day: Workday) -> tuple[SignUp, str]:
    Workday.objects.update(capacity=2)
    row, _ = make_sign_up(day), make_sign_up(day)
    waits = make_sign_up(day, state=State.WAITING)
    client.post(reverse("own_withdraw", args=[row.person.secret, row.pk]))
    return waits, link("a place is free")


def test_an_offer_is_taken_by_its_link(client: Client, day: Workday) -> None:
    row, address = offered(client, day)
    assert "A place is free for you" in client.get(address).content.decode()
    row.refresh_from_db()
    assert row.state == State.OFFERED
    client.post(address, {"take": "yes"})
    row.refresh_from_db()
    assert row.state == State.COMING
    assert client.get(address).status_code == 410


def test_an_offer_is_left_to_the_next(client: Client, day: Workday) -> None:
    row, address = offered(client, day)
    following = make_sign_up(day, state=State.WAITING)
    client.post(address, {"leave": "yes"})
    row.refresh_from_db()
    following.refresh_from_db()
    assert (row.state, following.state) == (State.WITHDRAWN, State.OFFERED)


def test_a_late_yes_to_an_offer_is_answered_in_words(client: Client, day: Workday) -> None:
    _, address = offered(client, day)
    with time_machine.travel(NOW + timedelta(hours=24), tick=False):
        response = client.post(address, {"take": "yes"})
    assert response.status_code == 410
    assert "sign up again" in response.content.decode()
