"""A family on the public form, the page of an adult who was named, and the own page of a family."""

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from coordinator.models import SentMessage
from tests.factories import kind, make_cemetery, make_day, make_job, make_waiver
from tests.workdays.views.test_sign_up_pages import link, send, typed
from workdays.actions import places
from workdays.models import Party, Signature, SignUp, Workday
from workdays.queries.desk import desk

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]

FAMILY: dict[str, object] = {
    "with1_name": "Rui Costa",
    "with1_email": "rui@hollin.example",
    "with2_name": "Bo Costa",
    "with2_born_on": "2014-06-30",
    "with2_relation": "mother",
    "with2_signs": "on",
    "with2_agrees": "on",
}


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(make_cemetery(name="Alder Hill"), capacity=3)


def come(client: Client, day: Workday) -> SignUp:
    assert send(client, day, **FAMILY)[0] == 302
    client.post(link("is this your mailbox"))
    return SignUp.objects.get(person__name="Ana Costa")


def test_a_family_signs_up_by_one_form_and_one_yes(client: Client, day: Workday) -> None:
    assert send(client, day, **FAMILY)[0] == 302
    page = client.get(link("is this your mailbox")).content.decode()
    assert "Bo Costa (a minor, with you)" in page
    client.post(link("is this your mailbox"))
    assert SignUp.objects.filter(state="coming").count() == 2
    assert Signature.objects.filter(role="guardian", confirmed_at__isnull=False).count() == 1


