"""Pages where days are listed, made, changed and opened; the desk of a day."""

import csv
import io
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from workdays.models import Block, Membership, Party, SignUp, Workday

pytestmark = pytest.mark.django_db
NOW = factories.NOW
HOSTILE = [
    "<script>alert(1)</script>",
    "\x00\x07bell",
    "x" * 10_000,
    "\u202eright to left",
    "🪦🪣",
    "9999-99-99",
    "-1",
    "1e309",
    "NaN",
]


@pytest.fixture(autouse=True)
def _wednesday() -> Any:
    with time_machine.travel(NOW, tick=False):
        yield


def signed_in(client: Client, person: Person | None = None) -> Client:
    person = person or factories.make_staff()
    log_in(client, person)
    return client


def typed(**overrides: Any) -> dict[str, Any]:
    cemetery = overrides.pop("cemetery", None) or factories.make_cemetery().pk
    return {
        "cemetery": cemetery,
        "purpose": "workday",
        "teaches": "",
        "on": "2026-05-09",
        "starts": "09:00",
        "ends": "15:00",
        "break_from": "12:00",
        "break_to": "12:30",
        "rain_on": "2026-05-10",
        "meeting_point": "At the gate",
        "capacity": "20",
        "fewest": "4",
        "cut_off": "",
        "call_by": "2026-05-08T18:00",
        "bring": "gloves",
        "words": "Come as you are.",
        "equipment_bucket": "4",
    } | overrides


def test_an_organiser_makes_a_day_and_lands_on_its_desk(client: Client) -> None:
    answer = signed_in(client).post(reverse("day_new"), typed())
    day = Workday.objects.get()
    assert answer.headers["Location"] == reverse("day_desk", args=[day.pk])
    assert day.starts_at == factories.START
    assert day.bring == "gloves"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"ends": "08:00"}, "The day ends before it starts."),
        ({"on": "2026-05-05"}, "is in the past"),
        ({"on": "2026-03-08", "starts": "02:30"}, "is in the past"),
        ({"on": "2027-03-14", "starts": "02:30", "rain_on": ""}, "There is no 2:30 on Sunday"),
        ({"starts": "09:10"}, "9:10 is not a full quarter of an hour."),
        ({"break_to": "16:00"}, "The break must lie between 9:00 and 15:00"),
        ({"rain_on": "2026-05-08"}, "The rain date must come after the day itself."),
        ({"capacity": "10000000000000000000000"}, "less than or equal to 500"),
        ({"purpose": "clinic"}, "Say which skill the clinic teaches."),
        ({"call_by": "2026-05-09T10:00"}, "comes after the start"),
        ({"call_by": "tomorrow"}, "Write date and time like"),
        ({"equipment_bucket": "-3"}, "greater than or equal to 0"),
    ],
)
def test_what_is_refused_is_said_and_what_was_typed_stays(
    client: Client, change: dict[str, str], sentence: str
) -> None:
    answer = signed_in(client).post(reverse("day_new"), typed(**change))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert sentence in page
    assert "Come as you are." in page
    assert not Workday.objects.exists()


def test_an_empty_form_is_answered_with_sentences(client: Client) -> None:
    answer = signed_in(client).post(reverse("day_new"), {})
    assert answer.status_code == 200
    assert "This field is required." in answer.content.decode()


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_input_is_kept_as_text_or_refused(client: Client, hostile: str) -> None:
    signed_in(client)
    for name in typed():
        answer = client.post(reverse("day_new"), typed(**{name: hostile}))
        assert answer.status_code in (200, 302), name
        assert b"<script>alert(1)" not in answer.content
    for day in Workday.objects.all():
        page = client.get(reverse("day_desk", args=[day.pk]))
        assert page.status_code == 200
        assert b"<script>alert(1)" not in page.content


