"""What an organiser does, at a desk."""

import re
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.mailbox import Mailbox, text_of

MAILBOX = "ruth@hollin.example"
REASON = "Thunder is forecast over the cemetery all day."


@dataclass(frozen=True)
class Organiser:
    """One person with one browser, at the site that serves at ``site``."""

    page: Page
    site: str
    mailbox: Mailbox

    def log_in(self) -> None:
        """Ask for a code, read it in the mail, type it."""
        self.page.goto(f"{self.site}/log-in/")
        self.page.get_by_label("Your e-mail address").fill(self.mailbox.address)
        self.page.get_by_role("button", name="Mail me a code").click()
        (mail,) = self.mailbox.next()
        code = re.search(r"^\s*([A-Z0-9-]{6,})\s*$", text_of(mail), re.M)
        assert code, text_of(mail)
        self.page.get_by_label("The code from the mail").fill(code[1])
        self.page.locator("main").get_by_role("button", name="Sign in").click()
        expect(self.page).to_have_url(f"{self.site}/week/")

    def plan(self, day: int) -> None:
        """Ask for a crew plan and wait until the worker has made it."""
        self.page.goto(f"{self.site}/days/{day}/plan/")
        self.heading("no crew plan yet")
        self.page.get_by_role("button", name="Plan the crews").click()
        heading = self.page.get_by_role("heading", level=1)
        expect(heading).to_contain_text("3 people in", timeout=120_000)

    def publish(self) -> None:
        """Publish the plan on the page."""
        self.page.get_by_role("button", name=re.compile("^Publish to")).click()
        expect(self.page.get_by_text("Published; 3 people are told.")).to_be_visible()

    def enter_forecast(self, day: int, octets: bytes) -> None:
        """Read a forecast from a file and see that the rules want the day called off."""
        self.page.goto(f"{self.site}/days/{day}/weather/")
        self.page.get_by_role("link", name="Read a forecast from a file").click()
        file = {"name": "storm.json", "mimeType": "application/json", "buffer": octets}
        self.page.get_by_label("Forecast file").set_input_files(file)  # type: ignore[arg-type]  # a payload is a typed dict
        self.page.get_by_role("button", name="Read this file").click()
        expect(self.page.get_by_text("The forecast is kept.")).to_be_visible()
        expect(self.page.locator("a.btn-primary")).to_have_text(re.compile("^(Move|Call it off)"))

    def call_off(self, day: int, told: int) -> None:
        """Call the day off, with the reason that the rules give."""
        self.page.goto(f"{self.site}/days/{day}/weather/")
        self.page.get_by_role("link", name="Call it off").click()
        self.heading("Call off")
        self.page.get_by_label("Why, in a few words").fill(REASON)
        self.page.get_by_role("button", name="Call it off, tell everybody").click()
        self.counts(day, seen=0, told=told)

    def counts(self, day: int, *, seen: int, told: int) -> None:
        """Look at the page that counts who has seen the notice."""
        self.page.goto(f"{self.site}/days/{day}/notices/")
        self.heading(f"{seen} of {told} have seen it")

    def still_to_ring(self) -> list[str]:
        """Return the names that the page lists to be telephoned."""
        return self.page.locator("table.stack tbody th").all_inner_texts()

    def heading(self, words: str) -> None:
        """Wait for the heading of the page, and for what comes after it."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.page.wait_for_load_state("load")
