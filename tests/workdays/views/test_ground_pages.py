"""Pages of the ground: what they say, what they keep, whom they let in."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from tests.workdays.forms.test_ground_forms import PDF
from workdays.models import (
    Cemetery,
    CemeterySetting,
    Conclusion,
    Job,
    KindOfWork,
    Membership,
    Permission,
    Photograph,
    Section,
    Stone,
    Survey,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
HOSTILE = [
    "<script>alert(1)</script>",
    "\x00\x07bell",
    "x" * 10_000,
    "\u202eright to left עברית",
    "🪦🪣",
    "' OR 1=1 --",
    "9999-99-99",
    "-1",
    "1e309",
    "NaN",
    "99999999999999999999",
    "",
]
SUPERVISOR = Membership.Role.SUPERVISOR


@pytest.fixture
def ruth(client: Client) -> Person:
    person = factories.make_staff()
    log_in(client, person)
    return person


@pytest.fixture
def hill(ruth: Person) -> Cemetery:
    place = factories.make_cemetery(name="Alder Hill", slug="alder-hill")
    factories.make_permission(place, ends_on=date(2026, 10, 31))
    return place


@pytest.fixture
def section(hill: Cemetery) -> Section:
    return factories.make_section(hill, name="Old hill")


def text(client: Client, name: str, *args: object, **query: str) -> str:
    answer = client.get(reverse(name, args=args), query)
    assert answer.status_code == 200
    return answer.content.decode()


def enter_as(client: Client, role: str, place: Cemetery | None) -> None:
    person = factories.make_staff(role, place)
    log_in(client, person)


def test_the_heading_counts_what_can_be_worked_and_what_is_left_alone(
    client: Client, hill: Cemetery, section: Section
) -> None:
    for _ in range(3):
        stone = factories.make_stone(section)
        factories.conclude(stone)
        factories.make_job(stone)
    alone = factories.make_stone(section)
    factories.conclude(alone, Conclusion.Kind.LEAVE_ALONE, needs=[])
    factories.make_job(alone)
    factories.make_stone(section)
    page = text(client, "cemetery", hill.slug)
    assert "Alder Hill: 3 stones can be worked today, 1 must be left alone" in page
    factories.make_day(hill)
    page = text(client, "cemetery", hill.slug)
    assert "Alder Hill: 3 stones can be worked on Saturday 9 May, 1 must be left alone" in page
    assert "until 31 October 2026" in page
    marked = text(client, "cemetery", hill.slug, ready="2026-05-09")
    assert "Alder Hill: 3 stones can be worked on Saturday 9 May<" in marked
    assert marked.count(", clean, ready on Saturday 9 May<") == 3


def test_an_empty_cemetery_has_its_page(client: Client, hill: Cemetery) -> None:
    assert "No stone is noted yet" in text(client, "cemetery", hill.slug)
    assert "There is none" in text(client, "backlog", hill.slug)
    assert "No stone is like that" in text(client, "stones", hill.slug)


def some_stones(section: Section, count: int) -> None:
    for n in range(count):
        stone = factories.make_stone(section)
        factories.conclude(stone, needs=["clean"] if n % 2 else ["reset"])
        first = factories.make_job(stone)
        factories.make_job(stone, "recording").prerequisites.add(first)


@pytest.mark.parametrize("name", ["cemetery", "stones", "backlog", "permissions"])
def test_a_page_of_many_takes_as_many_statements_as_one_of_few(
    client: Client, hill: Cemetery, section: Section, name: str
) -> None:
    def statements() -> int:
        with CaptureQueriesContext(connection) as seen:
            text(client, name, hill.slug)
        return len(seen)

    some_stones(section, 10)
    few = statements()
    some_stones(section, 10)
    factories.make_permission(hill)
    assert statements() == few <= 20


def test_the_list_of_cemeteries_takes_as_many_statements_for_many(
    client: Client, hill: Cemetery
) -> None:
    def statements() -> int:
        with CaptureQueriesContext(connection) as seen:
            text(client, "ground")
        return len(seen)

    few = statements()
    for _ in range(9):
        factories.make_stone()
    assert statements() == few


def test_one_stone_takes_a_fixed_number_of_statements(client: Client, section: Section) -> None:
    def statements(stone: Stone) -> int:
        with CaptureQueriesContext(connection) as seen:
            text(client, "stone", stone.pk)
        return len(seen)

    few, many = factories.make_stone(section), factories.make_stone(section)
    for stone, count in ((few, 1), (many, 8)):
        for _ in range(count):
            factories.conclude(stone, survey=Survey.objects.create(stone=stone, on="2026-05-01"))
            factories.make_job(stone)
    assert statements(few) == statements(many) <= 20


@pytest.mark.parametrize(
    ("needs", "numbers"),
    [
        ("clean", {"A1", "A3"}),
        ("reset", {"A3"}),
        ("leave_alone", {"A2"}),
        ("not_seen", {"A4"}),
        ("look_again", {"A5"}),
        ("sound", {"A6"}),
        ("nonsense", {"A1", "A2", "A3", "A4", "A5", "A6"}),
    ],
)
def test_the_table_is_filtered_by_what_a_stone_needs(
    client: Client, section: Section, needs: str, numbers: set[str]
) -> None:
    said: list[dict[str, Any] | None] = [
        {"needs": ["clean"]},
        {"kind": Conclusion.Kind.LEAVE_ALONE, "needs": []},
        {"needs": ["clean", "reset"]},
        None,
        {"needs": [], "look_again_on": date(2026, 5, 5)},
        {"needs": [], "look_again_on": date(2026, 5, 6)},
    ]
    for n, conclusion in enumerate(said, start=1):
        stone = factories.make_stone(section, number=f"A{n}")
        if conclusion is not None:
            factories.conclude(stone, **conclusion)
    page = text(client, "stones", section.cemetery.slug, needs=needs)
    assert {f"A{n}" for n in range(1, 7) if f">A{n}</a>" in page} == numbers


def test_the_table_has_fifty_rows_a_page_and_keeps_what_was_asked(
    client: Client, section: Section
) -> None:
    for n in range(51):
        factories.make_stone(section, number=f"A{n:02}")
    page = text(client, "stones", section.cemetery.slug, section=str(section.pk))
    assert page.count('scope="row"') == 50
    assert f"section={section.pk}&amp;page=2" in page
    page = text(client, "stones", section.cemetery.slug, section=str(section.pk), page="2")
    assert page.count('scope="row"') == 1


@pytest.mark.parametrize("value", HOSTILE)
@pytest.mark.parametrize("key", ["needs", "section", "words", "page"])
def test_no_address_of_the_table_is_an_error(
    client: Client, section: Section, key: str, value: str
) -> None:
    factories.make_stone(section)
    assert "<script>alert" not in text(client, "stones", section.cemetery.slug, **{key: value})


def test_a_look_at_a_stone_shows_what_it_led_to(
    client: Client, hill: Cemetery, section: Section
) -> None:
    stone = factories.make_stone(section, number="A1")
    factories.conclude(stone)
    factories.make_day(hill).jobs.add(factories.make_job(stone))
    typed = {"signs": ["sugaring"], "sound": "solid", "lean_degrees": "2", "on": "2026-05-06"}
    answer = client.post(reverse("survey_new", args=[stone.pk]), typed, follow=True)
    page = answer.content.decode()
    assert "Stone A1: leave it alone" in page
    assert "Gentle cleaning, A1 was taken off Saturday 9 May" in page
    assert "Grains come off the surface" in page


def test_a_survey_is_kept_when_it_is_refused(client: Client, section: Section) -> None:
    stone = factories.make_stone(section)
    typed = {"signs": ["growth"], "sound": "solid", "on": "2026-05-07", "notes": "Ivy & <moss>"}
    page = client.post(reverse("survey_new", args=[stone.pk]), typed).content.decode()
    assert "this day is to come" in page
    assert "Ivy &amp; &lt;moss&gt;" in page
    assert not Survey.objects.exists()


def test_a_supervisor_surveys_and_changes_nothing_else(
    client: Client, hill: Cemetery, section: Section
) -> None:
    stone = factories.make_stone(section)
    enter_as(client, SUPERVISOR, hill)
    typed = {"sound": "solid", "lean_degrees": "0", "on": "2026-05-06"}
    assert client.post(reverse("survey_new", args=[stone.pk]), typed).status_code == 302
    assert Survey.objects.count() == 1
    assert "Look at it now" in text(client, "stone", stone.pk)
    assert "Say what holds" not in text(client, "stone", stone.pk)
    word = {"kind": "needs", "needs": ["clean"], "reason": "I looked at it twice, it is fine."}
    assert client.post(reverse("stone_override", args=[stone.pk]), word).status_code == 403


def test_looser_without_a_reason_is_refused_beside_the_field(
    client: Client, section: Section
) -> None:
    stone = factories.make_stone(section)
    factories.conclude(stone, Conclusion.Kind.LEAVE_ALONE, needs=[])
    address = reverse("stone_override", args=[stone.pk])
    page = client.post(address, {"kind": "needs", "needs": ["clean"]}).content.decode()
    assert "write down why" in page
    stone.refresh_from_db()
    assert stone.conclusion is not None
    assert stone.conclusion.kind == Conclusion.Kind.LEAVE_ALONE


def test_resets_by_volunteers_ask_for_the_owners_permission(client: Client, hill: Cemetery) -> None:
    address = reverse("setting_edit", args=[hill.slug, "volunteer_resets"])
    page = client.post(address, {"value": "yes", "source": "we always did it"}).content.decode()
    assert "name that permission in the source" in page
    assert "we always did it" in page
    assert not CemeterySetting.objects.exists()
    source = "letter of the township, permission of 3 March 2026"
    assert client.post(address, {"value": "yes", "source": source}).status_code == 302
    assert source in text(client, "cemetery_settings", hill.slug)
    assert client.get(reverse("setting_edit", args=[hill.slug, "nonsense"])).status_code == 404


def permission_typed(**overrides: Any) -> dict[str, Any]:
    typed = {
        "kinds": [factories.kind("cleaning").pk],
        "starts_on": "2026-05-01",
        "ends_on": "2026-09-30",
        "given_by": "Township clerk",
    }
    return typed | overrides


def test_a_permission_and_its_paper_are_for_the_staff_of_the_place_only(
    client: Client, hill: Cemetery
) -> None:
    paper = SimpleUploadedFile("letter of ruth.pdf", PDF, "text/html")
    typed = permission_typed(paper=paper)
    assert client.post(reverse("permission_new", args=[hill.slug]), typed).status_code == 302
    kept = Permission.objects.get(given_by="Township clerk")
    assert Path(kept.paper.name or "").parent == Path("private/permissions")
    address = reverse("permission_paper", args=[kept.pk])
    answer = client.get(address)
    assert b"".join(answer.streaming_content) == PDF  # type: ignore[attr-defined]  # a file
    assert answer["Content-Type"] == "application/pdf"
    assert "attachment" in answer["Content-Disposition"]
    assert answer["Cache-Control"] == "private, no-store"
    enter_as(client, SUPERVISOR, factories.make_cemetery())
    assert client.get(address).status_code == 404
    client.logout()
    assert client.get(address).status_code == 302
    assert client.get(f"/{kept.paper.name}").status_code in (302, 404)


def test_a_paper_that_is_none_keeps_what_was_typed(client: Client, hill: Cemetery) -> None:
    typed = permission_typed(paper=SimpleUploadedFile("letter.pdf", b"<script>"))
    page = client.post(reverse("permission_new", args=[hill.slug]), typed).content.decode()
    assert "not a whole PDF, JPEG or PNG" in page
    assert "Township clerk" in page


def test_a_permission_does_not_end_before_it_starts(client: Client, hill: Cemetery) -> None:
    typed = permission_typed(ends_on="2026-04-30")
    page = client.post(reverse("permission_new", args=[hill.slug]), typed).content.decode()
    assert "It ends before it starts." in page


def test_mending_a_permission_leaves_its_paper(client: Client, hill: Cemetery) -> None:
    typed = permission_typed(paper=SimpleUploadedFile("a.pdf", PDF))
    client.post(reverse("permission_new", args=[hill.slug]), typed)
    kept = Permission.objects.get(given_by="Township clerk")
    ended = permission_typed(ends_on="2026-06-30")
    assert client.post(reverse("permission_edit", args=[kept.pk]), ended).status_code == 302
    after = Permission.objects.get(pk=kept.pk)
    assert (after.paper.name, after.ends_on) == (kept.paper.name, date(2026, 6, 30))


def test_a_picture_that_is_no_picture_is_saved_and_never_run(
    client: Client, section: Section
) -> None:
    stone = factories.make_stone(section)
    file = SimpleUploadedFile("a.html", b"<script>alert(1)</script>")
    picture = Photograph.objects.create(stone=stone, file=file, taken_on="2026-05-01")
    answer = client.get(reverse("photograph", args=[picture.pk]))
    assert answer["Content-Type"] == "application/octet-stream"
    assert "attachment" in answer["Content-Disposition"]
    answer.close()


def test_a_job_from_a_stone_brings_its_number_and_its_chain(
    client: Client, hill: Cemetery, section: Section
) -> None:
    stone = factories.make_stone(section, number="A 1/b")
    factories.conclude(stone)
    first = factories.make_job(stone)
    page = text(client, "job_new", hill.slug, stone="A 1/b")
    assert 'value="A 1/b"' in page
    assert "Gentle cleaning, A 1/b" in page
    typed = {
        "kind": factories.kind("recording").pk,
        "stone": "A 1/b",
        "priority": "50",
        "person_minutes": "30",
        "fewest": "2",
        "most": "2",
        "lifters": "0",
        "equipment_camera": "1",
        "prerequisites": [first.pk],
    }
    address = reverse("job_new", args=[hill.slug]) + "?stone=A+1/b"
    answer = client.post(address, typed, follow=True)
    assert answer.status_code == 200
    job = Job.objects.get(kind__key="recording")
    assert list(job.prerequisites.all()) == [first]
    assert job.equipment == {"camera": 1}
    page = answer.content.decode()
    assert "Gentle cleaning, A 1/b must be done first." in page
    assert "1 camera and mirror" in page


def test_the_backlog_says_why_a_job_waits(client: Client, hill: Cemetery, section: Section) -> None:
    factories.make_job(factories.make_stone(section))
    page = text(client, "backlog", hill.slug, show="waiting")
    assert "Alder Hill: 1 job waits today, 0 are ready" in page
    assert "not surveyed yet (1)" in page
    assert "Nobody has surveyed this stone yet; survey it first." in page


def test_the_words_of_a_kind_of_work_change_and_its_flags_stay(
    client: Client, ruth: Person
) -> None:
    typed = {"who_may": "Adults", "caution": "Never lean on a stone.", "touches": "", "lifts": ""}
    assert client.post(reverse("kind_of_work_edit", args=["resetting"]), typed).status_code == 302
    kind = KindOfWork.objects.get(key="resetting")
    assert (kind.who_may, kind.touches, kind.lifts) == ("Adults", True, True)
    page = client.post(reverse("kind_of_work_edit", args=["resetting"]), {"who_may": "x"})
    assert "is required" in page.content.decode()


def addresses(stone: Stone) -> list[tuple[str, Callable[[], tuple[object, ...]]]]:
    slug, pk = stone.cemetery.slug, stone.pk
    job = factories.make_job(stone)
    return [
        ("cemetery_new", lambda: ()),
        ("cemetery_edit", lambda: (slug,)),
        ("section_new", lambda: (slug,)),
        ("section_edit", lambda: (slug, stone.section_id)),
        ("setting_edit", lambda: (slug, "coldest_wet_f")),
        ("setting_edit", lambda: (slug, "below_ground_fraction")),
        ("setting_edit", lambda: (slug, "water")),
        ("permission_new", lambda: (slug,)),
        ("family_new", lambda: (pk,)),
        ("family_edit", lambda: (factories.make_family(stone).pk,)),
        ("stone_new", lambda: (slug,)),
        ("stone_edit", lambda: (pk,)),
        ("survey_new", lambda: (pk,)),
        ("stone_override", lambda: (pk,)),
        ("job_new", lambda: (slug,)),
        ("job_edit", lambda: (job.pk,)),
        ("kind_of_work_edit", lambda: ("cleaning",)),
    ]


@pytest.mark.parametrize("value", HOSTILE)
def test_every_field_of_every_form_takes_anything_without_an_error(
    client: Client, section: Section, value: str
) -> None:
    for name, args in addresses(factories.make_stone(section)):
        address = reverse(name, args=args())
        fields = client.get(address).context["form"].fields
        answer = client.post(address, dict.fromkeys(fields, value), follow=True)
        assert answer.status_code == 200
        assert "<script>alert" not in answer.content.decode()


def test_names_in_any_script_are_shown_as_they_are(client: Client, section: Section) -> None:
    name = "Mary & Ion עברית 🪦 <b>Teel</b>"
    stone = factories.make_stone(
        section, name_on_stone=name, notes="</dd><script>alert(1)</script>"
    )
    page = text(client, "stone", stone.pk)
    assert "Mary &amp; Ion עברית 🪦 &lt;b&gt;Teel&lt;/b&gt;" in page
    assert "<script>alert" not in page
