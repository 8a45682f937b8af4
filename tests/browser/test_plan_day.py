"""The crew plan of 25 people and 60 jobs through the pages: real web server, worker, Chromium.

One day is planned, watched, stopped and changed by hand; each step is a function of its own.
"""

import os
import re
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import Locator, expect
from pypdf import PdfReader

from tests.browser.conftest import DESK, NewContext
from tests.browser.keyboard import Keyboard
from tests.browser.surveyor import Surveyor
from tests.service.stack import Stack
from tests.waiting import eventually

SEED = Path(__file__).parent / "scripts" / "seed_plan_day.py"
# A folder for pictures of the pages, to be looked at; none are taken without it.
PICTURES = os.environ.get("PLAN_PICTURES", "")
OUT, PUT = re.compile("^Into no crew"), re.compile("^Put into")
KEYS = "(all) => all.map((one) => one.id)"
PLANNED_MS, SLOW_MS = 120_000, 30_000


@dataclass(frozen=True)
class Scene:
    """The organiser at the page of the plan, and whom the test must know."""

    ruth: Surveyor
    day: int
    minor: str
    guardian: str

    @property
    def hands(self) -> Locator:
        """Where crews are changed by hand."""
        return self.ruth.page.locator("#hands")

    @property
    def so_far(self) -> Locator:
        """What is said of the best plan so far."""
        return self.ruth.page.locator("#planning-figures")

    def points(self) -> int:
        """The points of the best plan so far; 0 where none is said."""
        found = re.search(r"worth (\d+) points", self.so_far.inner_text())
        return int(found[1]) if found else 0

    def picture(self, name: str) -> None:
        """Keep pictures of the page, where somebody asked for them."""
        for width in (360, 1280) if PICTURES else ():
            self.ruth.page.set_viewport_size({"width": width, "height": 900})
            self.ruth.page.screenshot(path=f"{PICTURES}/{name}-{width}.png", full_page=True)


@pytest.fixture
def scene(stack: Stack, new_context: NewContext) -> Scene:
    """Serve the day; give its organiser, logged in at its plan."""
    told = stack.python(SEED)
    stack.start_worker()
    stack.start_web()
    ruth = Surveyor(new_context(viewport=DESK).new_page(), stack.url)
    ruth.log_in(told["door"])
    ruth.open(f"/days/{told['day']}/plan/")
    return Scene(ruth, told["day"], told["minor"], told["guardian"])


@pytest.mark.timeout(900)
@pytest.mark.parametrize("stack", ["embedded"], indirect=True)
def test_a_plan_of_25_people_and_60_jobs_from_the_first_to_the_sheets(scene: Scene) -> None:
    see_it_get_better(scene)
    stop_when_good_enough(scene)
    move_somebody_by_keyboard(scene)
    be_refused(scene)
    print_the_sheets(scene)


def see_it_get_better(scene: Scene) -> None:
    """Ask for a long search; see a first plan, better ones, and how good they are for certain."""
    scene.ruth.heading("no crew plan yet")
    scene.ruth.page.get_by_label("How long to search").select_option("long")
    scene.ruth.press("Plan the crews")
    expect(scene.so_far).to_contain_text("so far is worth", timeout=PLANNED_MS)
    first = scene.points()
    scene.ruth.page.get_by_role("button", name="Cancel the planning").focus()
    eventually(lambda: scene.points() > first > 0, timeout=60, what="a better plan")
    scene.ruth.says(re.compile(r"at least \d\d % of the best that any plan could be"))
    scene.ruth.says(re.compile(r"No plan can pass \d+ points\."))
    scene.ruth.says("So far: ")
    expect(scene.ruth.page.locator("#found svg[role=group]")).to_be_visible()
    expect(scene.ruth.page.get_by_role("button", name="Cancel the planning")).to_be_focused()
    scene.picture("planning")


