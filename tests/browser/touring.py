"""One served site for all tours of a run: real web server, worker and mail server on files.

Each tour begins with a place, a text to sign, a day and people of its own.
"""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from subprocess import PIPE, Popen
from typing import Any

from playwright.sync_api import Page

from tests.browser.mailbox import Mailbox
from tests.browser.volunteer import Volunteer
from tests.service.receiver import Receiver
from tests.service.stack import ROOT, Stack

CLERK = Path(__file__).parent / "scripts" / "clerk.py"


@dataclass(frozen=True)
class Town:
    """The site, the clerk who knows what it has stored, and the mail server that it sends to."""

    site: Stack
    clerk: Popen[str]
    receiver: Receiver

    def begin(self, tour: str) -> dict[str, Any]:
        """Put what one tour needs into the site; return what the tour must know of it."""
        return self._ask("begin", tour)

    def stored(self, day: int) -> dict[str, Any]:
        """Return what the site has stored of a day."""
        return self._ask("stored", day)

    def let_pass(self, day: int) -> None:
        """Let the cut-off of a day pass."""
        self._ask("let_pass", day)

    def _ask(self, *words: str | int) -> dict[str, Any]:
        assert self.clerk.stdin
        assert self.clerk.stdout
        self.clerk.stdin.write(f"{json.dumps(words)}\n")
        self.clerk.stdin.flush()
        line = self.clerk.stdout.readline()
        assert line, "the clerk has ended: the output of the test says why"
        told: dict[str, Any] = json.loads(line)
        return told

    def mail(self, address: str) -> Mailbox:
        """Return a mailbox at the mail server."""
        return Mailbox(self.receiver, address)


@contextmanager
def clerk_of(site: Stack) -> Iterator[Popen[str]]:
    """Run the clerk beside a site: one process for all, because each start takes seconds."""
    words = [sys.executable, str(CLERK)]
    with Popen(words, env=site.env, cwd=ROOT, stdin=PIPE, stdout=PIPE, text=True) as clerk:  # noqa: S603  # a script of the tests' own
        yield clerk
        assert clerk.stdin
        clerk.stdin.close()


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
