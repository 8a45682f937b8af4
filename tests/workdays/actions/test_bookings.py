"""From a host's request to the clinic, with each refusal beside what is allowed."""

import re
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

import pytest

from coordinator import links
from coordinator.models import Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.workdays.applications import request
from workdays.actions.bookings import (
    accept_booking,
    ask_for_clinic,
    confirm_booking,
    refuse_booking,
    withdraw_booking,
)
from workdays.actions.days import DayWishes, open_day
from workdays.models import Booking, Cemetery, Host, Workday
from workdays.queries.bookings import bookings_waiting
from workdays.rules.day_frame import DayFrame

pytestmark = pytest.mark.django_db
NOW = factories.NOW
TODAY = NOW.date()
CEMETERIES = Cemetery.objects.all


def ask(**overrides: Any) -> Booking:
    return ask_for_clinic(request(**overrides), today=TODAY)


def mailed_token(booking: Booking) -> str:
    text = SentMessage.objects.get(key=f"booking_confirm:{booking.pk}").text
    found = re.search(r"/clinics/confirm/([^/]+)/", text)
    assert found
    return found[1]


def confirmed(**overrides: Any) -> Booking:
    return confirm_booking(mailed_token(ask(**overrides)), now=NOW)


def day_wishes(cemetery: Cemetery) -> DayWishes:
    frame = DayFrame(
        on=date(2026, 6, 13),
        starts=time(9),
        ends=time(15),
        zone=cemetery.zone,
        is_clinic=True,
        teaches="cleaning",
    )
    return DayWishes(
        cemetery, frame, meeting_point="At the gate", teaches=factories.skill("cleaning")
    )


def accept(booking: Booking, *, open_now: bool = False, by: Person | None = None) -> Workday:
    cemetery = factories.make_cemetery()
    return accept_booking(
        booking.pk,
        day_wishes(cemetery),
        open_now=open_now,
        by=by or factories.make_staff(),
        now=NOW,
    )


def keys() -> set[str]:
    return {key.split(":")[0] for key in SentMessage.objects.values_list("key", flat=True)}


def test_a_request_is_seen_only_once_the_mailed_link_was_answered() -> None:
    factories.make_staff()
    booking = ask()
    assert not bookings_waiting(CEMETERIES()).exists()
    assert keys() == {"booking_confirm"}
    confirm_booking(mailed_token(booking), now=NOW)
    assert bookings_waiting(CEMETERIES()).get() == booking
    assert keys() == {"booking_confirm", "booking_received", "booking_waiting"}


def test_the_mailed_link_works_once_and_not_when_altered() -> None:
    token = mailed_token(ask())
    confirm_booking(token, now=NOW)
    with pytest.raises(links.Dead) as dead:
        confirm_booking(token, now=NOW)
    assert dead.value.why == "used"
    with pytest.raises(links.Dead) as dead:
        confirm_booking(token[:-1] + "x", now=NOW)
    assert dead.value.why == "altered"


def test_the_first_mail_holds_no_standing_link() -> None:
    booking = ask()
    first = SentMessage.objects.get(key=f"booking_confirm:{booking.pk}")
    assert booking.host.secret not in first.text + first.html


def test_a_known_host_keeps_one_page_and_a_stranger_cannot_reach_it() -> None:
    first = confirmed()
    again = ask(wished_on=date(2026, 7, 4), contact_name="Bo Contact")
    assert again.host_id != first.host_id
    joined = confirm_booking(mailed_token(again), now=NOW)
    assert joined.host_id == first.host_id
    assert Host.objects.get().contact_name == "Bo Contact"


def test_another_society_with_the_same_mailbox_keeps_its_own_page() -> None:
    assert confirmed().host_id != confirmed(name="North Ridge Church").host_id


def test_a_bad_request_leaves_nothing() -> None:
    with pytest.raises(Refused):
        ask(wished_on=TODAY)
    assert not Host.objects.exists()
    assert not SentMessage.objects.exists()


def test_organisers_of_other_cemeteries_are_not_told() -> None:
    here, elsewhere = factories.make_cemetery(), factories.make_cemetery()
    told = factories.make_staff(cemetery=here)
    factories.make_staff(cemetery=elsewhere)
    factories.make_staff(role="supervisor", cemetery=here)
    everywhere = factories.make_staff()
    confirmed(cemetery=here, place="")
    letters = SentMessage.objects.filter(reason="booking_waiting")
    assert {letter.person_id for letter in letters} == {told.pk, everywhere.pk}


