"""What somebody does who stands at a stone with a phone."""

import re
from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

from tests.browser.judge import assert_fits


@dataclass(frozen=True)
class Surveyor:
    """One person with one browser, at the site that serves at ``site``."""

    page: Page
    site: str

    def log_in(self, door: str) -> None:
        """Open a link that signs in, press its button."""
        self.page.goto(door)
        self.page.locator("main").get_by_role("button", name="Sign in").click()
        expect(self.page).to_have_url(f"{self.site}/week/")

    def open(self, path: str) -> None:
        """Open a page of the site, and see that nothing of it sticks out of the screen."""
        self.page.goto(f"{self.site}{path}")
        self.fits()

    def fits(self) -> None:
        """Check that the page is not wider than the screen."""
        assert_fits(self.page)

    def heading(self, words: str | re.Pattern[str]) -> None:
        """Wait for a page with these words in its heading, and see that it fits the screen."""
        expect(self.page.get_by_role("heading", level=1)).to_contain_text(words)
        self.fits()

    def follow(self, link: str) -> None:
        """Tap a link of the page's own part."""
        self.page.locator("main").get_by_role("link", name=link, exact=True).first.click()

    def press(self, button: str) -> None:
        """Press a button of the page's own part."""
        self.page.locator("main").get_by_role("button", name=button, exact=True).click()

    def says(self, words: str | re.Pattern[str]) -> None:
        """Wait for words on the page."""
        expect(self.page.locator("main")).to_contain_text(words)

    def drawn(self, number: str) -> Locator:
        """Return a stone as it is drawn on the plan of its cemetery."""
        return self.page.locator("figure.plan svg a", has=self.page.locator("title")).filter(
            has_text=re.compile(rf"\b{re.escape(number)}\b")
        )

    def stands(self, job: str) -> str:
        """Return whether a job of the list is ready, in the word of the page."""
        name = self.page.locator("th[scope=row]", has_text=job)
        return self.page.locator("tr", has=name).locator(".mark").last.inner_text()

    def look_at_it(self, picture: bytes) -> None:
        """Fill in what is seen at a tablet that leans to the front, with a picture."""
        page = self.page
        self.follow("Look at it now")
        page.get_by_label("solid ring").check()
        page.get_by_label("Lean in degrees").fill("12")
        page.get_by_label("to the front or back").check()
        page.get_by_label("Height above ground").fill("2 ft 5 in")
        page.get_by_label("Pieces you can see").fill("1")
        file = {"name": "c3.png", "mimeType": "image/png", "buffer": picture}
        page.get_by_label("Pictures", exact=True).set_input_files(file)  # type: ignore[arg-type]  # a payload is a typed dict
        self.press("Keep this look")
