"""The crew plan of 25 people and 60 jobs through the pages: real web server, worker, Chromium.

One day is planned, watched, stopped, changed by hand and planned again without two who did not
come; each step is a function of its own.
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
# Those first whose crew has the fewest jobs: it has time left, and does them with one fewer.
KEYS = """(all) => {
  const jobs = (one) => one.closest("section").querySelectorAll("ol > li").length;
  return all.sort((one, other) => jobs(one) - jobs(other)).map((one) => one.id);
}"""
JOINS = re.compile(r"^Crew \d+: (.+) (?:joins from Crew \d+|is in no crew now)\.$")
PLANNED_MS, SLOW_MS = 120_000, 30_000
MOST_MOVED = 4


@dataclass(frozen=True)
class Scene:
    """The organiser at the page of the plan, and whom the test must know.

    ``due``: who is to be there from the start; ``helpers``: those of them who lead nobody.
    """

    ruth: Surveyor
    day: int
    minor: str
    guardian: str
    due: list[str]
    helpers: list[str]

    @property
    def hands(self) -> Locator:
        """Where crews are changed by hand."""
        return self.ruth.page.locator("#hands")

    @property
    def in_crews(self) -> Locator:
        """Everybody who is in a crew, once for each stretch of the day."""
        return self.hands.locator(".crew-card[data-to] ul.chips a[id^=p]")

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
    return Scene(ruth, **{name: told[name] for name in told if name != "door"})


@pytest.mark.timeout(900)
@pytest.mark.parametrize("stack", ["embedded"], indirect=True)
def test_a_plan_of_25_people_and_60_jobs_from_the_first_to_the_sheets(scene: Scene) -> None:
    see_it_get_better(scene)
    stop_when_good_enough(scene)
    move_somebody_by_keyboard(scene)
    be_refused(scene)
    publish(scene)
    missing = stay_away(scene)
    plan_again(scene, missing)
    publish(scene)
    print_the_sheets(scene, missing)


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
    inside = scene.in_crews
    free = scene.hands.locator(".crew-card:not([data-to]) ul.chips a[id^=p]")
    tries = [(key, OUT, 0) for key in inside.evaluate_all(KEYS)]
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


def publish(scene: Scene) -> None:
    """Publish the draft; nobody has to be told by telephone."""
    button = scene.ruth.page.get_by_role("button", name=re.compile(r"^Publish to \d+ people$"))
    button.click()
    scene.ruth.says(re.compile(r"Published \d"))
    scene.ruth.fits()
    expect(button).to_have_count(0)


def stay_away(scene: Scene) -> list[str]:
    """Tick everybody at the gate who is due, but two who are in crews; return those two."""
    page, planned = scene.ruth.page, " ".join(scene.in_crews.all_inner_texts())
    missing = [name for name in scene.helpers if name in planned][:2]
    assert len(missing) == 2, planned
    scene.ruth.open(f"/days/{scene.day}/roll/")
    for name in (one for one in scene.due if one not in missing):
        scene.ruth.press(f"Arrived {name}")
        expect(page.get_by_role("button", name=f"Left {name}")).to_be_visible(timeout=SLOW_MS)
    scene.ruth.heading(f"{len(scene.due) - 2} people on the ground")
    scene.picture("roll")
    return missing


def plan_again(scene: Scene, missing: list[str]) -> None:
    """Plan the rest of the day without the two; few move, and what changes is said in words."""
    page = scene.ruth.page
    scene.ruth.follow("Plan again with who is here")
    scene.ruth.heading(f"{len(scene.due) - 2} here, 2 missing")
    for name in missing:
        expect(page.get_by_label(name)).to_have_value("no")
    page.get_by_label("Move at most so many people").fill(str(MOST_MOVED))
    scene.picture("now")
    scene.ruth.press("Plan again with who is here")
    changes = page.locator("#difference")
    expect(changes).to_contain_text(
        re.compile(r"What changes from \d+:\d\d on"), timeout=PLANNED_MS
    )
    scene.ruth.fits()
    changes.evaluate("(one) => { one.open = true; }")
    said = changes.get_by_role("listitem").all_inner_texts()
    for name in missing:
        assert any(re.fullmatch(rf"Crew \d+: {name} is not there\.", one) for one in said), said
    assert len({found[1] for found in map(JOINS.match, said) if found}) <= MOST_MOVED, said
    planned = scene.in_crews.all_inner_texts()
    assert planned
    assert not [one for one in planned if any(name in one for name in missing)]
    scene.picture("again")


def print_the_sheets(scene: Scene, missing: list[str]) -> None:
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
    assert not any(name in words for words in pages for name in missing)
    if PICTURES:
        Path(PICTURES, "sheets.pdf").write_bytes(paper)
