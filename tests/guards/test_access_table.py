"""Who gets what at every address: a new address without a row here fails.

Columns: nobody logged in, an organiser of the programme, a supervisor of this cemetery, a
supervisor of another one. LOG_IN means sent to the log-in; 404 what one may not know of, 403 what
one may see but not change.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
import time_machine
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from pytest_django.plugin import DjangoDbBlocker

from tests.factories import NOW
from tests.guards.access_world import World, make_world
from tests.guards.attacks.trying import undone

LOG_IN = -302
SHOWN = frozenset({200})
# A press with nothing filled in: done, or answered with what is missing; never refused, never 500.
HEARD = frozenset({200, 302, 303, 400, 409, 422})
MOVED = frozenset({302})
GONE = frozenset({404, 410})
Expected = int | frozenset[int]
ROLES = ("nobody", "organiser", "here", "elsewhere")


@dataclass(frozen=True)
class Row:
    """What each role gets; ``args`` fill the address."""

    expected: tuple[Expected, Expected, Expected, Expected]
    args: Callable[[World], tuple[object, ...]] = lambda w: ()
    press: bool = False


OPEN = (SHOWN,) * 4
STAFF = (LOG_IN, SHOWN, SHOWN, SHOWN)
ORGANISER = (LOG_IN, SHOWN, 403, 403)
OF_PLACE = (LOG_IN, SHOWN, SHOWN, 404)
ORGANISER_OF_PLACE = (LOG_IN, SHOWN, 403, 404)
PRESS_OF_PLACE = (LOG_IN, HEARD, HEARD, 404)
PRESS_ORGANISER_OF_PLACE = (LOG_IN, HEARD, 403, 404)


def day(w: World) -> tuple[object, ...]:
    return (w.day.pk,)


def crew(w: World) -> tuple[object, ...]:
    return (w.day.pk, w.crew.pk)


def slug(w: World) -> tuple[object, ...]:
    return (w.cemetery.slug,)


def sheet(w: World) -> tuple[object, ...]:
    return (w.cemetery.slug, w.sheet.pk)


def stone(w: World) -> tuple[object, ...]:
    return (w.stone.pk,)


def piece(w: World) -> tuple[object, ...]:
    return (w.piece.pk,)


def job(w: World) -> tuple[object, ...]:
    return (w.job.pk,)


def permission(w: World) -> tuple[object, ...]:
    return (w.permission.pk,)


def booking(w: World) -> tuple[object, ...]:
    return (w.booking.pk,)


def message(w: World) -> tuple[object, ...]:
    return (w.message.pk,)


def volunteer(w: World) -> tuple[object, ...]:
    return (w.volunteer.pk,)


def own(w: World) -> tuple[object, ...]:
    return (w.volunteer.secret, w.sign_up.pk)


TABLE: dict[str, Row] = {
    # public: everybody, and whoever has a person's link
    "days_public": Row(OPEN),
    "asked": Row(OPEN),
    "feed": Row(OPEN),
    "day": Row(OPEN, day),
    "day_calendar": Row(OPEN, day),
    "sign_up": Row(OPEN, day),
    "sign_up_sent": Row(OPEN, day),
    "ask_for_places": Row(OPEN, day),
    "confirm_group": Row((GONE,) * 4, lambda w: ("no-token",)),
    "group_sign_up": Row(OPEN, lambda w: (w.group.secret,)),
    "own_group": Row(OPEN, lambda w: (w.volunteer.secret, w.group.pk)),
    "again": Row(OPEN),
    "again_sent": Row(OPEN),
    "again_for_day": Row(OPEN, day),
    "confirm_sign_up": Row((GONE,) * 4, lambda w: ("no-token",)),
    "answer": Row((GONE,) * 4, lambda w: ("no-token",)),
    "take_offer": Row((GONE,) * 4, lambda w: ("no-token",)),
    "own_page": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "own_data": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "own_data_file": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "own_renew": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "own_erase": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "erased": Row(OPEN),
    "own_mails": Row(OPEN, lambda w: (w.volunteer.secret,)),
    "no_more": Row(OPEN, lambda w: (w.opening.secret,)),
    "own_join": Row(OPEN, lambda w: (w.volunteer.secret, w.day.pk)),
    "own_day": Row(OPEN, own),
    "own_change": Row(OPEN, own),
    "own_sign": Row((MOVED,) * 4, own),
    "own_withdraw": Row(OPEN, own),
    "own_seats": Row(OPEN, own),
    "own_seat": Row(OPEN, lambda w: (w.volunteer.secret, w.seat.pk)),
    "own_come": Row((MOVED,) * 4, own, press=True),
    "own_waiver": Row(OPEN, lambda w: (w.volunteer.secret, w.signature.pk)),
    "own_waiver_withdraw": Row(OPEN, lambda w: (w.volunteer.secret, w.signature.pk)),
    "own_waiver_pdf": Row(OPEN, lambda w: (w.volunteer.secret, w.signature.pk)),
    "notice_seen": Row(OPEN, lambda w: (w.volunteer.secret, w.notice.pk)),
    # kernel
    "health": Row((frozenset({200, 503}),) * 4),
    "account_request_login_code": Row((SHOWN, MOVED, MOVED, MOVED)),
    "account_login": Row((SHOWN, MOVED, MOVED, MOVED)),
    "account_confirm_login_code": Row((MOVED,) * 4),
    "account_inactive": Row(OPEN),
    "account_logout": Row((MOVED, SHOWN, SHOWN, SHOWN)),
    "log_in_link": Row((GONE,) * 4, lambda w: ("no-token",)),
    "passkey_sign_in": Row(OPEN),
    "log_ins": Row(STAFF),
    "passkey_add": Row(STAFF),
    # A passkey is its owner's alone; this world has none.
    "passkey_name": Row((LOG_IN, 404, 404, 404), lambda w: (10**6,)),
    "passkey_remove": Row((LOG_IN, 404, 404, 404), lambda w: (10**6,)),
    "log_out_everywhere": Row((LOG_IN, MOVED, MOVED, MOVED), press=True),
    "mail": Row(ORGANISER),
    "mail_message": Row(ORGANISER, message),
    "mail_html": Row(ORGANISER, message),
    # staff
    "staff": Row(ORGANISER),
    "staff_invite": Row(ORGANISER),
    "staff_end": Row(ORGANISER, lambda w: (w.here.pk,)),
    "invitation_take_back": Row(
        (LOG_IN, MOVED, 403, 403), lambda w: (w.invitation.pk,), press=True
    ),
    "accept_invitation": Row((GONE,) * 4, lambda w: ("no-token",)),
    # waivers
    "waivers": Row(ORGANISER),
    "waiver": Row(ORGANISER, lambda w: (w.signature.waiver_id,)),
    "waiver_new": Row(ORGANISER),
    "waiver_print": Row(STAFF, lambda w: (w.signature.waiver_id,)),
    "paper_note": Row(OF_PLACE, lambda w: (w.day.pk, w.sign_up.pk)),
    "paper_picture": Row((LOG_IN, 404, 404, 404), lambda w: (w.signature.pk,)),
    "own_paper": Row((404,) * 4, lambda w: (w.volunteer.secret, w.signature.pk)),
    "waiver_language_new": Row(ORGANISER, lambda w: (w.signature.waiver_id,)),
    "waiver_of_place_new": Row(ORGANISER_OF_PLACE, slug),
    "person_signature": Row(ORGANISER, lambda w: (w.signature.pk,)),
    "person_signature_pdf": Row(ORGANISER, lambda w: (w.signature.pk,)),
    # days
    "week": Row(STAFF),
    "days": Row(STAFF),
    "day_new": Row(ORGANISER),
    "day_edit": Row(ORGANISER_OF_PLACE, day),
    "day_open": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "day_desk": Row(OF_PLACE, day),
    "day_list": Row(OF_PLACE, day),
    "day_people": Row(OF_PLACE, day),
    "day_jobs": Row(ORGANISER_OF_PLACE, day),
    "day_message": Row(ORGANISER_OF_PLACE, day),
    "day_messages": Row(OF_PLACE, day),
    "gate": Row(OF_PLACE, day),
    "day_remind": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "place": Row(ORGANISER_OF_PLACE, lambda w: (w.day.pk, w.sign_up.pk)),
    # ground
    "ground": Row(STAFF),
    "cemetery_new": Row(ORGANISER),
    "kinds_of_work": Row(STAFF),
    "chain_templates": Row(STAFF),
    "chain_edit": Row(ORGANISER, lambda w: ("clean",)),
    "chain_step_new": Row(ORGANISER, lambda w: ("clean",)),
    "chain_step_edit": Row(ORGANISER, lambda w: (w.step.pk,)),
    "chain_step_remove": Row(ORGANISER, lambda w: (w.step.pk,)),
    "material_edit": Row(ORGANISER, lambda w: ("lime-mortar",)),
    "kind_of_work_edit": Row(ORGANISER, lambda w: ("cleaning",)),
    "cemetery": Row(OF_PLACE, slug),
    "plan_sheet": Row(OF_PLACE, slug),
    "plan_sheet_pdf": Row(OF_PLACE, slug),
    "cemetery_edit": Row(ORGANISER_OF_PLACE, slug),
    "cemetery_settings": Row(OF_PLACE, slug),
    "setting_edit": Row(ORGANISER_OF_PLACE, lambda w: (w.cemetery.slug, "coldest_wet_f")),
    "permissions": Row(OF_PLACE, slug),
    "permission_new": Row(ORGANISER_OF_PLACE, slug),
    "permission_edit": Row(ORGANISER_OF_PLACE, permission),
    "leave_ahead": Row(STAFF),
    "cemetery_leave_ahead": Row(OF_PLACE, slug),
    "family_new": Row(ORGANISER_OF_PLACE, stone),
    "family_edit": Row(ORGANISER_OF_PLACE, lambda w: (w.family.pk,)),
    # No paper and no picture is stored in this world: 404 for those who may see it, too.
    "permission_paper": Row((LOG_IN, 404, 404, 404), permission),
    "photograph": Row((LOG_IN, 404, 404, 404), lambda w: (w.photograph.pk,)),
    "stone_photographs": Row(OF_PLACE, stone),
    "photograph_pair": Row(PRESS_OF_PLACE, stone, press=True),
    "photograph_unpair": Row(PRESS_OF_PLACE, lambda w: (w.photograph.pk,), press=True),
    "photograph_remove": Row(ORGANISER_OF_PLACE, lambda w: (w.photograph.pk,)),
    "pieces": Row(OF_PLACE, slug),
    "piece_new": Row(OF_PLACE, slug),
    "piece": Row(OF_PLACE, piece),
    "piece_edit": Row(OF_PLACE, piece),
    "piece_judge": Row(PRESS_OF_PLACE, piece, press=True),
    "piece_take_back": Row(OF_PLACE, lambda w: (w.judgement.pk,)),
    "section_new": Row(ORGANISER_OF_PLACE, slug),
    "section_edit": Row(ORGANISER_OF_PLACE, lambda w: (w.cemetery.slug, w.section.pk)),
    "stones": Row(OF_PLACE, slug),
    "stone_new": Row(ORGANISER_OF_PLACE, slug),
    "stone_found": Row(OF_PLACE, slug),
    "stone": Row(OF_PLACE, stone),
    "stone_edit": Row(ORGANISER_OF_PLACE, stone),
    "stone_override": Row(ORGANISER_OF_PLACE, stone),
    "survey_new": Row(OF_PLACE, stone),
    "reading_new": Row(OF_PLACE, stone),
    "stone_history": Row(OF_PLACE, stone),
    "stone_history_pdf": Row(OF_PLACE, stone),
    "readings": Row(OF_PLACE, slug),
    "gallery": Row(OPEN),
    "gallery_picture": Row((GONE,) * 4, lambda w: (w.photograph.pk, "after")),
    "gallery_choose": Row(ORGANISER_OF_PLACE, slug),
    "gallery_show": Row(PRESS_ORGANISER_OF_PLACE, lambda w: (w.photograph.pk,), press=True),
    "backlog": Row(OF_PLACE, slug),
    "stone_chain": Row(OF_PLACE, stone),
    "stone_chain_add": Row(PRESS_ORGANISER_OF_PLACE, stone, press=True),
    "cemetery_chains": Row(OF_PLACE, slug),
    "cemetery_chains_add": Row(PRESS_ORGANISER_OF_PLACE, slug, press=True),
    "batches": Row(OF_PLACE, slug),
    "batches_put": Row(PRESS_ORGANISER_OF_PLACE, slug, press=True),
    "job_new": Row(ORGANISER_OF_PLACE, slug),
    "minutes": Row(ORGANISER_OF_PLACE, slug),
    "look_ahead": Row(ORGANISER_OF_PLACE, slug),
    "priorities": Row(ORGANISER_OF_PLACE, slug),
    "job": Row(OF_PLACE, job),
    "job_edit": Row(ORGANISER_OF_PLACE, job),
    "job_done": Row(ORGANISER_OF_PLACE, job),
    # plan
    "plan": Row(OF_PLACE, day),
    "plan_run": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_live": Row(OF_PLACE, day),
    "plan_stop": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_cancel": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_now": Row(ORGANISER_OF_PLACE, day),
    "plan_hand": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_weights": Row(ORGANISER_OF_PLACE, day),
    "plan_undo": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_let_go": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_what_if": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "plan_publish": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    "day_sheet": Row(OF_PLACE, day),
    "all_sheets": Row(OF_PLACE, day),
    "all_sheets_pdf": Row(OF_PLACE, day),
    "safety_talk": Row(OF_PLACE, day),
    "load_list": Row(OF_PLACE, day),
    "crew_sheet": Row(OF_PLACE, crew),
    "crew_sheet_pdf": Row(OF_PLACE, crew),
    # weather call; without a decision to take the page sends to the call
    "call": Row(OF_PLACE, day),
    "forecast_new": Row(ORGANISER_OF_PLACE, day),
    "forecast_file": Row(ORGANISER_OF_PLACE, day),
    "call_decide": Row((LOG_IN, MOVED, 403, 404), day),
    "notices": Row(OF_PLACE, day),
    "notices_again": Row(PRESS_ORGANISER_OF_PLACE, day, press=True),
    # spreadsheets
    "sheets": Row(ORGANISER_OF_PLACE, slug),
    "sheet_csv": Row(ORGANISER_OF_PLACE, slug),
    "sheet_xlsx": Row(ORGANISER_OF_PLACE, slug),
    "sheet": Row(ORGANISER_OF_PLACE, sheet),
    "sheet_columns": Row((LOG_IN, MOVED, 403, 404), sheet),
    "sheet_import": Row(PRESS_ORGANISER_OF_PLACE, sheet, press=True),
    "sheet_undo": Row(PRESS_ORGANISER_OF_PLACE, sheet, press=True),
    "sheet_discard": Row(PRESS_ORGANISER_OF_PLACE, sheet, press=True),
    # roll
    "roll": Row(OF_PLACE, day),
    "roll_arrive": Row(PRESS_OF_PLACE, day, press=True),
    "roll_leave": Row(PRESS_OF_PLACE, day, press=True),
    "day_close": Row(PRESS_OF_PLACE, day),
    # training
    "training": Row(STAFF),
    "countersign": Row((LOG_IN, 404, 404, 404), lambda w: (10**6,), press=True),
    "people": Row(STAFF),
    "person": Row((LOG_IN, SHOWN, SHOWN, 404), volunteer),
    "kept_list": Row(ORGANISER),
    # Nobody is erased in this world.
    "kept_one": Row((LOG_IN, 404, 403, 403), lambda w: (10**6,)),
    "same_person": Row(ORGANISER, volunteer),
    "same_person_as": Row(ORGANISER, lambda w: (w.volunteer.pk, w.elsewhere.pk)),
    # Nobody is joined in this world: 404 for those who may part people, too.
    "person_part": Row((LOG_IN, 404, 403, 403), volunteer, press=True),
    "sign_off_new": Row((LOG_IN, HEARD, HEARD, 404), volunteer, press=True),
    "sign_off_revoke": Row((LOG_IN, HEARD, HEARD, 404), lambda w: (w.sign_off.pk,), press=True),
    # bookings
    "ask_for_clinic": Row(OPEN),
    "clinic_asked": Row(OPEN),
    "confirm_booking": Row((frozenset({200, 404, 410}),) * 4, lambda w: ("no-token",)),
    "host_page": Row(OPEN, lambda w: (w.host.secret,)),
    "host_withdraw": Row((HEARD,) * 4, lambda w: (w.host.secret, w.booking.pk), press=True),
    "bookings": Row(ORGANISER),
    "booking": Row((LOG_IN, SHOWN, 403, 403), booking),
    "booking_accept": Row((LOG_IN, SHOWN, 403, 403), booking),
    "booking_refuse": Row((LOG_IN, HEARD, 403, 403), booking, press=True),
}


def names(patterns: list[URLPattern | URLResolver]) -> Iterator[str]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from names(pattern.url_patterns)
        else:
            yield pattern.name or f"without a name: {pattern.pattern}"


def test_every_address_has_a_row() -> None:
    assert set(names(get_resolver().url_patterns)) == set(TABLE)


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """One world for all looks of this table, each of which is taken back."""
    with django_db_blocker.unblock(), undone(), time_machine.travel(NOW, tick=False):
        yield make_world()


@pytest.mark.django_db
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("name", TABLE)
def test_wrong_people_see_nothing(name: str, role: str, client: Client, world: World) -> None:
    row, expected = TABLE[name], TABLE[name].expected[ROLES.index(role)]
    path = reverse(name, args=row.args(world))
    with undone():
        if role != "nobody":
            client.force_login(getattr(world, role).user)
        answer = client.post(path) if row.press else client.get(path)
    if expected == LOG_IN:
        assert answer.status_code == 302
        assert answer["Location"].startswith(reverse("account_login"))
    else:
        allowed = expected if isinstance(expected, frozenset) else {expected}
        assert answer.status_code in allowed


OF_ONE_PERSON = [
    *("own_day", "own_change", "own_sign", "own_withdraw", "own_come", "notice_seen"),
    *("own_seats", "own_seat", "own_group"),
    *("own_waiver", "own_waiver_withdraw", "own_waiver_pdf"),
]


@pytest.mark.django_db
@pytest.mark.parametrize("name", OF_ONE_PERSON)
def test_a_link_opens_only_what_is_its_holders(name: str, client: Client) -> None:
    row, world = TABLE[name], make_world()
    path = reverse(name, args=[world.here.secret, row.args(world)[1]])
    answer = client.post(path) if row.press else client.get(path)
    assert answer.status_code == 404