def test_accepting_makes_the_clinic_and_tells_the_host() -> None:
    booking = confirmed()
    day = accept(booking)
    booking.refresh_from_db()
    assert (booking.state, booking.day) == (Booking.State.ACCEPTED, day)
    assert (day.purpose, day.state) == (Workday.Purpose.CLINIC, Workday.State.DRAFT)
    letter = SentMessage.objects.get(reason="booking_accepted")
    assert letter.to_address == "ada@hosts.example"
    assert "Saturday 13 June, 9:00 to 15:00" in letter.text
    assert "not open for sign-up yet" in letter.text


def test_a_clinic_that_cannot_open_is_not_made_at_all() -> None:
    booking = confirmed()
    with pytest.raises(Refused) as refused:
        accept(booking, open_now=True)
    assert {r.code for r in refused.value.refusals} == {"no_permission", "no_waiver"}
    booking.refresh_from_db()
    assert booking.state == Booking.State.ASKED
    assert not Workday.objects.exists()


def test_a_workday_is_no_answer_to_a_host() -> None:
    booking = confirmed()
    asked = day_wishes(factories.make_cemetery())
    asked = replace(asked, frame=replace(asked.frame, is_clinic=False))
    with pytest.raises(Refused) as refused:
        accept_booking(booking.pk, asked, open_now=False, by=factories.make_staff(), now=NOW)
    assert refused.value.refusals[0].code == "not_a_clinic"


def test_a_request_without_a_yes_is_not_answered() -> None:
    with pytest.raises(Refused) as refused:
        accept(ask())
    assert refused.value.refusals[0].code == "not_confirmed"


def test_saying_no_sends_the_words_and_is_final() -> None:
    booking = confirmed()
    refuse_booking(booking.pk, "The yard has no leave.", by=factories.make_staff(), now=NOW)
    assert "The yard has no leave." in SentMessage.objects.get(reason="booking_refused").text
    with pytest.raises(Refused):
        accept(booking)


def test_a_host_takes_back_and_organisers_know() -> None:
    factories.make_staff()
    booking = confirmed()
    day = accept(booking)
    with pytest.raises(Refused):
        withdraw_booking(booking.pk, now=day.starts_at)
    withdraw_booking(booking.pk, now=NOW)
    booking.refresh_from_db()
    assert booking.state == Booking.State.WITHDRAWN
    letters = SentMessage.objects.filter(reason="booking_withdrawn")
    assert all("stands until you call it off" in letter.text for letter in letters)
    assert letters.exists()
    with pytest.raises(Refused):
        withdraw_booking(booking.pk, now=NOW)


def test_the_first_mail_holds_no_word_that_a_stranger_typed() -> None:
    booking = ask(name="Buy Now Society", contact_name="Mallory", place="Hole", words="Spam")
    first = SentMessage.objects.get(key=f"booking_confirm:{booking.pk}")
    written = first.subject + first.text + first.html
    assert not any(word in written for word in ("Buy Now", "Mallory", "Hole", "Spam"))


def test_hostile_words_reach_later_mails_escaped_and_whole() -> None:
    factories.make_staff()
    confirmed(name="<b>Society</b>", contact_name='"; DROP')
    received = SentMessage.objects.get(reason="booking_received")
    assert '"; DROP' in received.text
    waiting = SentMessage.objects.get(reason="booking_waiting")
    assert "<b>Society</b>" in waiting.text
    assert "<b>Society</b>" not in waiting.html


def test_opening_the_clinic_later_tells_the_host() -> None:
    day = accept(confirmed())
    factories.make_permission(day.cemetery)
    factories.make_waiver()
    open_day(day.pk, by=factories.make_staff(), now=NOW)
    assert f"/days/{day.pk}/" in SentMessage.objects.get(reason="booking_opened").text


def test_moments_of_answers_are_kept() -> None:
    booking = confirmed()
    by = factories.make_staff()
    refuse_booking(booking.pk, "No.", by=by, now=NOW)
    booking.refresh_from_db()
    assert (booking.answered_by, booking.answered_at) == (by, NOW)
    assert isinstance(booking.answered_at, datetime)