def test_words_written_right_to_left_are_kept(client: Client) -> None:
    words = "\u05e9\u05dc\u05d5\u05dd 🪣"
    signed_in(client).post(reverse("day_new"), typed(words=words))
    assert Workday.objects.get().words == words


def test_a_cemetery_of_somebody_else_is_no_choice(client: Client) -> None:
    here, elsewhere = factories.make_cemetery(), factories.make_cemetery()
    signed_in(client, factories.make_staff(cemetery=here))
    client.post(reverse("day_new"), typed(cemetery=elsewhere.pk))
    assert not Workday.objects.exists()
    client.post(reverse("day_new"), typed(cemetery=here.pk))
    assert Workday.objects.get().cemetery == here


def test_the_change_form_shows_what_is_stored_and_changes_nothing_by_itself(
    client: Client,
) -> None:
    signed_in(client).post(reverse("day_new"), typed())
    day = Workday.objects.get()
    address = reverse("day_edit", args=[day.pk])
    form = client.get(address).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    before = Workday.objects.filter(pk=day.pk).values().get()
    answer = client.post(address, {k: "" if v is None else v for k, v in shown.items()})
    assert answer.status_code == 302, answer.content.decode()
    after = Workday.objects.filter(pk=day.pk).values().get()
    assert before == after
    assert Block.objects.filter(day=day).count() == 3


def test_a_changed_place_is_kept(client: Client) -> None:
    day = factories.make_day()
    address = reverse("day_edit", args=[day.pk])
    signed_in(client).post(address, typed(cemetery=day.cemetery_id, meeting_point="By the oak"))
    day.refresh_from_db()
    assert (day.meeting_point, day.sequence) == ("By the oak", 1)


def test_opening_says_what_is_missing_and_then_opens(client: Client) -> None:
    day = factories.make_day(state=Workday.State.DRAFT)
    address = reverse("day_open", args=[day.pk])
    page = signed_in(client).post(address, follow=True).content.decode()
    assert "No permission of the owner covers Saturday 9 May" in page
    factories.make_permission(day.cemetery)
    factories.make_waiver()
    client.post(address)
    day.refresh_from_db()
    assert day.state == Workday.State.OPEN


def test_opening_needs_a_post(client: Client) -> None:
    day = factories.make_day(state=Workday.State.DRAFT)
    assert signed_in(client).get(reverse("day_open", args=[day.pk])).status_code == 405


PAGES = ["day_edit", "day_open", "day_desk", "day_people"]


def answers(client: Client, day: Workday) -> dict[str, int]:
    found = {}
    for name in PAGES:
        act = client.post if name == "day_open" else client.get
        found[name] = act(reverse(name, args=[day.pk])).status_code
    return found


def test_each_role_opens_what_is_theirs(client: Client) -> None:
    day = factories.make_day()
    role = Membership.Role.SUPERVISOR
    see = {"day_desk": 200, "day_people": 200}
    signed_in(client, factories.make_staff(cemetery=day.cemetery))
    assert answers(client, day) == {"day_edit": 200, "day_open": 302} | see
    signed_in(client, factories.make_staff(role, day.cemetery))
    assert answers(client, day) == {"day_edit": 403, "day_open": 403} | see
    signed_in(client, factories.make_staff(cemetery=factories.make_cemetery()))
    assert set(answers(client, day).values()) == {404}
    client.logout()
    assert set(answers(client, day).values()) == {302}


def test_a_supervisor_makes_no_day(client: Client) -> None:
    person = factories.make_staff(Membership.Role.SUPERVISOR)
    assert signed_in(client, person).get(reverse("day_new")).status_code == 403


