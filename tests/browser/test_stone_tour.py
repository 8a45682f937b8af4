"""A leaning marble tablet, on a phone: looked at, concluded, weighed, its jobs, until it is ready.

One organiser goes from page to page by its links, at a served site.
"""

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE, NewContext
from tests.browser.surveyor import Surveyor
from tests.service.stack import Stack
from tests.workdays.picture_files import talkative_jpeg

SEED = Path(__file__).parent / "scripts" / "seed_stone_tour.py"
STONE = "C-3"
DIG = "Dig it free; never pull it upright"


@dataclass(frozen=True)
class Scene:
    """Who stands there, at which cemetery, before which stone."""

    ruth: Surveyor
    slug: str
    stone: int


@pytest.fixture
def scene(request: pytest.FixtureRequest, stack: Stack, new_context: NewContext) -> Scene:
    """Serve a site with one row of stones on it; sign its organiser in on a phone."""
    seeded = stack.python(SEED)
    stack.start_web()
    phone = new_context(viewport=PHONE, java_script_enabled=request.param)
    ruth = Surveyor(phone.new_page(), stack.url)
    ruth.log_in(seeded["door"])
    return Scene(ruth, seeded["slug"], seeded["stone"])


@pytest.mark.parametrize(
    ("stack", "scene"),
    [("embedded", True), ("embedded", False), ("servers", True)],
    ids=["files", "without JavaScript", "servers"],
    indirect=True,
)
def test_a_leaning_tablet_from_the_first_look_until_it_is_ready(scene: Scene) -> None:
    find_it_on_the_plan(scene)
    look_at_it(scene)
    weigh_it(scene)
    add_its_chain(scene)
    see_it_on_the_plan(scene)
    see_it_become_ready(scene)


def find_it_on_the_plan(scene: Scene) -> None:
    """Nobody has seen it, and the plan says so; a tap opens it."""
    scene.ruth.open(f"/ground/{scene.slug}/")
    expect(scene.ruth.drawn(STONE)).to_have_accessible_name(re.compile("not seen"))
    scene.ruth.drawn(STONE).click()
    scene.ruth.heading(f"Stone {STONE}: nobody has surveyed it yet")


def look_at_it(scene: Scene) -> None:
    """Twelve degrees to the front: a reset, with the reason and its source."""
    scene.ruth.look_at_it(talkative_jpeg())
    scene.ruth.heading(f"Stone {STONE}: needs a reset")
    scene.ruth.says("It leans 12 degrees: a hazard")
    expect(scene.ruth.page.locator("main figure img")).to_have_count(1)


def weigh_it(scene: Scene) -> None:
    """As much below as above: 150 x 40 x 5 cm of marble, at least 2 595 kg a cubic metre.

    ASTM C503 gives the density; the depth below is Strangstad's, A Graveyard Preservation Primer:
    77.9 kg or 172 lb must lie inside the range.
    """
    words = scene.ruth.page.locator("main").inner_text()
    found = re.search(r"about (\d+) to (\d+) lb \((\d+) to (\d+) kg\)", words)
    assert found, words
    low_lb, high_lb, low_kg, high_kg = (int(figure) for figure in found.groups())
    assert low_lb <= 172 <= high_lb
    assert low_kg <= 77.9 <= high_kg
    assert "people" in words
    scene.ruth.page.get_by_text("On what the weight rests").click()
    scene.ruth.says("below ground")
    scene.ruth.page.get_by_text("Before anybody lifts").click()
    scene.ruth.says("Local law, the owner's rules and licensed professionals decide.")


def add_its_chain(scene: Scene) -> None:
    """Rake, dig free, reset, look again after the winter; the look itself is done."""
    scene.ruth.follow("See the chain, and when each is ready")
    scene.ruth.heading(f"Stone {STONE}: 4 jobs would do what it needs")
    scene.ruth.press("Add these 4 jobs")
    scene.ruth.heading(f"Stone {STONE}: every job it needs is there")
    assert scene.ruth.stands("Rake the section") == "ready now"
    assert scene.ruth.stands(DIG) != "ready now"


def see_it_on_the_plan(scene: Scene) -> None:
    scene.ruth.open(f"/ground/{scene.slug}/?needs=reset")
    expect(scene.ruth.drawn(STONE)).to_have_accessible_name(re.compile("reset"))
    expect(scene.ruth.page.locator("figure.plan use[href$='-marked']")).to_have_count(1)


def see_it_become_ready(scene: Scene) -> None:
    """Once the section is raked, it may be dug free: on its own page, in the backlog, drawn."""
    ready = f"/ground/{scene.slug}/?kind=resetting&ready={today()}"
    scene.ruth.open(ready)
    expect(scene.ruth.page.locator("figure.plan use[href$='-marked']")).to_have_count(0)
    scene.ruth.open(f"/ground/stones/{scene.stone}/chain/")
    scene.ruth.follow("Rake the section")
    scene.ruth.follow("It was done")
    scene.ruth.press("Note that it is done")
    expect(scene.ruth.page).to_have_url(re.compile(r"/ground/jobs/\d+/$"))
    scene.ruth.heading("done")
    scene.ruth.open(f"/ground/stones/{scene.stone}/chain/")
    assert scene.ruth.stands(DIG) == "ready now"
    scene.ruth.open(f"/ground/{scene.slug}/backlog/")
    scene.ruth.says(f"Resetting, stone {STONE}")
    scene.ruth.open(ready)
    expect(scene.ruth.page.locator("figure.plan use[href$='-marked']")).to_have_count(1)


def today() -> str:
    """Return the date at the cemetery."""
    return datetime.now(ZoneInfo("America/Detroit")).date().isoformat()
