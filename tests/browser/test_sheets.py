"""A messy workbook of 2,000 stones through the pages: tried, mended, in, undone, in again, out.

Real web server and embedded database; the machine's Chromium.
"""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESK, NewContext
from tests.browser.messy import FAULTS, messy_workbook
from tests.service.stack import Stack

SEED = Path(__file__).parent / "scripts" / "seed_sheets.py"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
# A folder for pictures of the pages, to be looked at; none are taken without it.
PICTURES = os.environ.get("SHEET_PICTURES", "")
SLOW_MS = 120_000


class Organiser:
    """Ruth at the pages of spreadsheets of one cemetery."""

    def __init__(self, page: Page, site: str) -> None:
        self.page, self.sheets = page, f"{site}/ground/alder-hill/sheets/"
        page.set_default_timeout(SLOW_MS)
        page.set_default_navigation_timeout(SLOW_MS)

    def log_in(self, door: str) -> None:
        """Press the button of the log-in link."""
        self.page.goto(door)
        self.page.locator("main").get_by_role("button", name="Sign in").click()
        self.page.wait_for_url("**/week/")

    def hand_in(self, octets: bytes, name: str) -> None:
        """Choose a file and have it looked into."""
        self.page.goto(self.sheets)
        file = {"name": name, "mimeType": XLSX, "buffer": octets}
        self.page.get_by_label("A CSV or XLSX file").set_input_files(file)  # type: ignore[arg-type]  # a payload is a typed dict
        self.press("Look into this file")
        self.heading(f"{name}: say what its")

    def choose(self, label: str, words: str) -> None:
        """Choose what a column holds, or what a word stands for."""
        self.page.get_by_label(label, exact=False).first.select_option(label=words)

    def press(self, name: str) -> None:
        """Press the one button of this name."""
        self.page.locator("main").get_by_role("button", name=name).click()

    def heading(self, words: str) -> None:
        """Wait for the heading of the page."""
        heading = self.page.get_by_role("heading", level=1)
        expect(heading).to_contain_text(words, timeout=SLOW_MS)

    def says(self, words: str) -> None:
        """See words on the page."""
        expect(self.page.locator("main")).to_contain_text(words, timeout=SLOW_MS)

    def picture(self, name: str) -> None:
        """Keep pictures of the page, where somebody asked for them."""
        for width in (360, 1280) if PICTURES else ():
            self.page.set_viewport_size({"width": width, "height": 900})
            self.page.screenshot(path=f"{PICTURES}/{name}-{width}.png", full_page=True)


@pytest.fixture
def ruth(stack: Stack, new_context: NewContext) -> Organiser:
    """Serve a site with one cemetery; give its organiser, logged in."""
    seeded = stack.python(SEED)
    stack.start_web()
    ruth = Organiser(new_context(viewport=DESK).new_page(), stack.url)
    ruth.log_in(seeded["door"])
    return ruth


@pytest.mark.timeout(900)
@pytest.mark.parametrize("stack", ["embedded"], indirect=True)
def test_a_messy_workbook_goes_all_the_way(ruth: Organiser) -> None:
    see_problems(ruth)
    bring_in_mended(ruth)
    undo_and_bring_in_again(ruth)
    export_is_nothing_new(ruth)


def see_problems(ruth: Organiser) -> None:
    """Map the columns, and see each fault with its row; nothing comes in."""
    ruth.hand_in(messy_workbook(mended=False), "spring.xlsx")
    map_columns(ruth)
    ruth.heading("spring.xlsx: 8 rows have problems; 1,992 could come in")
    for *_, words in FAULTS:
        ruth.says(words)
    ruth.says("Row 16, Height (E16): “tall” is no length")
    ruth.says("passed over (totals)")
    ruth.picture("dry-run-problems")
    ruth.press("Throw this file away")
    ruth.says("The sheet is thrown away.")


def map_columns(ruth: Organiser) -> None:
    """Say what the columns and the words mean that were not guessed."""
    ruth.says("The headings stand in row 4.")
    ruth.picture("columns")
    expect(ruth.page.get_by_label("B: Stone No.")).to_have_value("number")
    expect(ruth.page.get_by_label("E is written in")).to_have_value("in")
    expect(ruth.page.get_by_label("N: Drawer")).to_have_value("")
    ruth.page.get_by_label("Make the sections that are not here yet").check()
    ruth.choose("“menhir”", "other")
    ruth.choose("“haunted”", "growth or dirt")
    ruth.press("Show what would change")


def bring_in_mended(ruth: Organiser) -> None:
    """Hand the mended file in, see that none has a problem, bring it in."""
    ruth.hand_in(messy_workbook(mended=True), "spring.xlsx")
    map_columns(ruth)
    ruth.heading("spring.xlsx: 2,000 rows can come in, none has a problem")
    ruth.says("1 section is made: New ground.")
    ruth.says("2,000 looks at stones are new.")
    ruth.picture("dry-run")
    ruth.press("Bring in these 2,000 rows")
    ruth.heading("spring.xlsx: it is brought in")
    ruth.says("2,000 stones added.")
    ruth.picture("brought-in")


def undo_and_bring_in_again(ruth: Organiser) -> None:
    """Take all of it back, and bring it in once more."""
    ruth.press("Undo this sheet")
    ruth.heading("spring.xlsx: 2,000 rows can come in")
    ruth.says("undone on")
    ruth.press("Bring in these 2,000 rows")
    ruth.heading("spring.xlsx: it is brought in")


def export_is_nothing_new(ruth: Organiser) -> None:
    """Take all stones out in both forms; each comes back as nothing new."""
    for link, name in (("As a workbook (XLSX)", "out.xlsx"), ("As plain text (CSV)", "out.csv")):
        ruth.page.goto(ruth.sheets)
        ruth.heading("Alder Hill: 2000 stones")
        with ruth.page.expect_download(timeout=SLOW_MS) as download:
            ruth.page.get_by_role("link", name=link).click()
        assert re.fullmatch(
            r"alder-hill-stones-[0-9-]{10}\.(csv|xlsx)", download.value.suggested_filename
        )
        ruth.hand_in(Path(download.value.path()).read_bytes(), name)
        ruth.press("Show what would change")
        ruth.heading(f"{name}: nothing would change")
        ruth.says("2,000 rows are known as they are.")
        expect(ruth.page.get_by_role("button", name="Bring in")).to_have_count(0)
    ruth.picture("nothing-new")
