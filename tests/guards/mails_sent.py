"""Each mail as the product writes it, called for by what people do: template name, its messages."""

from collections.abc import Callable, Iterable
from datetime import timedelta
from uuid import UUID

from coordinator.adapter import StaffAdapter
from coordinator.log_ins.actions import NewPasskey, add_passkey, remove_passkey
from coordinator.models import Person, SentMessage
from tests import factories
from tests.factories import NOW
from tests.workdays.actions import test_bookings as hosts
from tests.workdays.applications import application
from tests.workdays.test_drafting import workable_day
from workdays import drafting, invites
from workdays.actions import groups, seats
from workdays.actions.again import mail_own_links
from workdays.actions.bookings import refuse_booking, withdraw_booking
from workdays.actions.calls import CallWish, decide
from workdays.actions.days import open_day
from workdays.actions.erasing import erase
from workdays.actions.messages import Draft, send_message
from workdays.actions.own import renew_link
from workdays.actions.places import confirm as confirm_place
from workdays.actions.plans import publish_plan
from workdays.actions.reminding import remind as remind_all
from workdays.actions.sign_ups import sign_up, welcome
from workdays.actions.signatures import withdraw_signature
from workdays.actions.staff import InvitationWish
from workdays.actions.staff import invite as invite_staff
from workdays.actions.surveys import record_survey
from workdays.models import Booking, Party, SeatRequest, SignUp, Workday
from workdays.notices import notify
from workdays.queries.messages import EVERYBODY, audience_of_day
from workdays.rules.calls import Decided
from workdays.rules.parties import Companion
from workdays.rules.weather_call import Decision
from workdays.sweeping import warn_due
from workdays.waiting_list import settle

Messages = Iterable[SentMessage]
EVENING = factories.START - timedelta(hours=16)


def of_key(word: str) -> Messages:
    """Return messages by the first word of their key."""
    return SentMessage.objects.filter(key__startswith=f"{word}:")


def _family() -> tuple[Workday, Person]:
    """Make a day with two people of one mailbox, and who organises it."""
    day = factories.make_day()
    factories.make_permission(day.cemetery)
    factories.make_forecast(day)
    for name in ("Ana Costa", "Rui Costa"):
        person = factories.make_person(name=name, email="costa@volunteers.example")
        factories.make_sign_up(day, person)
    return day, factories.make_staff()


def login_code() -> Messages:
    StaffAdapter().send_mail("", "ruth@hollin.example", {"code": "ABC-123"})
    return SentMessage.objects.all()


def _signed_up() -> SignUp:
    factories.make_waiver()
    return sign_up(factories.make_day().pk, application(), now=NOW)


def confirm() -> Messages:
    _signed_up()
    return of_key("confirm")


def _held_for_a_group() -> Party:
    wishes = groups.GroupWishes("Troop 12", 4, "Lea Moss", "lea@hollin.example", "555-0144")
    return groups.hold_places(factories.make_day().pk, wishes, now=NOW)


def group_confirm() -> Messages:
    _held_for_a_group()
    return of_key("group_confirm")


def group_ready() -> Messages:
    groups.confirm_group(_held_for_a_group().pk, now=NOW)
    return of_key("group_ready")


def _named() -> None:
    factories.make_waiver()
    brother = Companion(1, "Rui Costa", email="rui@hollin.example")
    row = sign_up(factories.make_day().pk, application(companions=(brother,)), now=NOW)
    confirm_place(row.pk, now=NOW)


def named() -> Messages:
    _named()
    return of_key("answer")


def named_warning() -> Messages:
    _named()
    SignUp.objects.update(changed_at=NOW)
    warn_due(SignUp.objects.get(named_by__isnull=False).day.cut_off_at - timedelta(hours=2))
    return of_key("warning")


def waiver_copy() -> Messages:
    welcome(_signed_up(), now=NOW)
    return of_key("waiver-copy")


def signature_taken_back() -> Messages:
    factories.make_waiver()
    day, _ = _family()
    person = day.sign_ups.earliest("pk").person
    withdraw_signature(factories.sign(person).pk, now=NOW)
    return of_key("taken-back")


def new_link() -> Messages:
    renew_link(factories.make_person())
    return of_key("new-link")


def erased() -> Messages:
    person = factories.make_person()
    factories.sign(person)
    factories.make_sign_up(factories.make_day(), person)
    erase(person.pk, now=NOW)
    return of_key("erased")


def again() -> Messages:
    day, _ = _family()
    mail_own_links("costa@volunteers.example", day)
    return of_key("again")


def passkey_added() -> Messages:
    add_passkey(factories.make_user(), NewPasskey("my phone", {}))
    return of_key("passkey_added")


def passkey_removed() -> Messages:
    remove_passkey(add_passkey(factories.make_user(), NewPasskey("my phone", {})))
    return of_key("passkey_removed")


def staff_invitation() -> Messages:
    wish = InvitationWish("ida@hollin.example", "organiser", [factories.make_cemetery()], [])
    invite_staff(wish, by=factories.make_staff(), now=NOW)
    return of_key("staff_invitation")


def offer() -> Messages:
    day = factories.make_day(capacity=2)
    factories.make_sign_up(day, state=SignUp.State.WAITING)
    settle(day, now=NOW)
    return of_key("offer")


