"""The pages of a group: asking for places, the leader's yes and page, the link that is shared."""

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from tests.factories import make_cemetery, make_day, make_group, make_person, make_waiver
from tests.workdays.views.test_sign_up_pages import link, typed
from workdays.forms.guard import stamp
from workdays.models import Party, SignUp, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def day() -> Workday:
    cache.clear()
    make_waiver()
    return make_day(make_cemetery(name="Alder Hill"), capacity=6)


def ask(client: Client, day: Workday, **overrides: object) -> tuple[int, str]:
    values: dict[str, object] = {
        "group": "Troop 12",
        "places": "4",
        "name": "Lea Moss",
        "email": "lea@hollin.example",
        "telephone": "555-0144",
        "age": stamp(),
    }
    response = client.post(reverse("ask_for_places", args=[day.pk]), values | overrides)
    return response.status_code, response.content.decode()


def share(party: Party) -> str:
    return reverse("group_sign_up", args=[party.secret])


def test_from_the_public_page_to_a_signed_up_member(client: Client, day: Workday) -> None:
    public = client.get(reverse("day", args=[day.pk])).content.decode()
    assert reverse("ask_for_places", args=[day.pk]) in public
    assert ask(client, day)[0] == 302
    mailed = link("is this your mailbox")
    assert "Shall we hold 4 places" in client.get(mailed).content.decode()
    assert Party.objects.get().leader.is_provisional  # type: ignore[union-attr]  # it has one
    leaders = client.post(mailed).headers["Location"]
    assert client.get(mailed).status_code == 410
    party = Party.objects.get()
    page = client.get(leaders).content.decode()
    assert "4 places are held for your group" in page
    assert share(party) in page
    assert "<svg" in page
    assert client.post(share(party), typed()).status_code == 302
    page = client.get(leaders).content.decode()
    assert "1 places taken, 3 left" not in page
    assert "One place taken, 3 left" in page
    assert "Ana Costa" in page
    assert "ana@hollin.example" not in page
    assert "signed: no" in page
    client.post(link("is this your mailbox"))
    assert "signed: yes" in client.get(leaders).content.decode()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"places": "7"}, "Six places are free"),
        ({"places": "1"}, "greater than or equal to 2"),
        ({"places": "9" * 5000}, "places"),
        ({"group": ""}, "required"),
        ({"group": "\0"}, "required"),
        ({"email": "nobody"}, "id_email_error"),
        ({"trap": "x"}, "must stay empty"),
        ({"age": ""}, "without its date"),
    ],
)
def test_what_is_wrong_is_said_and_what_was_typed_stays(
    client: Client, day: Workday, wrong: dict[str, object], said: str
) -> None:
    status, page = ask(client, day, **wrong)
    assert status == 200
    assert said in page
    assert "Lea Moss" in page
    assert not Party.objects.exists()


def test_too_many_from_one_mailbox_are_asked_to_wait(
    client: Client, day: Workday, settings: Settings
) -> None:
    settings.SIGN_UPS_PER_MAILBOX_DAY = 1
    assert ask(client, day)[0] == 302
    assert ask(client, day)[0] == 429


def test_a_share_link_has_a_throttle_of_its_own(
    client: Client, day: Workday, settings: Settings
) -> None:
    settings.SIGN_UPS_PER_GROUP_HOUR = 1
    settings.SIGN_UPS_PER_NETWORK_HOUR = 1
    party, other = make_group(day, reserved=2), make_group(day, reserved=2)
    assert client.post(share(party), typed()).status_code == 302
    assert client.post(share(party), typed(email="b@hollin.example")).status_code == 429
    assert client.post(share(other), typed(email="c@hollin.example")).status_code == 302


def test_a_share_link_fills_no_mailbox_of_another(
    client: Client, day: Workday, settings: Settings
) -> None:
    settings.SIGN_UPS_PER_MAILBOX_DAY = 1
    party = make_group(day, reserved=5)
    assert client.post(share(party), typed()).status_code == 302
    assert client.post(share(party), typed(name="B", typed_name="B")).status_code == 429
    sign_up = reverse("sign_up", args=[day.pk])
    assert client.post(sign_up, typed(name="C", typed_name="C")).status_code == 429
    named = {"with1_name": "Rui", "with1_email": "ana@hollin.example", "email": "d@hollin.example"}
    assert client.post(share(party), typed(**named)).status_code == 429
    assert SignUp.objects.count() == 1


def test_a_full_group_points_to_the_ordinary_form(client: Client, day: Workday) -> None:
    party = make_group(day, reserved=0)
    page = client.get(share(party)).content.decode()
    assert "All places of this group are taken" in page
    assert reverse("sign_up", args=[day.pk]) in page
    said = client.post(share(party), typed()).content.decode()
    assert "No place is left for this group" in said
    assert "I bring scones." in said
    assert not SignUp.objects.exists()


def test_a_share_link_dies_when_the_day_is_called_off(client: Client, day: Workday) -> None:
    party = make_group(day)
    Workday.objects.update(state="called_off")
    response = client.get(share(party))
    assert response.status_code == 410
    assert "called off" in response.content.decode()


def test_a_share_link_dies_at_the_cut_off(client: Client, day: Workday) -> None:
    party = make_group(day)
    Workday.objects.update(cut_off_at=day.cut_off_at.replace(year=2025))
    assert client.get(share(party)).status_code == 410
    assert client.post(share(party), typed()).status_code == 410


def test_a_leader_renews_the_link_and_gives_places_back(client: Client, day: Workday) -> None:
    party = make_group(day)
    assert party.leader is not None
    mine = reverse("own_group", args=[party.leader.secret, party.pk])
    old = share(party)
    assert client.post(mine, {"renew": "1"}).status_code == 302
    assert client.get(old).status_code == 410
    assert client.post(mine, {"given": "2"}).status_code == 302
    party.refresh_from_db()
    assert party.reserved == 3
    assert "give back 1 to 3" in client.post(mine, {"given": "4"}).content.decode()
    assert client.post(mine, {"given": "9" * 5000}).status_code == 200
    stranger = reverse("own_group", args=[make_person().secret, party.pk])
    assert client.post(stranger, {"renew": "1"}).status_code == 404