def stop_when_good_enough(scene: Scene) -> None:
    """Stop the search long before its end; the best plan so far is the draft."""
    found = scene.points()
    scene.ruth.press("Stop, this is good enough")
    scene.ruth.says("Stopped. The best plan found so far is kept")
    scene.ruth.heading(re.compile(r": \d+ people in \d+ crews finish \d+ jobs"))
    worth = re.search(r"Worth (\d+) points", scene.ruth.page.locator("main").inner_text())
    assert worth
    assert int(worth[1]) >= found
    scene.picture("planned")


def move_somebody_by_keyboard(scene: Scene) -> None:
    """Try one after another until somebody may go elsewhere; the plan stays whole."""
    inside = scene.hands.locator(".crew-card[data-to] ul.chips a[id^=p]")
    free = scene.hands.locator(".crew-card:not([data-to]) ul.chips a[id^=p]")
    tries = [(key, OUT, 0) for key in inside.evaluate_all(KEYS)[::2]]
    tries += [(key, PUT, place) for key in free.evaluate_all(KEYS) for place in range(5)]
    assert any(moved(scene, *one) for one in tries), "nobody may be moved"
    back = scene.hands.get_by_role("button", name=re.compile("^Take back: "))
    expect(back).to_be_visible(timeout=SLOW_MS)


def moved(scene: Scene, key: str, button: re.Pattern[str], place: int) -> bool:
    """Take somebody up and press a button; where a rule refuses it, put them back."""
    page, keys = scene.ruth.page, Keyboard(scene.ruth.page)
    scene.hands.locator(f'[id="{key}"]').press("Enter")
    expect(page.locator("#taken")).to_be_focused(timeout=SLOW_MS)
    buttons = scene.hands.get_by_role("button", name=button)
    if buttons.count() > place:
        keys.enter(buttons.nth(place))
        done = page.locator(".messages").get_by_text(re.compile("taken out|moved, and pinned"))
        expect(done.or_(page.locator("#refused"))).to_be_visible(timeout=SLOW_MS)
        if done.is_visible():
            return True
    keys.enter(scene.hands.get_by_role("link", name="Put back"))
    expect(page.locator("#taken")).to_have_count(0, timeout=SLOW_MS)
    return False


def be_refused(scene: Scene) -> None:
    """Put a minor into a crew without the guardian; the rule is said, nothing has changed."""
    page, keys = scene.ruth.page, Keyboard(scene.ruth.page)
    scene.hands.get_by_role("link", name=scene.minor).first.press("Enter")
    expect(page.locator("#taken")).to_be_focused(timeout=SLOW_MS)
    scene.ruth.says(f"You hold {scene.minor}")
    elsewhere = scene.hands.locator(".crew-card").filter(has_not_text=scene.guardian)
    keys.enter(elsewhere.get_by_role("button", name=re.compile("^Put into")).first)
    expect(page.get_by_role("alert")).to_contain_text("nothing was changed", timeout=SLOW_MS)
    expect(page.get_by_role("alert")).to_contain_text(scene.minor)
    keys.enter(scene.hands.get_by_role("link", name="Put back"))
    expect(page.locator("#taken")).to_have_count(0, timeout=SLOW_MS)


def print_the_sheets(scene: Scene) -> None:
    """Open the day sheet, then all sheets as one PDF; read it: each crew has a page that begins."""
    page = scene.ruth.page
    scene.ruth.follow("Day sheet to print")
    scene.ruth.heading(re.compile(r"\d+ crews, \d+ jobs"))
    heading = page.get_by_role("heading", level=1).inner_text()
    crews = int(re.findall(r"(\d+) crews", heading)[0])
    link = page.get_by_role("link", name="All sheets as a PDF").get_attribute("href")
    paper = page.context.request.get(f"{scene.ruth.site}{link}", timeout=PLANNED_MS).body()
    pages = [" ".join(one.extract_text().split()) for one in PdfReader(BytesIO(paper)).pages]
    assert sum(bool(re.match(r"Crew \d+, ", words)) for words in pages) == crews
    assert any(words.startswith("Load for") for words in pages)
    assert any("say this before anybody works" in words for words in pages)
    if PICTURES:
        Path(PICTURES, "sheets.pdf").write_bytes(paper)