@pytest.mark.parametrize(
    ("wrong", "beside", "said"),
    [
        ({"with2_name": ""}, "with2_name", "Write the name"),
        ({"with2_born_on": ""}, "with2_email", "mailbox of an adult, or the birth date"),
        ({"with2_born_on": "1899-01-01"}, "with2_born_on", "before 1900"),
        ({"with2_born_on": "2030-01-01"}, "with2_born_on", "not before the day"),
        ({"with2_born_on": "1990-01-01"}, "with2_born_on", "signs for themselves"),
        ({"with2_born_on": "yesterday"}, "with2_born_on", "year-month-day"),
        ({"with2_born_on": "9" * 5000}, "with2_born_on", "year-month-day"),
        ({"with2_relation": ""}, "with2_relation", "what you are"),
        ({"with2_signs": ""}, "with2_signs", "parent or legal guardian"),
        ({"with2_agrees": ""}, "with2_agrees", "agree"),
        ({"with1_email": "ana@hollin.example"}, "with1_email", "twice"),
        ({"with1_email": "no mailbox"}, "with1_email", "valid"),
        ({"with1_name": "R" * 121}, "with1_name", "120"),
        ({"is_adult": ""}, "is_adult", "adults"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, day: Workday, wrong: dict[str, object], beside: str, said: str
) -> None:
    status, html = send(client, day, **(FAMILY | wrong))
    assert status == 200
    assert f'id="id_{beside}_error"' in html
    assert said in html
    for typed_here in ("Rui Costa", "Bo Costa"):
        assert typed_here in html or typed_here.split()[0] in str(wrong) or "_name" in beside
    assert html.count("<details open><summary>") == 2
    assert not SignUp.objects.exists()


def test_control_characters_are_taken_out_of_a_name(client: Client, day: Workday) -> None:
    assert send(client, day, **(FAMILY | {"with1_name": "Rui\x00\x1b \u202eCosta"}))[0] == 302
    assert Party.objects.get().sign_ups.filter(person__name="Rui Costa").exists()


def test_more_people_than_the_day_has_places_are_told_so(client: Client, day: Workday) -> None:
    more = {"with3_name": "Li Costa", "with3_email": "li@hollin.example"}
    status, html = send(client, day, **(FAMILY | more))
    assert status == 200
    assert "3 places in all" in html


def test_named_mailboxes_are_counted_as_their_owners_own(
    client: Client, day: Workday, settings: Settings
) -> None:
    cache.clear()
    settings.SIGN_UPS_PER_MAILBOX_DAY = 1
    assert send(client, day, **FAMILY)[0] == 302
    assert send(client, day, email="li@hollin.example", **FAMILY)[0] == 429


def test_the_form_says_which_work_is_for_adults_only(client: Client, day: Workday) -> None:
    day.jobs.add(make_job(kind_key="resetting"), make_job(kind_key="cleaning"))
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert f"Adults only on this day: {kind('resetting').name.lower()}." in html


def test_an_adult_who_was_named_reads_why_signs_and_comes(client: Client, day: Workday) -> None:
    come(client, day)
    address = link("do you come along")
    html = client.get(address).content.decode()
    assert "Nobody signs for another adult" in html
    assert 'value="Rui Costa"' in html
    assert SignUp.objects.get(person__name="Rui Costa").state == "unconfirmed"
    sent = typed(name="Rui Costa", typed_name="Rui Costa")
    assert "coming" in client.post(address, sent).content.decode()
    assert SignUp.objects.get(person__name="Rui Costa").state == "coming"
    assert client.post(address, sent).status_code == 410


def test_an_adult_who_was_named_may_say_no(client: Client, day: Workday) -> None:
    come(client, day)
    address = link("do you come along")
    assert client.post(address, {"leave": "yes"}).status_code == 200
    assert SignUp.objects.get(person__name="Rui Costa").state == "withdrawn"
    assert client.get(address).status_code == 410


def test_an_answer_keeps_what_was_typed_when_it_is_refused(client: Client, day: Workday) -> None:
    come(client, day)
    html = client.post(link("do you come along"), typed(typed_name="Somebody")).content.decode()
    assert "Type the same name" in html
    assert "I bring scones." in html


def test_the_own_page_shows_the_family_and_no_private_word_of_the_other_adult(
    client: Client, day: Workday
) -> None:
    row = come(client, day)
    html = client.get(reverse("own_day", args=[row.person.secret, row.pk])).content.decode()
    assert "Bo Costa: comes, a minor in your crew" in html
    assert "Rui Costa: has not answered yet" in html
    assert "rui@hollin.example" not in html


def test_a_guardian_takes_one_child_off_the_day(client: Client, day: Workday) -> None:
    row = come(client, day)
    child = SignUp.objects.get(person__name="Bo Costa")
    address = reverse("own_withdraw", args=[row.person.secret, child.pk])
    assert "Take Bo Costa off this day" in client.get(address).content.decode()
    client.post(address)
    child.refresh_from_db()
    row.refresh_from_db()
    assert (child.state, row.state) == ("withdrawn", "coming")
    page = client.get(reverse("own_day", args=[row.person.secret, child.pk]))
    assert page.status_code == 200


def test_who_withdraws_reads_first_that_the_children_go_along(client: Client, day: Workday) -> None:
    row = come(client, day)
    address = reverse("own_withdraw", args=[row.person.secret, row.pk])
    assert "Bo Costa leaves the day with you" in client.get(address).content.decode()


def test_nobody_opens_the_day_of_an_adult_they_named(client: Client, day: Workday) -> None:
    row = come(client, day)
    brother = SignUp.objects.get(person__name="Rui Costa")
    for name in ("own_day", "own_withdraw", "own_change"):
        address = reverse(name, args=[row.person.secret, brother.pk])
        assert client.get(address).status_code == 404


def test_the_desk_says_that_minors_want_two_adults(client: Client, day: Workday) -> None:
    row = come(client, day)
    gaps = [gap.code for gap in desk(day, now=row.created_at).gaps]
    assert "adults" in gaps
    places.withdraw(SignUp.objects.get(person__name="Bo Costa").pk, now=row.created_at)
    assert "adults" not in [gap.code for gap in desk(day, now=row.created_at).gaps]
    assert SentMessage.objects.exists()