def test_the_desk_says_who_comes_and_what_is_known_of_them(client: Client) -> None:
    day = factories.make_day()
    factories.make_waiver()
    ada = factories.make_person(name="Ada Marsh", may_lead=True)
    child = factories.make_person(name="Cy Marsh", is_adult=False)
    party = Party.objects.create(day=day, name="The Marshes")
    factories.sign(ada)
    factories.sign_off(ada, "cleaning")
    factories.make_sign_up(day, ada, party=party, cannot_lift=True, words="I bring cake.")
    factories.make_sign_up(day, child, party=party, guardian=ada)
    factories.make_sign_up(day, state=SignUp.State.UNCONFIRMED, held_until=NOW + timedelta(hours=7))
    page = signed_in(client).get(reverse("day_desk", args=[day.pk])).content.decode()
    assert f"Saturday 9 May at {day.cemetery.name}: 2 coming, 17 places left" in page
    for words in (
        "gentle cleaning: signed off",
        "no lifting",
        "minor, with Ada Marsh",
        "The Marshes",
        "I bring cake.",
        "held until Wed 6 May, 17:00",
        "One person who comes has no valid waiver",
        "Two people come; 4 are the fewest for this day.",
    ):
        assert words in page


def test_the_desk_takes_as_many_statements_for_many_people(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    few, many = factories.make_day(), factories.make_day()
    waiver = factories.make_waiver()
    for day, count in ((few, 2), (many, 12)):
        for _ in range(count):
            person = factories.make_person()
            factories.sign(person, waiver)
            factories.sign_off(person, "cleaning")
            factories.make_sign_up(day, person, guardian=factories.make_person())
            day.jobs.add(factories.make_job())
    signed_in(client)
    client.get(reverse("week"))  # the first page of a log-in notes that it is used
    with CaptureQueriesContext(connection) as captured:
        client.get(reverse("day_desk", args=[few.pk]))
    with django_assert_num_queries(len(captured)):
        client.get(reverse("day_desk", args=[many.pk]))


def test_the_file_of_people_holds_no_formula(client: Client) -> None:
    day = factories.make_day()
    evil = factories.make_person(name="=HYPERLINK(0)", telephone="+1 555-0100")
    factories.make_sign_up(day, evil, words="@SUM(A1)\n-1")
    answer = signed_in(client).get(reverse("day_people", args=[day.pk]))
    heads, row = csv.reader(io.StringIO(answer.content.decode("utf-8-sig")))
    cells = dict(zip(heads, row, strict=True))
    assert cells["Name"] == "'=HYPERLINK(0)"
    assert cells["Telephone"] == "'+1 555-0100"
    assert cells["Words"].startswith("'@SUM")
    assert not any(cell[:1] in "=+-@" for cell in row if cell)
    assert answer.headers["Content-Type"].startswith("text/csv")


def test_the_list_is_put_in_the_order_asked_for_and_keeps_its_part(client: Client) -> None:
    day = factories.make_day()
    factories.make_waiver()
    ana, bo, cy = (factories.make_person(name=name) for name in ("Ana Costa", "Bo Lund", "Cy Rye"))
    party = Party.objects.create(day=day, name="with Cy Rye", leader=cy)
    factories.sign(ana)
    factories.sign_off(bo, "cleaning")
    factories.make_sign_up(day, ana, languages=["en", "es"], brings={"bucket": 2})
    for person in (bo, cy):
        factories.make_sign_up(day, person, party=party)
    signed_in(client)

    def names(**asked: str) -> list[str]:
        file = client.get(reverse("day_people", args=[day.pk]), asked)
        rows = csv.DictReader(io.StringIO(file.content.decode("utf-8-sig")))
        return [row["Name"] for row in rows]

    assert names() == names(sort="\0x") == ["Ana Costa", "Bo Lund", "Cy Rye"]
    assert names(sort="party") == ["Cy Rye", "Bo Lund", "Ana Costa"]
    assert names(sort="level") == ["Bo Lund", "Ana Costa", "Cy Rye"]
    assert names(sort="waiver") == ["Bo Lund", "Cy Rye", "Ana Costa"]
    assert names(sort="party", show="unsigned") == ["Cy Rye", "Bo Lund"]
    sheet = client.get(reverse("day_list", args=[day.pk]), {"sort": "level"}).content.decode()
    assert sheet.index("Bo Lund") < sheet.index("Ana Costa")
    page = client.get(reverse("day_desk", args=[day.pk]), {"sort": "party", "show": "coming"})
    shown = page.content.decode()
    assert "?show=coming&amp;sort=waiver" in shown
    assert "?sort=party" in shown
    assert "speaks English, Spanish" in shown
    assert "brings 2 x" in shown
    assert "led by Cy Rye" not in shown
    assert "brings one other" in shown


def test_the_file_of_people_says_what_they_bring_and_speak_and_nothing_that_counts(
    client: Client,
) -> None:
    day = factories.make_day()
    factories.make_sign_up(day, brings={"=SUM(A1)": 1}, languages=["@es", "en"])
    answer = signed_in(client).get(reverse("day_people", args=[day.pk]))
    [row] = csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig")))
    assert row["Brings"] == "1 x =SUM(A1)"
    assert row["Languages"] == "'@es, English"


def test_the_sheet_for_the_gate_holds_what_a_gate_needs(client: Client) -> None:
    day = factories.make_day()
    ada = factories.make_person(name="Ada Marsh")
    factories.make_sign_up(day, ada)
    child = factories.make_person(name="Cy Marsh", is_adult=False)
    factories.make_sign_up(day, child, guardian=ada)
    waits = factories.make_person(name="Wes Wait")
    factories.make_sign_up(day, waits, state=SignUp.State.WAITING)
    page = signed_in(client).get(reverse("day_list", args=[day.pk])).content.decode()
    for words in ("Coming: 2", "No place yet: 1", "minor, with Ada Marsh", "missing", "555-0101"):
        assert words in page


def test_the_desk_shows_a_part_of_its_list(client: Client) -> None:
    day = factories.make_day()
    signed, unsigned = (factories.make_person(name=name) for name in ("Ana Costa", "Bo Lund"))
    factories.sign(signed)
    for person in (signed, unsigned):
        factories.make_sign_up(day, person)
    path = reverse("day_desk", args=[day.pk])
    page = signed_in(client).get(path, {"show": "unsigned"}).content.decode()
    assert "1 person of this part of the list" in page
    assert "Bo Lund" in page
    assert "Ana Costa" not in page
    assert client.get(path, {"show": "party-\0"}).status_code == 200


def test_the_list_parts_what_comes_from_what_is_over(client: Client) -> None:
    factories.make_day(state=Workday.State.DRAFT)
    factories.make_day(starts_at=factories.START - timedelta(days=14))
    page = signed_in(client).get(reverse("days")).content.decode()
    assert "1 day is to come" in page
    assert page.index("not open yet") < page.index("Over") < page.index("April")


def test_the_list_shows_only_days_of_ones_own_cemeteries(client: Client) -> None:
    here, elsewhere = factories.make_day(), factories.make_day()
    person = factories.make_staff(Membership.Role.SUPERVISOR, here.cemetery)
    page = signed_in(client, person).get(reverse("days")).content.decode()
    assert reverse("day_desk", args=[here.pk]) in page
    assert reverse("day_desk", args=[elsewhere.pk]) not in page
    assert reverse("day_new") not in page


def test_the_list_takes_as_many_statements_for_many_days(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    signed_in(client)
    factories.make_sign_up(factories.make_day())
    client.get(reverse("week"))  # the first page of a log-in notes that it is used
    with CaptureQueriesContext(connection) as captured:
        client.get(reverse("days"))
    for _ in range(8):
        factories.make_sign_up(factories.make_day())
    with django_assert_num_queries(len(captured)):
        client.get(reverse("days"))


def test_a_page_that_is_not_there_gives_the_last(client: Client) -> None:
    for page in ("99", "-1", "x", ""):
        assert signed_in(client).get(reverse("days"), {"page": page}).status_code == 200
