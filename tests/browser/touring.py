"""One served site for all tours of a run: real web server, worker and mail server on files.

Each tour begins with a place, a text to sign, a day and people of its own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from tests.browser.mailbox import Mailbox
from tests.browser.volunteer import Volunteer
from tests.service.receiver import Receiver
from tests.service.stack import Stack

SCRIPTS = Path(__file__).parent / "scripts"


@dataclass(frozen=True)
class Town:
    """The site, and the mail server that it sends to."""

    site: Stack
    receiver: Receiver

    def begin(self, tour: str) -> dict[str, Any]:
        """Put what one tour needs into the site; return what ``scripts/seed_tour.py`` says."""
        told: dict[str, Any] = self.site.python(SCRIPTS / "seed_tour.py", tour)
        return told

    def stored(self, day: int) -> dict[str, Any]:
        """Return what the site has stored of a day, as ``scripts/stored.py`` says it."""
        told: dict[str, Any] = self.site.python(SCRIPTS / "stored.py", str(day))
        return told

    def let_pass(self, day: int) -> None:
        """Let the cut-off of a day pass."""
        self.site.python(SCRIPTS / "let_pass.py", str(day))

    def mail(self, address: str) -> Mailbox:
        """Return a mailbox at the mail server."""
        return Mailbox(self.receiver, address)


@dataclass(frozen=True)
class Phones:
    """Gives each person of a tour a telephone, all with JavaScript or all without."""

    town: Town
    new_page: Callable[[], Page]
    look: Callable[[Page], None]

    def of(self, name: str, day: int) -> Volunteer:
        """Return somebody with a phone; the number of the day makes the mailbox one of its own."""
        mailbox = f"{name.split()[0].lower()}.{day}@volunteers.example"
        return Volunteer(self.new_page(), self.town.site.url, name, mailbox, self.look)
