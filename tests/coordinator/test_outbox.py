"""The outbox: one row per key, claimed before it is sent, in order within a thread."""

import smtplib
from datetime import timedelta
from unittest.mock import patch

import pytest
from django.core import mail as django_mail
from django.core.mail.backends.locmem import EmailBackend

from coordinator import mail, outbox
from coordinator.models import SentMessage
from tests.factories import NOW

pytestmark = pytest.mark.django_db


def letter(**overrides: object) -> outbox.Letter:
    values: dict[str, object] = {
        "reason": "test",
        "to_address": "kim@volunteers.example",
        "subject": "A day",
        "text": "You are coming.",
        "html": "<p>You are coming.</p>",
    }
    return outbox.Letter(**(values | overrides))  # type: ignore[arg-type]


def test_the_same_key_queues_once() -> None:
    first = outbox.queue(letter(), key="a")
    again = outbox.queue(letter(subject="Other"), key="a")
    assert first.pk == again.pk
    assert SentMessage.objects.count() == 1


def test_a_message_leaves_once_with_its_own_message_id() -> None:
    row = outbox.queue(letter(), key="a")
    assert mail.deliver(row.pk, now=NOW)
    assert not mail.deliver(row.pk, now=NOW)
    [sent] = django_mail.outbox
    assert sent.extra_headers["Message-ID"] == row.message_id


def test_a_lapsed_claim_is_taken_up_again_with_the_same_message_id() -> None:
    row = outbox.queue(letter(), key="a")
    assert mail.claim(row.pk, NOW) is not None
    assert not mail.deliver(row.pk, now=NOW + timedelta(minutes=9))
    assert mail.deliver(row.pk, now=NOW + timedelta(minutes=11))
    assert django_mail.outbox[0].extra_headers["Message-ID"] == row.message_id


def test_a_later_message_of_a_thread_does_not_overtake() -> None:
    first = outbox.queue(letter(thread="invite:1"), key="a")
    second = outbox.queue(letter(thread="invite:1"), key="b")
    assert not mail.deliver(second.pk, now=NOW)
    assert mail.deliver(first.pk, now=NOW)
    assert mail.next_in_thread(first.pk) == second.pk
    assert mail.deliver(second.pk, now=NOW)


def refuse_with(code: int) -> object:
    problem = smtplib.SMTPResponseException(code, b"no")
    return patch.object(EmailBackend, "send_messages", side_effect=problem)


def test_a_receiver_that_says_later_is_asked_again_later() -> None:
    row = outbox.queue(letter(), key="a")
    with refuse_with(451):  # type: ignore[attr-defined]
        assert not mail.deliver(row.pk, now=NOW)
    row.refresh_from_db()
    assert row.state == SentMessage.State.QUEUED
    assert row.not_before == NOW + timedelta(minutes=2)
    assert not mail.deliver(row.pk, now=NOW + timedelta(minutes=1))
    assert mail.deliver(row.pk, now=NOW + timedelta(minutes=3))


def test_a_receiver_that_says_never_is_not_asked_again() -> None:
    row = outbox.queue(letter(), key="a")
    with refuse_with(550):  # type: ignore[attr-defined]
        mail.deliver(row.pk, now=NOW)
    row.refresh_from_db()
    assert row.state == SentMessage.State.FAILED
    assert not mail.deliver(row.pk, now=NOW + timedelta(days=1))
