"""Organisers ask people into the staff, and end their access; only the mailbox itself accepts."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator.models import AuditEntry, Person, SentMessage, User
from tests.factories import NOW, make_cemetery, make_person, make_staff, sign_off, skill
from training.models import SignOff
from workdays.models import Cemetery, Invitation, Membership

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
MAILBOX = "ida@hollin.example"


@pytest.fixture
def organiser(client: Client) -> Person:
    person = make_staff()
    assert person.user is not None
    client.force_login(person.user)
    return person


@pytest.fixture
def place() -> Cemetery:
    return make_cemetery(name="Alder Hill")


def invite(client: Client, **sent: object) -> str:
    """Invite somebody; return the path of the mailed link, or nothing."""
    client.post(reverse("staff_invite"), {"email": MAILBOX, "role": "organiser", **sent})
    row = SentMessage.objects.filter(key__startswith="staff_invitation:").last()
    found = re.search(r"http://[^/]+(/invitation/\S+)", row.text) if row else None
    return found[1] if found else ""


def test_a_supervisor_accepts_and_is_signed_in_and_signed_off(
    client: Client, organiser: Person, place: Cemetery
) -> None:
    sign_off(organiser, "cleaning", "supervisor")
    ticked = {"cemeteries": [place.pk], "skills": [skill("cleaning").pk]}
    link = invite(client, role="supervisor", **ticked)
    stranger = Client()
    page = stranger.get(link).content.decode()
    assert "supervisor of gentle cleaning at Alder Hill" in page
    assert not User.objects.filter(email=MAILBOX).exists()
    stranger.post(link, {"name": "Ida Reed"})
    person = Person.objects.get(user__email=MAILBOX)
    assert person.name == "Ida Reed"
    assert [(m.role, m.cemetery) for m in person.memberships.all()] == [("supervisor", place)]
    row = SignOff.objects.get(person=person)
    assert (row.level, row.cemetery_numbers, row.by) == ("supervisor", [place.pk], organiser)
    assert stranger.get(reverse("week")).status_code == 200
    assert Client().post(link, {"name": "Again"}).status_code == 410


def test_who_may_not_judge_a_skill_names_no_supervisor_of_it(
    client: Client, organiser: Person, place: Cemetery
) -> None:
    assert invite(client, role="supervisor", skills=[skill("cleaning").pk]) == ""
    page = client.post(
        reverse("staff_invite"),
        {"email": MAILBOX, "role": "supervisor", "skills": [skill("cleaning").pk]},
    ).content.decode()
    assert "Only a supervisor of gentle cleaning" in page
    assert MAILBOX in page
    assert not Invitation.objects.exists()


def test_a_link_dies_by_age_by_a_newer_one_and_when_taken_back(
    client: Client, organiser: Person
) -> None:
    first, second = invite(client), invite(client)
    assert Client().get(first).status_code == 410
    assert Client().get(second).status_code == 200
    with time_machine.travel(NOW + timedelta(days=7, minutes=1), tick=False):
        assert Client().get(second).status_code == 410
    row = Invitation.objects.get(taken_back_at=None)
    assert MAILBOX in client.get(reverse("staff")).content.decode()
    client.post(reverse("invitation_take_back", args=[row.pk]))
    assert Client().get(second).status_code == 410
    assert MAILBOX not in client.get(reverse("staff")).content.decode()
    assert AuditEntry.objects.filter(verb="took the invitation back").count() == 2


def test_only_the_mailbox_says_which_person_it_is(client: Client, organiser: Person) -> None:
    known, other = make_person(name="Ida Reed", email=MAILBOX), make_person(name="Not Hers")
    link = invite(client)
    assert "Ida Reed" in Client().get(link).content.decode()
    wrong = Client().post(link, {"person": other.pk}).content.decode()
    assert "invalid-feedback" in wrong
    Client().post(link, {"person": known.pk})
    known.refresh_from_db()
    assert known.user is not None
    assert known.memberships.get().role == "organiser"


@pytest.mark.parametrize("name", ["", "\x00", "  "])
def test_accepting_needs_a_name(client: Client, organiser: Person, name: str) -> None:
    link = invite(client)
    assert "invalid-feedback" in Client().post(link, {"name": name}).content.decode()
    assert not User.objects.filter(email=MAILBOX).exists()


def test_ending_an_access_ends_its_sessions_at_once(client: Client, organiser: Person) -> None:
    gone, phone = make_staff("supervisor", make_cemetery()), Client()
    assert gone.user is not None
    phone.force_login(gone.user)
    assert client.get(reverse("staff_end", args=[gone.pk])).status_code == 200
    assert phone.get(reverse("week")).status_code == 200
    client.post(reverse("staff_end", args=[gone.pk]))
    assert phone.get(reverse("week")).status_code == 302
    assert not Membership.objects.filter(person=gone).exists()
    assert AuditEntry.objects.filter(verb="ended the access", thing_id=str(gone.pk)).exists()
    Client().post("/log-in/", {"email": gone.user.email})
    assert not SentMessage.objects.filter(to_address=gone.user.email).exists()


def test_the_last_organiser_stays(client: Client, organiser: Person) -> None:
    page = client.post(reverse("staff_end", args=[organiser.pk]), follow=True).content.decode()
    assert "invite another one first" in page
    assert Membership.objects.filter(person=organiser).exists()
    make_staff()
    client.post(reverse("staff_end", args=[organiser.pk]))
    assert not Membership.objects.filter(person=organiser).exists()


def test_somebody_whose_access_ended_comes_back_by_an_invitation(
    client: Client, organiser: Person
) -> None:
    back = make_staff("supervisor", make_cemetery())
    assert back.user is not None
    client.post(reverse("staff_end", args=[back.pk]))
    link = invite(client, email=back.user.email)
    guest = Client()
    guest.post(link, {"name": "x"})
    assert guest.get(reverse("week")).status_code == 200
    assert back.memberships.get().role == "organiser"


def test_an_organiser_of_one_cemetery_invites_nobody(client: Client) -> None:
    person = make_staff(cemetery=make_cemetery())
    assert person.user is not None
    client.force_login(person.user)
    assert client.get(reverse("staff_invite")).status_code == 403
    assert client.post(reverse("staff_invite"), {"email": MAILBOX}).status_code == 403
