"""Sign up: a place or the list, one mail with a link alone, a signature not yet valid."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_sign_up,
    make_waiver,
    rewrite_waivers,
    skill,
)
from tests.workdays.applications import application, last_mail
from workdays.actions.sign_ups import sign_up
from workdays.models import Party, Signature, SignUp, Waiver, Workday

pytestmark = pytest.mark.django_db
State = SignUp.State


@pytest.fixture
def waiver() -> Waiver:
    return make_waiver()


@pytest.fixture
def day(waiver: Waiver) -> Workday:
    return make_day(make_cemetery(name="Alder Hill"), capacity=2)


def codes(day: Workday, now: datetime = NOW, **overrides: object) -> list[str]:
    with pytest.raises(Refused) as caught:
        sign_up(day.pk, application(**overrides), now=now)
    return [refusal.code for refusal in caught.value.refusals]


def test_a_stranger_holds_a_place_and_has_signed_nothing_valid_yet(
    day: Workday, waiver: Waiver
) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    row.refresh_from_db()
    assert row.state == State.UNCONFIRMED
    assert row.held_until == NOW + timedelta(hours=24)
    assert row.person.is_provisional
    assert row.person.telephone == "555-0142"
    assert row.experience == {"cleaning": "some"}
    signature = Signature.objects.get()
    assert signature.confirmed_at is None
    assert signature.text == waiver.text
    assert signature.text_sha256 == waiver.text_sha256
    assert (signature.version, signature.typed_name) == (waiver.version, "Ana Costa")
    assert signature.signed_at == NOW
    assert signature.valid_until is not None
    assert signature.valid_until.isoformat() == "2026-12-31"


def test_what_is_stored_fits_its_columns(day: Workday) -> None:
    """SQLite takes longer words than a column allows; PostgreSQL does not."""
    long = application(name="N" * 120, typed_name="N" * 120, email=f"{'e' * 242}@x.example")
    row = sign_up(day.pk, replace(long, wishes=replace(long.wishes, words="w" * 500)), now=NOW)
    for thing in (row, row.person, Signature.objects.get(), SentMessage.objects.get()):
        thing.clean_fields()
    AuditEntry.objects.get().clean_fields(exclude=["rule"])


def test_the_first_mail_holds_a_link_and_no_word_of_the_visitor(day: Workday) -> None:
    hostile = application(name="Ana <b>Costa</b>", typed_name="Ana <b>Costa</b>")
    hostile = replace(hostile, wishes=replace(hostile.wishes, words="buy gold at x.example"))
    sign_up(day.pk, hostile, now=NOW)
    mail = SentMessage.objects.get()
    assert mail.to_address == "ana@hollin.example"
    assert "/confirm/" in mail.text
    assert "/confirm/" in mail.html
    assert "Saturday 9 May at Alder Hill" in mail.text
    for part in (mail.subject, mail.text, mail.html):
        assert "Ana" not in part
        assert "gold" not in part
    assert mail.calendar is None


def test_who_signed_up_is_written_down_without_a_name(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.thing_type, entry.thing_id) == ("signed up", "signup", str(row.pk))
    assert entry.actor == row.person
    assert entry.detail == {"day": day.pk, "state": "unconfirmed", "adult_age": 18}


def test_a_place_is_not_held_past_the_cut_off(day: Workday) -> None:
    now = day.cut_off_at - timedelta(hours=2)
    assert sign_up(day.pk, application(), now=now).held_until == day.cut_off_at


def test_the_same_mailbox_is_never_taken_for_the_same_person(day: Workday) -> None:
    first = sign_up(day.pk, application(), now=NOW)
    second = sign_up(day.pk, application(name="Li Costa", typed_name="Li Costa"), now=NOW)
    assert first.person_id != second.person_id
    assert Person.objects.filter(email="ana@hollin.example").count() == 2


def test_a_full_day_has_a_waiting_list(day: Workday) -> None:
    make_sign_up(day)
    sign_up(day.pk, application(), now=NOW)
    third = sign_up(day.pk, application(email="li@hollin.example"), now=NOW)
    assert third.state == State.WAITING
    assert third.held_until == NOW + timedelta(hours=24)
    assert "waiting list" in last_mail().text


def test_places_reserved_for_a_party_are_taken(day: Workday) -> None:
    Party.objects.create(day=day, name="Scouts", reserved=2)
    assert sign_up(day.pk, application(), now=NOW).state == State.WAITING


def test_a_place_whose_moment_is_over_is_free_again(day: Workday) -> None:
    make_sign_up(day)
    make_sign_up(day, state=State.UNCONFIRMED, held_until=NOW)
    assert sign_up(day.pk, application(), now=NOW).state == State.UNCONFIRMED


def test_strangers_on_the_waiting_list_keep_nobody_out(day: Workday) -> None:
    stranger = sign_up(day.pk, application(), now=NOW).person
    SignUp.objects.filter(person=stranger).update(state=State.WAITING)
    other = sign_up(day.pk, application(email="li@hollin.example"), now=NOW)
    assert other.state == State.UNCONFIRMED


def test_somebody_confirmed_on_the_waiting_list_goes_first(day: Workday) -> None:
    make_sign_up(day, state=State.WAITING)
    assert sign_up(day.pk, application(), now=NOW).state == State.WAITING


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"state": Workday.State.DRAFT}, "not-open"),
        ({"state": Workday.State.CALLED_OFF}, "called-off"),
        ({"state": Workday.State.CLOSED}, "past"),
        ({"cut_off_at": NOW}, "cut-off"),
        ({"starts_at": NOW - timedelta(hours=1)}, "past"),
    ],
)
def test_a_day_that_takes_nobody_says_why(
    day: Workday, change: dict[str, object], code: str
) -> None:
    Workday.objects.filter(pk=day.pk).update(**change)
    assert codes(day) == [code]
    assert not Person.objects.exists()
    assert not SentMessage.objects.exists()


def test_a_minor_and_another_text_are_refused_together(day: Workday) -> None:
    assert codes(day, is_adult=False, text_sha256="0" * 64) == ["minor", "waiver"]


def test_without_a_waiver_nobody_signs_up(day: Workday) -> None:
    rewrite_waivers(published_at=None)
    assert codes(day) == ["no-waiver"]


def test_the_waiver_of_the_cemetery_goes_before_the_general_one(day: Workday) -> None:
    own = make_waiver(cemetery=day.cemetery, text="Mind the quarry.")
    make_waiver(text="A newer general text.")
    sign_up(day.pk, application(text_sha256=own.text_sha256), now=NOW)
    assert Signature.objects.get().text == "Mind the quarry."


@pytest.mark.parametrize(
    ("validity", "until"), [("day", "2026-05-09"), ("season", "2026-12-31"), ("version", "None")]
)
def test_a_signature_holds_as_long_as_its_waiver_says(
    day: Workday, waiver: Waiver, validity: str, until: str
) -> None:
    rewrite_waivers(validity=validity)
    sign_up(day.pk, application(), now=NOW)
    assert str(Signature.objects.get().valid_until) == until


def test_a_person_who_comes_by_the_own_link_is_sure_at_once(day: Workday) -> None:
    known = sign_up(day.pk, application(), now=NOW).person
    known.confirmed_at = NOW
    known.save()
    other = make_day(day.cemetery, starts_at=day.starts_at + timedelta(days=7))
    row = sign_up(other.pk, application(), now=NOW, person=known)
    assert (row.state, row.held_until, row.person) == (State.COMING, None, known)
    assert Signature.objects.filter(person=known, confirmed_at=NOW).count() == 2
    assert SentMessage.objects.filter(calendar_method="REQUEST").count() == 1


def test_nobody_signs_up_twice_for_a_day(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    with pytest.raises(Refused, match="already"):
        sign_up(day.pk, application(), now=NOW, person=row.person)
    row.state = State.WITHDRAWN
    row.save()
    assert sign_up(day.pk, application(), now=NOW, person=row.person).state == State.COMING


def test_wishes_are_kept(day: Workday) -> None:
    wishes = replace(
        application().wishes,
        wishes_id=skill("resetting").pk,
        cannot_lift=True,
        languages=["es"],
        comes_at=datetime(2026, 5, 9, 14, 0, tzinfo=UTC),
        words="back trouble",
    )
    row = sign_up(day.pk, replace(application(), wishes=wishes), now=NOW)
    row.refresh_from_db()
    assert row.wishes == skill("resetting")
    assert (row.cannot_lift, row.languages, row.words) == (True, ["es"], "back trouble")
    assert row.comes_at == datetime(2026, 5, 9, 14, 0, tzinfo=UTC)
