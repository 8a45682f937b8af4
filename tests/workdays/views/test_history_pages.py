"""The record of a stone, and the pictures that the public sees."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image

from coordinator.models import Person
from tests import factories
from tests.factories import NOW
from tests.pages import log_in
from workdays.actions.readings import record_reading
from workdays.actions.surveys import record_survey
from workdays.models import (
    Crew,
    CrewJob,
    CrewPlan,
    FamilyLeave,
    Job,
    Photograph,
    Placement,
    RollEntry,
    Stone,
    Workday,
)
from workdays.queries.history import stone_history
from workdays.rules.reading import FactRead

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture(autouse=True)
def _own_files(settings: pytest.FixtureRequest, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]  # pytest-django's own settings


@pytest.fixture
def ruth(client: Client) -> Person:
    person = factories.make_staff()
    log_in(client, person)
    return person


def picture(stone: Stone, on: date, *, tmp_path: Path, **values: object) -> Photograph:
    path = tmp_path / "made.jpg"
    Image.new("RGB", (60, 80), "#8a9a80").save(path, "JPEG")
    file = SimpleUploadedFile("a.jpg", path.read_bytes(), content_type="image/jpeg")
    return Photograph.objects.create(stone=stone, file=file, taken_on=on, **values)


@pytest.fixture
def pair(tmp_path: Path) -> Photograph:
    """Give a pair at a stone whose owner lets the public see it."""
    stone = factories.make_stone()
    stone.cemetery.gallery_on = date(2026, 1, 1)
    stone.cemetery.save()
    before = picture(stone, date(2026, 4, 1), tmp_path=tmp_path, moment="before")
    return picture(
        stone, date(2026, 5, 2), tmp_path=tmp_path, moment="after", before=before, in_gallery=True
    )


def worked(stone: Stone, *, came: bool) -> None:
    """Have a job done on a closed day by a crew of two; the second may have stayed away."""
    day = factories.make_day(stone.cemetery, state=Workday.State.CLOSED)
    lead, other = factories.make_person(name="Ada Lead"), factories.make_person(name="Bo Other")
    job = factories.make_job(stone, state=Job.State.DONE, done_at=NOW - timedelta(days=3))
    plan = CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED)
    crew = Crew.objects.create(plan=plan, block=day.blocks.earliest("pk"), name="Crew 1", lead=lead)
    for person in (lead, other):
        Placement.objects.create(crew=crew, person=person)
        if came or person == lead:
            RollEntry.objects.create(day=day, person=person, arrived_at=day.starts_at)
    CrewJob.objects.create(crew=crew, job=job, starts_at=day.starts_at, ends_at=day.ends_at)


def test_a_history_tells_looks_readings_and_work_in_order(ruth: Person) -> None:
    stone = factories.make_stone()
    record_survey(stone, {"on": date(2026, 4, 1), "signs": ["growth"]}, by=ruth, now=NOW)
    fact = FactRead("name", "Ann Bell", "sure")
    record_reading(
        stone, on=date(2026, 4, 20), lines=["ANN"], facts=[fact], notes="", by=ruth, now=NOW
    )
    worked(stone, came=False)
    history = stone_history(stone)
    assert [event.what for event in history.events] == ["look", "reading", "work", "concluded"]
    assert history.events[2].lines == ["Led by Ada Lead, with 0 others"]
    assert history.heading.endswith("1 look, 1 job done")


def test_whoever_stayed_away_did_no_work(ruth: Person) -> None:
    stone = factories.make_stone()
    worked(stone, came=True)
    (event,) = stone_history(stone).events
    assert event.lines == ["Led by Ada Lead, with 1 other"]


def test_a_record_is_a_page_and_a_paper_with_its_pictures(
    client: Client, ruth: Person, pair: Photograph
) -> None:
    stone = pair.stone
    assert stone is not None
    page = client.get(reverse("stone_history", args=[stone.pk])).content.decode()
    assert "Before and after" in page
    assert "Bo Other" not in page
    paper = client.get(reverse("stone_history_pdf", args=[stone.pk]))
    assert paper.content.startswith(b"%PDF-")
    assert len(paper.content) > 5_000


def test_a_record_asks_as_often_for_many_as_for_few(ruth: Person) -> None:
    stone = factories.make_stone()

    def asked() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            stone_history(stone)
        return len(seen)

    worked(stone, came=True)
    few = asked()
    for _ in range(3):
        worked(stone, came=True)
    assert asked() == few


def test_the_public_sees_a_pair_and_no_names(client: Client, pair: Photograph) -> None:
    assert pair.stone is not None
    Stone.objects.filter(pk=pair.stone.pk).update(name_on_stone="Ann Bell")
    page = client.get(reverse("gallery")).content.decode()
    assert "1 stone before and after" in page
    assert "Ann Bell" not in page
    for part in ("before", "after"):
        answer = client.get(reverse("gallery_picture", args=[pair.pk, part]))
        assert answer["Content-Type"] == "image/jpeg"
        answer.close()
    assert client.get(reverse("gallery_picture", args=[pair.pk, "other"])).status_code == 404


@pytest.mark.parametrize("case", ["not chosen", "no leave", "people", "people before", "family"])
def test_the_public_sees_nothing_else(client: Client, pair: Photograph, case: str) -> None:
    assert pair.stone is not None
    assert pair.before is not None
    if case == "not chosen":
        Photograph.objects.filter(pk=pair.pk).update(in_gallery=False)
    if case == "no leave":
        type(pair.cemetery).objects.update(gallery_on=None)
    if case == "people":
        Photograph.objects.filter(pk=pair.pk).update(shows_people=True)
    if case == "people before":
        Photograph.objects.filter(pk=pair.before.pk).update(shows_people=True)
    if case == "family":
        FamilyLeave.objects.create(stone=pair.stone, name="Bell", state=FamilyLeave.State.REFUSED)
    assert "No pictures are shown yet." in client.get(reverse("gallery")).content.decode()
    assert client.get(reverse("gallery_picture", args=[pair.pk, "after"])).status_code == 404


def test_an_organiser_hides_a_pair_and_shows_it_again(
    client: Client, ruth: Person, pair: Photograph
) -> None:
    press = reverse("gallery_show", args=[pair.pk])
    client.post(press, {"shown": "no"})
    pair.refresh_from_db()
    assert not pair.in_gallery
    client.post(press, {"shown": "yes"})
    pair.refresh_from_db()
    assert pair.in_gallery


def test_a_single_picture_is_not_shown(client: Client, ruth: Person, pair: Photograph) -> None:
    assert pair.before is not None
    press = reverse("gallery_show", args=[pair.before.pk])
    page = client.post(press, {"shown": "yes"}, follow=True).content.decode()
    assert "Only a pair, before and after work, is shown." in page


def test_a_leave_of_the_owner_is_noted_with_its_source_and_ended(
    client: Client, ruth: Person, pair: Photograph
) -> None:
    place = pair.cemetery
    address = reverse("gallery_choose", args=[place.slug])
    refused = client.post(address, {"gallery_on": "2026-05-01", "gallery_words": "yes"})
    assert "Say who gave this leave" in refused.content.decode()
    client.post(address, {"gallery_on": "2026-05-01", "gallery_words": "Letter of 1 May 2026"})
    place.refresh_from_db()
    assert place.gallery_on == date(2026, 5, 1)
    client.post(address, {"gallery_on": "", "gallery_words": ""})
    place.refresh_from_db()
    assert place.gallery_on is None
