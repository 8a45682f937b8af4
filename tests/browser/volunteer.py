"""What a volunteer does, on a phone."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.judge import assert_fits
from workdays.rules.parties import code

NAME = "Maya Thornton"
MAILBOX = "maya@volunteers.example"
TELEPHONE = "555-0142"
NAMES = ("name", "email", "born_on", "relation", "signs", "agrees")


def _look(page: Page) -> None:
    """See nothing but what the tour itself asks for."""


@dataclass(frozen=True)
class Volunteer:
    """One person with one browser, at the site that serves at ``site``.

    ``look`` judges each page whose heading is waited for.
    """

    page: Page
    site: str
    name: str = NAME
    mailbox: str = MAILBOX
    look: Callable[[Page], None] = _look

    def open(self, address: str) -> None:
        """Open a page, and see that nothing of it sticks out of the screen."""
        self.page.goto(address)
        self.fits()

    def fits(self) -> None:
        """Check that the page is not wider than the screen."""
        assert_fits(self.page)

    def press(self, button: str) -> None:
        """Press a button."""
        self.page.get_by_role("button", name=button, exact=True).click()

    def follow(self, link: str) -> None:
        """Tap a link of the page's own part."""
        self.page.locator("main").get_by_role("link", name=link).first.click()

    def heading(self, words: str | re.Pattern[str]) -> None:
        """Wait for a page with these words in its heading, see that it fits, look at it."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.fits()
        self.look(self.page)

    def says(self, words: str) -> None:
        """Wait for words on the page."""
        expect(self.page.get_by_text(words)).to_be_visible()

    def sign_up(self, day: int) -> None:
        """Go from the page of a day to the form, fill it, sign, send."""
        self.open(f"{self.site}/days/{day}/")
        self.page.get_by_role("link", name="I want to come").click()
        self.fill_in()
        self.page.get_by_label("I cannot lift").check()
        self.sign()
        self.press("I want to come")
        self.heading("Now look in your mailbox")

    def fill_in(self) -> None:
        """Say who one is and whom to call."""
        page = self.page
        page.get_by_label("Your name").fill(self.name)
        page.get_by_role("textbox", name=re.compile(r"^E-mail(?! of)")).fill(self.mailbox)
        self.fill_in_contact()

    def fill_in_contact(self) -> None:
        """Say how one is reached, that one is an adult, and whom to call."""
        page = self.page
        page.get_by_role("textbox", name=re.compile("^Telephone")).fill(TELEPHONE)
        page.get_by_label("I am 18 or older").check()
        page.get_by_label("Whom do we call if something happens?").fill("Noor Thornton")
        page.get_by_label("Their telephone").fill("555-0143")

    def sign(self) -> None:
        """Say yes to the waiver and type the name under it."""
        self.page.get_by_label("I have read this and I agree to it.").check()
        self.page.get_by_label("Your full name, typed, is your signature").fill(self.name)

    def bring(self, line: int, name: str, **said: str) -> None:
        """Name somebody who comes along: an adult by ``email``, a child by ``born_on``."""
        fields = {field: self.page.locator(f"[name={code(field, line)}]") for field in NAMES}
        if not fields["name"].is_visible():
            words = "Somebody comes with me" if line == 1 else "And one more"
            self.page.get_by_text(words, exact=True).nth(max(0, line - 2)).click()
        fields["name"].fill(name)
        if "born_on" in said:
            said = {"relation": "mother", **said}
            fields["signs"].check()
            fields["agrees"].check()
        for field, words in said.items():
            fields[field].fill(words)
