"""The page at the gate and the giving of a place, as somebody presses them."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.factories import NOW, START
from tests.pages import log_in
from workdays.models import Membership, SignUp, Workday

pytestmark = pytest.mark.django_db
AT = START + timedelta(minutes=10)


def press(client: Client, day: Workday, query: str = "", **overrides: str) -> tuple[int, str]:
    """Open the page at the gate, fill it in and send it."""
    path = reverse("gate", args=[day.pk]) + query
    form = client.get(path).context["form"]
    typed = {
        "name": "Ana Costa", "age_group": "adult", "emergency_name": "Rui", "level": "some",
        "emergency_telephone": "555-0143", "languages": "en", "affirm": "on",
        "typed_name": "Ana Costa", "press": str(form.initial["press"]),
        "text_sha256": form.text_sha256,
    }  # fmt: skip
    answer = client.post(path, typed | overrides)
    return answer.status_code, answer.content.decode()


@pytest.fixture
def day() -> Workday:
    factories.make_waiver()
    return factories.make_day()


def test_a_supervisor_adds_somebody_with_few_words(client: Client, day: Workday) -> None:
    log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, day.cemetery))
    with time_machine.travel(AT, tick=False):
        assert press(client, day)[0] == 302
        page = client.get(reverse("gate", args=[day.pk])).content.decode()
    assert "Ana Costa is on the list." in page
    assert day.roll.count() == 1


@pytest.mark.parametrize(
    ("overrides", "words"),
    [
        ({"affirm": ""}, "Without this nobody can come."),
        ({"typed_name": "Bo"}, "The name of who signs is typed here: Ana Costa."),
        ({"age_group": "minor"}, "Give the birth date of the child."),
        ({"age_group": "minor", "born_on": "2014-01-01"}, "add them first"),
        ({"guardian": "99999999999999999999"}, "99999999999999999999"),
        ({"text_sha256": "\0"}, "Ana Costa"),
        ({"press": "no number"}, "Ana Costa"),
    ],
)
def test_what_is_wrong_is_said_and_what_was_typed_is_kept(
    client: Client, day: Workday, overrides: dict[str, str], words: str
) -> None:
    log_in(client, factories.make_staff())
    with time_machine.travel(AT, tick=False):
        status, page = press(client, day, **overrides)
    assert status == 422
    assert words in page
    assert 'value="Ana Costa"' in page
    assert not SignUp.objects.exists()


def test_a_reason_is_asked_only_of_who_may_go_over_a_full_day(client: Client, day: Workday) -> None:
    log_in(client, factories.make_staff())
    path = reverse("gate", args=[day.pk])
    with time_machine.travel(AT, tick=False):
        assert "reason" not in client.get(path).context["form"].fields
        Workday.objects.filter(pk=day.pk).update(capacity=1)
        factories.make_sign_up(day)
        assert press(client, day)[0] == 422
        assert press(client, day, reason="a mason")[0] == 302
        log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, day.cemetery))
        assert "reason" not in client.get(path).context["form"].fields
        status, page = press(client, day, typed_name="Bo", name="Bo")
    assert status == 422
    assert "ask the organiser, who may go over" in page


def test_somebody_known_is_found_and_asked_for_no_second_signature(
    client: Client, day: Workday
) -> None:
    known = factories.make_person(name="Bo Lund")
    factories.make_sign_up(factories.make_day(day.cemetery, starts_at=NOW), known)
    factories.sign(known)
    log_in(client, factories.make_staff())
    with time_machine.travel(AT, tick=False):
        found = client.get(reverse("gate", args=[day.pk]), {"name": "bo l"}).content.decode()
        assert f"?known={known.pk}" in found
        page = client.get(f"{reverse('gate', args=[day.pk])}?known={known.pk}").content.decode()
        assert '<p class="note">What they signed before holds on this day' in page
        assert press(client, day, f"?known={known.pk}")[0] == 302
    assert known.signatures.count() == 1
    assert day.roll.get().person == known


@pytest.mark.parametrize("number", ["0", "x", "9" * 30])
def test_nobody_of_elsewhere_can_be_chosen(client: Client, day: Workday, number: str) -> None:
    log_in(client, factories.make_staff())
    stranger = factories.make_person()
    for known in (number, stranger.pk):
        answer = client.get(reverse("gate", args=[day.pk]), {"known": known})
        assert answer.status_code == 404


def test_a_place_is_given_by_hand_and_the_desk_says_why(client: Client, day: Workday) -> None:
    Workday.objects.filter(pk=day.pk).update(capacity=2)
    for _ in range(2):
        factories.make_sign_up(day)
    row = factories.make_sign_up(day, state=SignUp.State.WAITING)
    log_in(client, factories.make_staff())
    path = reverse("place", args=[day.pk, row.pk])
    with time_machine.travel(NOW, tick=False):
        assert "with a reason" in client.get(path).content.decode()
        refused = client.post(path, {"reason": ""})
        assert refused.status_code == 422
        assert "2 of 2 places are taken" in refused.content.decode()
        assert client.post(path, {"reason": "<b>a mason</b>"}).status_code == 302
        desk = client.get(reverse("day_desk", args=[day.pk])).content.decode()
    assert "3 of 2 places are taken" in desk
    assert "&lt;b&gt;a mason&lt;/b&gt;" in desk


def test_no_reason_is_asked_for_a_place_that_is_free_or_held(client: Client, day: Workday) -> None:
    Workday.objects.filter(pk=day.pk).update(capacity=2)
    factories.make_sign_up(day)
    later = NOW + timedelta(hours=1)
    held = factories.make_sign_up(day, state=SignUp.State.OFFERED, held_until=later)
    log_in(client, factories.make_staff())
    path = reverse("place", args=[day.pk, held.pk])
    with time_machine.travel(NOW, tick=False):
        assert "with a reason" not in client.get(path).content.decode()
        assert client.post(path).status_code == 302
    held.refresh_from_db()
    assert held.state == SignUp.State.COMING
