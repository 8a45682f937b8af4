"""The mail around a calendar message, read back by the standard library's parser."""

import email
import email.policy
from email.message import EmailMessage
from typing import Any

import pytest
from django.core import mail
from django.core.mail import BadHeaderError

from coordinator import ics
from coordinator.invite_mail import calendar_message
from tests.coordinator.ics.cases import make_invite, make_public_day

MESSAGE_ID = "<7b6f3c52.0.first@hollin.example>"
# More than 998 octets in one line, and characters beyond ASCII: what makes a mailer re-encode.
LONG = "Prière d'apporter des gants 🪦. " * 60


def make_mail(**overrides: Any) -> mail.EmailMessage:
    """Return an invitation by mail to Ana."""
    facts: dict[str, Any] = {
        "subject": "You have a place: cleaning day at Alder Hill",
        "text": "Saturday 9 May, 9:00. Say no: https://stones.example/me/abc/",
        "html": '<p>Saturday 9 May, 9:00. <a href="https://stones.example/me/abc/">Say no</a></p>',
        "sender": "Ruth Okafor <invites@hollin.example>",
        "to": "ana@mail.example",
        "headers": {"Message-ID": MESSAGE_ID},
        "ics": ics.request(make_invite(description=LONG)),
        "method": "REQUEST",
    }
    return calendar_message(**{**facts, **overrides})


def received(sent: mail.EmailMessage) -> EmailMessage:
    """Return the mail as a receiver parses it, after the trip through octets."""
    octets = sent.message().as_bytes()
    parsed = email.message_from_bytes(octets, policy=email.policy.default)
    assert isinstance(parsed, EmailMessage)
    return parsed


def test_the_calendar_is_the_best_alternative_and_an_attachment_too() -> None:
    """RFC 6047 section 2.4, RFC 2046 section 5.1.4 (the last alternative is the best)."""
    got = received(make_mail())
    assert [part.get_content_type() for part in got.walk()] == [
        "multipart/mixed",
        "multipart/alternative",
        "text/plain",
        "text/html",
        "text/calendar",
        "application/ics",
    ]


def calendar_parts(got: EmailMessage) -> list[EmailMessage]:
    """Return the parts that carry the calendar message."""
    kinds = ("text/calendar", "application/ics")
    return [
        part
        for part in got.walk()
        if isinstance(part, EmailMessage) and part.get_content_type() in kinds
    ]


@pytest.mark.parametrize("description", ["", "plain", LONG])
def test_both_parts_carry_the_same_octets_in_base64(description: str) -> None:
    """RFC 6047 section 2.5: nothing on the way may touch line ends or folds."""
    octets = ics.request(make_invite(description=description))
    parts = calendar_parts(received(make_mail(ics=octets)))
    assert [part.get_payload(decode=True) for part in parts] == [octets, octets]
    assert [part["Content-Transfer-Encoding"] for part in parts] == ["base64", "base64"]


def test_the_part_states_method_and_charset_and_no_disposition() -> None:
    """RFC 6047 sections 2.4 and 2.6."""
    part, attachment = calendar_parts(received(make_mail()))
    assert part.get_param("method") == "REQUEST"
    assert str(part.get_param("charset")).upper() == "UTF-8"
    assert part["Content-Type"].count("charset") == 1
    assert part["Content-Disposition"] is None
    assert part["Content-ID"] is None
    assert (attachment.get_content_disposition(), attachment.get_filename()) == (
        "attachment",
        "invite.ics",
    )


def test_it_is_from_the_organizer_to_one_mailbox() -> None:
    """RFC 6047 section 2.3: organizer and attendee are those of the calendar part."""
    got = received(make_mail(to="Ana Lopez <ana@mail.example>"))
    assert [found.addr_spec for found in got["From"].addresses] == ["invites@hollin.example"]
    assert [found.addr_spec for found in got["To"].addresses] == ["ana@mail.example"]
    assert got["Cc"] is None
    assert make_mail().recipients() == ["ana@mail.example"]


