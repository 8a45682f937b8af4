"""What a volunteer does, on a phone."""

import re
from dataclasses import dataclass

from playwright.sync_api import Page, expect

NAME = "Maya Thornton"
MAILBOX = "maya@volunteers.example"
TELEPHONE = "555-0142"


@dataclass(frozen=True)
class Volunteer:
    """One person with one browser, at the site that serves at ``site``."""

    page: Page
    site: str

    def open(self, address: str) -> None:
        """Open a page, and see that nothing of it sticks out of the screen."""
        self.page.goto(address)
        self.fits()

    def fits(self) -> None:
        """Check that the page is not wider than the screen."""
        size = self.page.viewport_size
        assert size is not None
        width = self.page.evaluate("document.documentElement.scrollWidth")
        assert width <= size["width"], f"{self.page.url} is {width} px wide"

    def press(self, button: str) -> None:
        """Press a button."""
        self.page.get_by_role("button", name=button, exact=True).click()

    def heading(self, words: str) -> None:
        """Wait for a page with these words in its heading, and see that it fits the screen."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.fits()

    def says(self, words: str) -> None:
        """Wait for words on the page."""
        expect(self.page.get_by_text(words)).to_be_visible()

    def sign_up(self, day: int) -> None:
        """Go from the page of a day to the form, fill it, sign, send."""
        page = self.page
        self.open(f"{self.site}/days/{day}/")
        page.get_by_role("link", name="I want to come").click()
        page.get_by_label("Your name").fill(NAME)
        page.get_by_role("textbox", name=re.compile(r"^E-mail(?! of)")).fill(MAILBOX)
        page.get_by_role("textbox", name=re.compile("^Telephone")).fill(TELEPHONE)
        page.get_by_label("I am 18 or older").check()
        page.get_by_label("Whom do we call if something happens?").fill("Noor Thornton")
        page.get_by_label("Their telephone").fill("555-0143")
        page.get_by_label("I cannot lift").check()
        page.get_by_label("I have read this and I agree to it.").check()
        page.get_by_label("Your full name, typed, is your signature").fill(NAME)
        self.press("I want to come")
        self.heading("Now look in your mailbox")
