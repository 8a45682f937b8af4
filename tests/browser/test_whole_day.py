"""One whole day at the served site, from the first sign-up to the notice that calls it off.

Real web server, real worker, real mail server; once on files alone, once on PostgreSQL and Redis.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage
from pathlib import Path

import pytest

from tests.browser import organiser, storm, volunteer
from tests.browser.conftest import DESK, PHONE, NewContext
from tests.browser.mailbox import Mailbox, calendar_of, entry_in, links_in, text_of
from tests.browser.organiser import Organiser
from tests.browser.volunteer import Volunteer
from tests.readers.seen import SeenEvent
from tests.service.receiver import Receiver
from tests.service.stack import Stack

SEED = Path(__file__).parent / "scripts" / "seed_whole_day.py"


@dataclass(frozen=True)
class Scene:
    """Who acts on which day, and the mailboxes that are watched."""

    day: int
    starts_at: datetime
    maya: Volunteer
    ruth: Organiser
    maya_mail: Mailbox
    theo_mail: Mailbox


@pytest.fixture
def scene(
    request: pytest.FixtureRequest, stack: Stack, receiver: Receiver, new_context: NewContext
) -> Scene:
    """Serve a site with one day on it; give the people with their browsers."""
    seeded = stack.python(SEED)
    stack.start_worker()
    stack.start_web()
    phone = new_context(viewport=PHONE, java_script_enabled=request.param)
    desk = new_context(viewport=DESK)
    return Scene(
        day=seeded["day"],
        starts_at=datetime.fromisoformat(seeded["starts_at"]).astimezone(UTC),
        maya=Volunteer(phone.new_page(), stack.url),
        ruth=Organiser(desk.new_page(), stack.url, Mailbox(receiver, organiser.MAILBOX)),
        maya_mail=Mailbox(receiver, volunteer.MAILBOX),
        theo_mail=Mailbox(receiver, "theo@volunteers.example"),
    )


@pytest.mark.parametrize(
    ("stack", "scene"),
    [("embedded", True), ("servers", True), ("embedded", False)],
    ids=["files", "servers", "files, volunteer without JavaScript"],
    indirect=True,
)
def test_one_whole_day(scene: Scene) -> None:
    sign_up(scene)
    invited = confirm(scene)
    plan_and_publish(scene, invited)
    notice = call_off(scene, invited)
    say_seen(scene, notice)
    assert scene.maya_mail.nothing_more()
    assert scene.theo_mail.nothing_more()


def sign_up(scene: Scene) -> None:
    scene.maya.sign_up(scene.day)


def confirm(scene: Scene) -> SeenEvent:
    """Say yes by the first mail, which holds the link only; return the entry that follows."""
    (first,) = scene.maya_mail.next()
    assert volunteer.NAME not in first.as_string()
    assert calendar_of(first) is None
    (link,) = links_in(first)
    scene.maya.open(link)
    scene.maya.press("Yes, I am coming")
    scene.maya.heading("You're coming: ")
    copy, invitation = scene.maya_mail.next(2)
    assert "I do as the lead says." in text_of(copy)
    assert f"Signed: {volunteer.NAME}" in text_of(copy)
    invited = entry_in(invitation, "REQUEST")
    assert invited.start_utc == scene.starts_at.strftime("%Y%m%dT%H%M%SZ")
    assert invited.attendee_email == volunteer.MAILBOX
    assert (invited.partstat, invited.status) == ("ACCEPTED", "CONFIRMED")
    return invited


def plan_and_publish(scene: Scene, invited: SeenEvent) -> None:
    """Make the plan; its crew comes by mail, on the own page, and into the calendar entry."""
    scene.ruth.log_in()
    scene.ruth.plan(scene.day)
    scene.ruth.publish()
    crew, renewed = scene.maya_mail.next(2)
    assert "Your crew on" in crew["Subject"]
    scene.maya.open(links_in(crew)[0])
    scene.maya.says("Please mind")
    again = entry_in(renewed, "REQUEST")
    assert (again.uid, again.sequence) == (invited.uid, invited.sequence), "only words are new"
    assert "led by" in again.description


def call_off(scene: Scene, invited: SeenEvent) -> EmailMessage:
    """Enter the storm, call the day off, read the CANCEL; return the notice.

    RFC 5546, 3.2.5 and 2.1.4: the same UID, a higher SEQUENCE. Who never had an entry gets none.
    """
    storm_file = storm.forecast(scene.starts_at, scene.starts_at + timedelta(hours=6))
    scene.ruth.enter_forecast(scene.day, storm_file)
    scene.ruth.call_off(scene.day, told=4)
    notice, cancellation = scene.maya_mail.next(2)
    cancelled = entry_in(cancellation, "CANCEL")
    assert (cancelled.uid, cancelled.status) == (invited.uid, "CANCELLED")
    assert (cancelled.sequence or 0) > (invited.sequence or 0)
    assert calendar_of(notice) is None
    assert organiser.REASON in text_of(notice)
    (told,) = scene.theo_mail.next()
    assert calendar_of(told) is None
    return notice


def say_seen(scene: Scene, notice: EmailMessage) -> None:
    scene.maya.open(links_in(notice)[0])
    scene.maya.press("I have seen this")
    scene.maya.says("Thank you: we know that you have seen this.")
    scene.ruth.counts(scene.day, seen=1, told=4)
    assert scene.ruth.still_to_ring() == [
        "Ben Lindqvist coming",
        "Dana Whitlock coming",
        "Theo Brandt offered a place",
    ]