def test_names_and_international_domains_do_not_stand_in_the_way() -> None:
    octets = ics.request(make_invite(attendee_email="Ana@bücher.example"))
    got = received(make_mail(ics=octets, to='"Lopez, Ána" <ana@bücher.example>'))
    (found,) = got["To"].addresses
    assert (found.display_name, found.addr_spec) == ("Lopez, Ána", "ana@xn--bcher-kva.example")


def test_the_message_id_is_the_one_given_each_time_it_is_sent() -> None:
    """RFC 5322 section 3.6.4; a second try must be recognisable as the same message."""
    made = make_mail()
    assert received(made).get_all("Message-ID") == [MESSAGE_ID]
    assert received(made).get_all("Message-ID") == [MESSAGE_ID]


def test_a_later_message_points_to_the_first() -> None:
    """RFC 5322 section 3.6.4."""
    later = {
        "Message-ID": "<7b6f3c52.1.second@hollin.example>",
        "References": MESSAGE_ID,
        "In-Reply-To": MESSAGE_ID,
    }
    got = received(make_mail(headers=later))
    assert (got["References"], got["In-Reply-To"]) == (MESSAGE_ID, MESSAGE_ID)


def test_it_says_once_that_software_sent_it() -> None:
    """RFC 3834 section 5."""
    assert received(make_mail()).get_all("Auto-Submitted") == ["auto-generated"]
    answer = {"Message-ID": MESSAGE_ID, "auto-submitted": "auto-replied"}
    assert received(make_mail(headers=answer)).get_all("Auto-Submitted") == ["auto-replied"]


def test_a_cancellation_travels_the_same_way() -> None:
    octets = ics.cancel(make_invite(sequence=1), whole_day=True, reason="Storm")
    part, _ = calendar_parts(received(make_mail(ics=octets, method="CANCEL")))
    assert part.get_param("method") == "CANCEL"
    assert part.get_payload(decode=True) == octets


def test_it_arrives_through_the_mail_system_of_django() -> None:
    assert make_mail().send() == 1
    (arrived,) = mail.outbox
    assert arrived.extra_headers["Message-ID"] == MESSAGE_ID


@pytest.mark.parametrize(
    ("wrong", "reason"),
    [
        ({"method": "CANCEL"}, "METHOD is 'REQUEST'"),
        ({"sender": "ruth@hollin.example"}, "not the organizer"),
        ({"to": "ben@mail.example"}, "not the attendee"),
        ({"to": "ana@mail.example, ben@mail.example"}, "not one mailbox"),
        ({"to": "Lopez, Ana <ana@mail.example>"}, "not one mailbox"),
        ({"to": ""}, "not one mailbox|not an e-mail address"),
        ({"headers": {}}, "needs the Message-ID"),
        ({"headers": {"Message-ID": MESSAGE_ID, "Bcc": "x@mail.example"}}, "not to be set"),
        ({"ics": b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"}, "one event"),
        (
            {"ics": ics.published([make_public_day()], tzid="America/Detroit", year=2026)},
            "one event",
        ),
    ],
)
def test_a_mail_that_disagrees_with_its_calendar_is_refused(
    wrong: dict[str, Any], reason: str
) -> None:
    """RFC 6047 sections 2.2.1 to 2.4: careful readers ignore such messages."""
    with pytest.raises(ValueError, match=f"(?i){reason}"):
        make_mail(**wrong)


@pytest.mark.parametrize(
    "wrong",
    [
        {"subject": "Come\r\nBcc: eve@mail.example"},
        {"headers": {"Message-ID": "<a@b.example>\r\nBcc: eve@mail.example"}},
    ],
)
def test_a_line_break_in_a_header_is_refused(wrong: dict[str, Any]) -> None:
    """RFC 5322 section 2.2."""
    with pytest.raises(BadHeaderError):
        make_mail(**wrong).message()
