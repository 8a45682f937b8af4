"""The sheets of a day as staff open and print them: talk, load list, crews, all as one PDF."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader
from pytest_django import Settings

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from workdays.models import (
    CemeterySetting,
    Crew,
    CrewJob,
    CrewPlan,
    Job,
    MixedMaterial,
    Placement,
    Section,
    Workday,
)
from workdays.rules.weather import Thunder

pytestmark = pytest.mark.django_db
OUTLINE = [[0, 0], [30, 0], [30, 20], [0, 20]]


@pytest.fixture
def day() -> Workday:
    """A day at a section of which the corners are known, with a published plan of no crew."""
    section = factories.make_section(name="Old hill", outline=OUTLINE)
    factories.make_permission(section.cemetery)
    made = factories.make_day(section.cemetery, equipment={"sprayer": 1})
    published = CrewPlan.State.PUBLISHED
    CrewPlan.objects.create(day=made, state=published, published_at=factories.NOW)
    return made


@pytest.fixture
def organiser(day: Workday) -> Client:
    client = Client()
    log_in(client, factories.make_staff(cemetery=day.cemetery))
    return client


def job_of(day: Workday, number: str, kind: str = "cleaning", **values: object) -> Job:
    section = Section.objects.get(cemetery=day.cemetery)
    n = day.cemetery.stones.count()
    place = {"east_m": 2 + 3 * (n % 9), "north_m": 2 + 2 * (n // 9 % 9)}
    stone = factories.make_stone(section, number=number, **place)
    factories.conclude(stone)
    job = factories.make_job(stone, kind, **values)
    day.jobs.add(job)
    return job


def crew_of(day: Workday, crew_name: str, *jobs: Job, **lead: object) -> Person:
    """Make a crew of two with jobs of half an hour from nine on; return who leads it."""
    block = day.blocks.order_by("starts_at")[0]
    one, other = factories.make_person(**lead), factories.make_person()
    plan = day.plans.get()
    crew = Crew.objects.create(plan=plan, block=block, name=crew_name, lead=one)
    for person in (one, other):
        factories.make_sign_up(day, person)
        Placement.objects.create(crew=crew, person=person)
    for n, job in enumerate(jobs):
        starts_at = block.starts_at + timedelta(minutes=30 * n)
        ends_at = starts_at + timedelta(minutes=30)
        CrewJob.objects.create(crew=crew, job=job, starts_at=starts_at, ends_at=ends_at)
    return one


def opened(client: Client, name: str, day: Workday, *more: int) -> str:
    answer = client.get(reverse(name, args=[day.pk, *more]))
    assert answer.status_code == 200, name
    return answer.content.decode()


def test_the_day_sheet_holds_who_works_where_the_talk_and_the_load_list(
    day: Workday, organiser: Client
) -> None:
    equipment = {"sprayer": 2}
    work = [job_of(day, number, equipment=equipment) for number in ("A-1", "A-2")]
    lead = crew_of(day, "Crew 1", *work)
    factories.make_forecast(day, clock={14: {"temperature_c": 35, "humidity_percent": 60}})
    page = opened(organiser, "day_sheet", day)
    for words in (
        f"<bdi>{lead.name}</bdi>",
        "9:30 Gentle cleaning, Old hill, A-2",
        "Heat index up to 113.1 F at 14:00",
        "Gentle cleaning (Crew 1)",
        f"Crew 1, <bdi>{lead.name}</bdi>",
        '<h2 class="title">Load for 2 jobs: 10 US gallons (38 litres) of water</h2>',
        "2 people, 6 hours, a quart an hour each.",
        "2 x hand sprayer",
        "1 lacking",
    ):
        assert words in page, words
    assert page.count("<h1") == 1
    alone = opened(organiser, "safety_talk", day), opened(organiser, "load_list", day)
    assert "In an emergency say:" in alone[0]
    assert "at least 5 US gallons a stone" in alone[1]


def test_a_crew_sheet_numbers_its_stones_on_a_map_and_says_what_to_fetch(
    day: Workday, organiser: Client
) -> None:
    work = [job_of(day, number, equipment={"bucket": 1}) for number in ("A-1", "A-2", "A-3")]
    crew_of(day, "Crew 1", work[2], work[0])
    crew_of(day, "Crew 2", work[1])
    first, second = day.plans.get().crews.order_by("pk")
    page = opened(organiser, "crew_sheet", day, first.pk)
    assert 'aria-label="Map of Crew 1 in the order of work: 1 A-3, 2 A-1"' in page
    assert page.count("<rect") == 2
    assert "1 x bucket with brushes; Water to clean with: 10 US gallons (38 litres); " in page
    assert "Map of Crew 2 in the order of work: 1 A-2" in opened(
        organiser, "crew_sheet", day, second.pk
    )
    assert organiser.get(reverse("crew_sheet", args=[day.pk, 10**6])).status_code == 404
    everything = opened(organiser, "all_sheets", day)
    assert everything.count('class="drawing crew-map"') == 2


def test_all_sheets_are_one_pdf_with_a_page_for_each_crew(
    day: Workday, organiser: Client, settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    settings.PROGRAMME_NAME, settings.PROGRAMME_TELEPHONE = 'Stone "days"', "555 0142"
    for n in range(1, 4):
        crew_of(day, f"Crew {n}", job_of(day, f"A-{n}"), job_of(day, f"B-{n}"))
    answer = organiser.get(reverse("all_sheets_pdf", args=[day.pk]))
    assert answer["Content-Type"] == "application/pdf"
    assert [one for one in caplog.records if one.levelname == "ERROR"] == []
    pages = ["".join(p.extract_text().split()) for p in PdfReader(BytesIO(answer.content)).pages]
    starts = ("Saturday9May2026", "Safetytalk", "Loadfor6jobs", "Crew1,", "Crew2,", "Crew3,")
    at = [next(n for n, page in enumerate(pages) if page.startswith(start)) for start in starts]
    assert at == sorted(set(at))
    assert at[4] == at[3] + 1, "a crew has one page"
    assert "A-1" in pages[at[3]]
    assert "A-2" not in pages[at[3]]
    assert "licensedprofessionalsdecide" in pages[at[3]]
    assert "30gallons" not in pages[at[2]]
    assert "30USgallons" in pages[at[2]]
    feet = [f'Stone"days"·5550142·{n}/{len(pages)}' for n in range(1, len(pages) + 1)]
    assert [page.count(foot) for page, foot in zip(pages, feet, strict=True)] == [1] * len(pages)
    printed = opened(organiser, "all_sheets", day)
    assert printed.count("Stone &quot;days&quot; · 555 0142</p>") == printed.count('class="sheet')


def test_many_crews_take_as_many_statements_as_two(day: Workday, organiser: Client) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            opened(organiser, "all_sheets", day)
        return len(seen)

    def grown(numbers: range) -> None:
        for n in numbers:
            cleaned = job_of(day, f"C-{n}")
            reset = job_of(day, f"R-{n}", "resetting", lifters=2)
            material = MixedMaterial.objects.earliest("pk")
            seam = job_of(day, f"M-{n}", "mending", material=material, material_litres=3)
            crew_of(day, f"Crew {n}", cleaned, reset, seam)

    factories.make_forecast(day)
    grown(range(1, 3))
    few = asked()
    grown(range(3, 11))
    assert asked() == few
    assert few <= 50


def test_jobs_of_two_crews_share_a_batch_and_what_is_ready_too_is_named(
    day: Workday, organiser: Client
) -> None:
    mortar = MixedMaterial.objects.earliest("pk")
    seams = [job_of(day, f"M-{n}", "mending", material=mortar, material_litres=4) for n in range(3)]
    for stone in day.cemetery.stones.all():
        factories.conclude(stone, "conservator", needs=[])
    crew_of(day, "Crew 1", seams[0])
    crew_of(day, "Crew 2", seams[1])
    page = opened(organiser, "load_list", day)
    assert (
        "M-0 (Crew 1) and M-1 (Crew 2) share one batch of lime mortar: mix once, at 9:00, "
        "12 litres. 8 are used, 4 are left over. It can be worked until 13:00. "
        "Ready too, and small enough for what is left (litres): M-2 (4)."
    ) in page
    assert "4 litres of binder (lime) and 12 litres of sharp sand" in page


def test_a_stone_that_another_job_sets_later_takes_no_gravel_today(
    day: Workday, organiser: Client
) -> None:
    dig = job_of(day, "A-1", "resetting", lifters=1)
    reset = factories.make_job(dig.stone, "resetting", lifters=2)
    reset.prerequisites.add(dig)
    crew_of(day, "Crew 1", dig)
    assert "Gravel" not in opened(organiser, "load_list", day)
    crew_of(day, "Crew 2", reset)
    assert "Gravel" in opened(organiser, "load_list", day)


def test_while_no_crew_is_planned_the_jobs_meant_for_the_day_are_counted(
    day: Workday, organiser: Client
) -> None:
    assert "Nothing to load" in opened(organiser, "load_list", day)
    assert "No work is planned yet" in opened(organiser, "safety_talk", day)
    assert "There is no crew plan yet." in opened(organiser, "all_sheets", day)
    job_of(day, "A-1")
    assert "No crew is planned yet: all jobs meant" in opened(organiser, "load_list", day)
    assert "There is no forecast for this day" in opened(organiser, "safety_talk", day)
    day.plans.all().delete()
    assert "Load for 1 job" in opened(organiser, "day_sheet", day)


def test_a_cemetery_that_reckons_otherwise_is_heard_with_its_source(
    day: Workday, organiser: Client
) -> None:
    crew_of(day, "Crew 1", job_of(day, "A-1"))
    said = {"value": 12, "source": "what the well of the township gives"}
    CemeterySetting.objects.create(cemetery=day.cemetery, key="least_water", **said)
    page = opened(organiser, "load_list", day)
    assert "12 US gallons (46 litres)" in page
    assert "what the well of the township gives" in page


def test_a_draft_says_that_it_is_one(day: Workday, organiser: Client) -> None:
    crew_of(day, "Crew 1", job_of(day, "A-1"))
    assert "Plan 1, published 6 May, 10:00." in opened(organiser, "day_sheet", day)
    day.plans.update(state=CrewPlan.State.DRAFT)
    assert "A draft: nobody has published" in opened(organiser, "day_sheet", day)


def test_crews_without_work_stones_without_place_or_size_and_long_names_are_printed(
    day: Workday, organiser: Client
) -> None:
    bare = job_of(day, "X-1")
    fields = ("east_m", "north_m", "row", "position", "height_cm", "width_cm", "thickness_cm")
    day.cemetery.stones.update(**dict.fromkeys(fields))
    right_to_left = "\u05de\u05e9\u05d4 \u05db\u05d4\u05df"
    crew_of(day, "Crew 1", bare, name=right_to_left, languages=["es"])
    crew_of(day, "Crew 2", name="L" + "o" * 110 + "ng")
    factories.make_forecast(day, thunder=Thunder.YES, humidity_percent=None)
    page = opened(organiser, "all_sheets", day)
    assert f"<bdi>{right_to_left}</bdi>" in page
    assert "Crew 1: somebody there has no English. The lead says all of this in Spanish" in page
    assert "taken as usual for the type of stone: X-1." in page
    assert "No job is planned; ask the organiser." in page
    assert page.count('class="drawing crew-map"') == 1
    assert organiser.get(reverse("all_sheets_pdf", args=[day.pk])).content[:5] == b"%PDF-"
