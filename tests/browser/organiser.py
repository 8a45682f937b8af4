"""What an organiser does, at a desk."""

import re
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.mailbox import Mailbox, text_of

MAILBOX = "ruth@hollin.example"


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

    def heading(self, words: str) -> None:
        """Wait for the heading of the page."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
