"""One whole day at the served site, from the first sign-up to the notice that calls it off.

Real web server, real worker, real mail server; once on files alone, once on PostgreSQL and Redis.
"""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext

from tests.browser import organiser, volunteer
from tests.browser.conftest import DESK, PHONE, NewContext
from tests.browser.mailbox import Mailbox, calendar_of, entry_in, links_in, text_of
from tests.browser.organiser import Organiser
from tests.browser.volunteer import Volunteer
from tests.service.receiver import Receiver
from tests.service.stack import Stack

SEED = Path(__file__).parent / "scripts" / "seed_whole_day.py"


@pytest.mark.parametrize(
    ("stack", "scripts"),
    [("embedded", True), ("servers", True), ("embedded", False)],
    ids=["embedded", "servers", "volunteer without JavaScript"],
    indirect=["stack"],
)
def test_one_whole_day(
    stack: Stack, receiver: Receiver, new_context: NewContext, scripts: bool
) -> None:
    seeded = stack.python(SEED)
    day, starts_at = seeded["day"], datetime.fromisoformat(seeded["starts_at"]).astimezone(UTC)
    stack.start_worker()
    stack.start_web()
    phone: BrowserContext = new_context(viewport=PHONE, java_script_enabled=scripts)
    maya = Volunteer(phone.new_page())
    maya_mail = Mailbox(receiver, volunteer.MAILBOX)
    ben_mail = Mailbox(receiver, "ben@hollin.example")
    ruth = Organiser(
        new_context(viewport=DESK).new_page(), stack.url, Mailbox(receiver, organiser.MAILBOX)
    )

    maya.sign_up(f"{stack.url}/days/{day}/")
    (first,) = maya_mail.next()
    assert volunteer.NAME not in first.as_string()
    assert calendar_of(first) is None
    (confirm,) = links_in(first)
    maya.open(confirm)
    maya.press("Yes, I am coming")
    maya.heading("You're coming: ")

    copy, invitation = maya_mail.next(2)
    assert "I do as the lead says." in text_of(copy)
    assert f"Signed: {volunteer.NAME}" in text_of(copy)
    invited = entry_in(invitation, "REQUEST")
    assert invited.start_utc == starts_at.strftime("%Y%m%dT%H%M%SZ")
    assert (invited.attendee_email, invited.partstat) == (volunteer.MAILBOX, "ACCEPTED")

    ruth.log_in()
    ruth.plan(day)
    ruth.publish()
    (crew,) = maya_mail.next()
    assert "Your crew on" in crew["Subject"]
    maya.open(links_in(crew)[0])
    ben_mail.next()