def _asked_for_a_seat() -> SeatRequest:
    day = factories.make_day()
    driver = factories.make_sign_up(day, seats_offered=3, seats_from="Quarry Corners")
    rider = factories.make_sign_up(day, seats_wanted=2, seats_from="Mill Crossing")
    return seats.ask(rider.pk, driver.pk, now=NOW)


def seat_asked() -> Messages:
    _asked_for_a_seat()
    return of_key("seat_asked")


def seat_agreed() -> Messages:
    request = _asked_for_a_seat()
    seats.agree(request.pk, request.driver_id, now=NOW)
    return of_key("seat_agreed")


def seat_ended() -> Messages:
    request = _asked_for_a_seat()
    seats.decline(request.pk, request.driver_id, now=NOW)
    return of_key("seat_ended")


def invite() -> Messages:
    day, _ = _family()
    invites.invite(day, "costa@volunteers.example", now=NOW)
    day.starts_at += timedelta(minutes=30)
    day.save(update_fields=["starts_at"])
    invites.invite_all(day, now=NOW, rescheduled=True)
    return of_key("invite")


def invite_cancelled() -> Messages:
    day, _ = _family()
    invites.invite_all(day, now=NOW, rescheduled=False)
    day.state = Workday.State.CALLED_OFF
    day.save(update_fields=["state"])
    invites.cancel_all(day, reason="Frost until noon.", now=NOW)
    return SentMessage.objects.filter(calendar_method="CANCEL")


def crew() -> Messages:
    day, people, _ = workable_day()
    publish_plan(drafting.redraft(day, rounds=100), by=people[0], now=NOW)
    return of_key("crew")


def call() -> Messages:
    day, organiser = _family()
    wish = CallWish(Decided(Decision.CALLED_OFF, "Frost until noon.", None))
    decide(day.pk, wish, by=organiser, now=EVENING)
    return of_key("notice")


def notice() -> Messages:
    day, organiser = _family()
    context = {"subject": "A new gate", "lines": ["Come in by the lower gate.", "<It is open>"]}
    notify(day, [organiser], "a new gate", context=context, now=NOW)
    return of_key("notice")


def _asked() -> Booking:
    factories.make_staff()
    return hosts.confirmed()


def booking_confirm() -> Messages:
    hosts.ask()
    return of_key("booking_confirm")


def booking_received() -> Messages:
    _asked()
    return of_key("booking_received")


def booking_waiting() -> Messages:
    _asked()
    return of_key("booking_waiting")


def _opened(booking: Booking) -> Workday:
    day = hosts.accept(booking)
    factories.make_permission(day.cemetery)
    factories.make_waiver()
    return open_day(day.pk, by=factories.make_staff(), now=NOW)


def opened() -> Messages:
    day = factories.make_day(state=Workday.State.DRAFT)
    factories.make_permission(day.cemetery)
    factories.make_waiver()
    factories.make_opening_mail(factories.make_person(), day.cemetery)
    open_day(day.pk, by=factories.make_staff(), now=NOW)
    return of_key("opened")


def booking_accepted() -> Messages:
    hosts.accept(_asked())
    return of_key("booking_accepted")


def booking_opened() -> Messages:
    _opened(_asked())
    return of_key("booking_opened")


def booking_call() -> Messages:
    day = _opened(_asked())
    wish = CallWish(Decided(Decision.CALLED_OFF, "Frost until noon.", None))
    decide(day.pk, wish, by=factories.make_staff(), now=day.starts_at - timedelta(hours=16))
    return of_key("booking_call")


def booking_refused() -> Messages:
    booking = _asked()
    refuse_booking(booking.pk, "The yard has no leave.", by=factories.make_staff(), now=NOW)
    return of_key("booking_refused")


def booking_withdrawn() -> Messages:
    withdraw_booking(_asked().pk, now=NOW)
    return of_key("booking_withdrawn")


def taken_off() -> Messages:
    day, people, jobs = workable_day()
    publish_plan(drafting.redraft(day, rounds=100), by=people[0], now=NOW)
    factories.make_staff()
    stone = jobs[0].stone
    assert stone is not None
    record_survey(
        stone, {"on": NOW.date(), "signs": ["sugaring"]}, by=factories.make_staff(), now=NOW
    )
    return of_key("taken_off")


def remind() -> Messages:
    day, organiser = _family()
    remind_all(day.pk, by=organiser, now=NOW)
    return of_key("remind")


def message() -> Messages:
    day, organiser = _family()
    stranger = factories.make_person(confirmed_at=None)
    factories.make_sign_up(day, stranger, state=SignUp.State.UNCONFIRMED)
    seen = audience_of_day(day, EVERYBODY).reach.seen
    words = "<Come> in by https://hollin.example/gate & ring."
    draft = Draft("The gate", words, EVERYBODY, [], seen, UUID(int=7))
    send_message(day.pk, draft, by=organiser, now=NOW)
    return of_key("message")


ACTS: tuple[Callable[[], Messages], ...] = (
    login_code, passkey_added, passkey_removed, confirm, named, named_warning, waiver_copy,
    signature_taken_back,
    seat_asked, seat_agreed, seat_ended, group_confirm, group_ready,
    new_link, erased, again, offer, invite, invite_cancelled, crew, call, notice, booking_confirm,
    booking_received, booking_waiting, booking_accepted, booking_opened, booking_call,
    booking_refused, booking_withdrawn, taken_off, staff_invitation,
    remind, message, opened,
)  # fmt: skip
MAILS = {act.__name__: act for act in ACTS}
