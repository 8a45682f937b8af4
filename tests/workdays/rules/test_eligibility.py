from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.eligibility import (
    LIVE,
    Comer,
    DayState,
    Held,
    OpenDay,
    State,
    held_until,
    lapsed,
    may_confirm,
    next_offers,
    place_for,
    places_left,
    refusals_to_confirm,
    refusals_to_sign_up,
    refusals_to_withdraw,
    refusals_unsigned,
    state_now,
    taken,
    waiting_list,
)

NOW = datetime(2026, 5, 6, 14, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = OpenDay(DayState.OPEN, NOW + 71 * HOUR, NOW + 48 * HOUR, capacity=3)
ADULT = Comer(adult=True, waiver_current=True)


def held(number: int, state: State, *, since: int = 0, until: int | None = None) -> Held:
    moment = None if until is None else NOW + until * HOUR
    return Held(number, state, NOW + since * HOUR, moment)


def codes(comer: Comer = ADULT, day: OpenDay = DAY, now: datetime = NOW) -> list[str]:
    return [refusal.code for refusal in refusals_to_sign_up(day, comer, now=now)]


def test_an_adult_with_a_signed_waiver_may_sign_up_for_an_open_day() -> None:
    assert codes() == []


@pytest.mark.parametrize(
    ("state", "code"),
    [
        (DayState.DRAFT, "not-open"),
        (DayState.CALLED_OFF, "called-off"),
        (DayState.CLOSED, "past"),
    ],
)
def test_a_day_that_is_not_open_takes_nobody(state: DayState, code: str) -> None:
    assert codes(day=replace(DAY, state=state)) == [code]
    assert codes(day=replace(DAY, state=state), now=DAY.cut_off_at) == [code]


def test_sign_up_ends_at_the_cut_off_and_the_day_at_its_start() -> None:
    just_before = timedelta(microseconds=1)
    assert codes(now=DAY.cut_off_at - just_before) == []
    assert codes(now=DAY.cut_off_at) == ["cut-off"]
    assert codes(now=DAY.starts_at - just_before) == ["cut-off"]
    assert codes(now=DAY.starts_at) == ["past"]


@pytest.mark.parametrize("adult", [False, None])
def test_all_reasons_are_given_at_once(adult: bool | None) -> None:
    comer = Comer(adult=adult, waiver_current=False, earlier=State.WAITING)
    assert codes(comer) == ["minor", "waiver", "already"]


@pytest.mark.parametrize("state", list(State))
def test_only_a_live_sign_up_bars_another(state: State) -> None:
    assert codes(replace(ADULT, earlier=state)) == (["already"] if state in LIVE else [])


def test_a_held_or_offered_place_lapses_at_its_moment() -> None:
    for state in (State.UNCONFIRMED, State.OFFERED):
        row = held(1, state, until=1)
        assert state_now(row, now=NOW + HOUR - timedelta(microseconds=1)) is state
        assert state_now(row, now=NOW + HOUR) is State.LAPSED
    for state in (State.COMING, State.WAITING, State.WITHDRAWN):
        assert state_now(held(1, state, until=-5), now=NOW) is state


def test_places_count_coming_and_what_is_held_or_offered_until_it_lapses() -> None:
    rows = [
        held(1, State.COMING),
        held(2, State.UNCONFIRMED, until=1),
        held(3, State.OFFERED, until=2),
        held(4, State.WAITING),
        held(5, State.WITHDRAWN),
        held(6, State.LAPSED),
    ]
    assert taken(rows, now=NOW) == 3
    assert places_left(DAY, rows, now=NOW) == 0
    assert places_left(DAY, rows, now=NOW + HOUR) == 1
    assert places_left(DAY, rows, now=NOW + 2 * HOUR) == 2
    assert lapsed(rows, now=NOW + HOUR) == (2,)


def test_places_reserved_by_a_party_are_not_free_and_none_is_ever_below_zero() -> None:
    assert places_left(replace(DAY, reserved=2), [], now=NOW) == 1
    assert places_left(replace(DAY, reserved=9), [], now=NOW) == 0


def test_a_stranger_gets_a_held_place_and_a_known_person_comes() -> None:
    assert place_for(DAY, [], now=NOW, confirmed=False) is State.UNCONFIRMED
    assert place_for(DAY, [], now=NOW, confirmed=True) is State.COMING


def test_a_full_day_a_queue_or_the_cut_off_mean_waiting() -> None:
    full = [held(number, State.COMING) for number in range(3)]
    assert place_for(DAY, full, now=NOW, confirmed=True) is State.WAITING
    assert place_for(DAY, full[:2], now=NOW, confirmed=True) is State.COMING
    assert place_for(DAY, full[:2], now=NOW, confirmed=True, people=2) is State.WAITING
    assert place_for(DAY, [held(1, State.WAITING)], now=NOW, confirmed=True) is State.WAITING
    assert place_for(DAY, [], now=DAY.cut_off_at, confirmed=True) is State.WAITING


def test_a_place_is_held_a_day_at_most_and_never_past_the_cut_off() -> None:
    assert held_until(DAY, now=NOW) == NOW + 24 * HOUR
    assert held_until(DAY, now=NOW + 30 * HOUR) == DAY.cut_off_at
    assert held_until(DAY, now=NOW, named_by_party=True) == DAY.cut_off_at


def test_yes_is_taken_while_the_place_is_held() -> None:
    row = held(1, State.UNCONFIRMED, until=1)
    assert may_confirm(row, DAY, now=NOW)
    assert may_confirm(held(1, State.OFFERED, until=1), DAY, now=NOW)
    assert may_confirm(held(1, State.COMING), DAY, now=NOW)
    assert not may_confirm(row, DAY, now=NOW + HOUR)


@pytest.mark.parametrize(
    ("row", "code"),
    [
        (held(1, State.UNCONFIRMED, until=0), "lapsed"),
        (held(1, State.LAPSED), "lapsed"),
        (held(1, State.WITHDRAWN), "withdrawn"),
        (held(1, State.WAITING), "waiting"),
    ],
)
def test_yes_is_refused_with_the_reason(row: Held, code: str) -> None:
    assert [refusal.code for refusal in refusals_to_confirm(row, DAY, now=NOW)] == [code]


def test_yes_is_refused_when_the_day_was_called_off() -> None:
    row = held(1, State.UNCONFIRMED, until=1)
    called_off = replace(DAY, state=DayState.CALLED_OFF)
    assert [r.code for r in refusals_to_confirm(row, called_off, now=NOW)] == ["called-off"]


def test_withdrawing_works_after_the_cut_off_until_the_day_begins() -> None:
    row = held(1, State.COMING)
    assert refusals_to_withdraw(row, DAY, now=DAY.cut_off_at + HOUR) == []
    assert [r.code for r in refusals_to_withdraw(row, DAY, now=DAY.starts_at)] == ["begun"]


@pytest.mark.parametrize("state", [State.WITHDRAWN, State.LAPSED])
def test_what_has_ended_cannot_be_withdrawn(state: State) -> None:
    refusals = refusals_to_withdraw(held(1, state), DAY, now=NOW)
    assert [refusal.code for refusal in refusals] == [state.value]


def test_a_free_place_is_offered_in_the_order_of_the_list() -> None:
    rows = [
        held(7, State.WAITING, since=-1),
        held(4, State.WAITING, since=-2),
        held(3, State.WAITING, since=-1),
        held(1, State.COMING),
    ]
    assert [row.number for row in waiting_list(rows, now=NOW)] == [4, 3, 7]
    offers = next_offers(DAY, rows, now=NOW)
    assert [(offer.number, offer.until) for offer in offers] == [
        (4, NOW + 18 * HOUR),  # a quarter of 48 hours ends by night: at 8:00
        (3, NOW + 18 * HOUR),
    ]
    late = next_offers(DAY, rows, now=NOW + 47 * HOUR)
    assert {offer.until for offer in late} == {DAY.cut_off_at}


def test_nothing_is_offered_from_the_cut_off_on_or_for_a_day_called_off() -> None:
    rows = [held(1, State.WAITING)]
    assert next_offers(DAY, rows, now=DAY.cut_off_at) == ()
    assert next_offers(replace(DAY, state=DayState.CALLED_OFF), rows, now=NOW) == ()


@given(
    st.lists(st.tuples(st.sampled_from(State), st.integers(-30, 30)), max_size=12),
    st.integers(0, 8),
)
def test_offers_never_take_more_places_than_there_are(
    drawn: list[tuple[State, int]], capacity: int
) -> None:
    rows = [held(number, state, until=until) for number, (state, until) in enumerate(drawn)]
    day = replace(DAY, capacity=capacity)
    offers = next_offers(day, rows, now=NOW)
    before = taken(rows, now=NOW)
    assert len({offer.number for offer in offers}) == len(offers)
    assert before + len(offers) <= max(capacity, before)
    if place_for(day, rows, now=NOW, confirmed=True) is State.COMING:
        assert before < capacity


CLINIC = replace(DAY, capacity=10, learners=2)


def test_people_new_to_it_wait_when_a_clinic_can_teach_no_more_and_others_come() -> None:
    rows = [replace(held(n, State.COMING), learners=1) for n in (1, 2)]
    place = partial(place_for, CLINIC, now=NOW, confirmed=True)
    assert place(rows[:1], learners=1) is State.COMING
    assert place(rows, learners=1) is State.WAITING
    assert place(rows) is State.COMING
    waits = [*rows, replace(held(3, State.WAITING), learners=1)]
    assert place(waits) is State.COMING, "whoever needs no teaching passes those who wait for it"
    assert place([*waits, held(4, State.WAITING)]) is State.WAITING, "but nobody else in line"


def test_nobody_new_passes_a_party_that_waits_to_be_taught() -> None:
    rows = [
        replace(held(1, State.COMING), learners=1),
        replace(held(2, State.WAITING, since=-3), people=2, learners=2),
    ]
    assert place_for(CLINIC, rows, now=NOW, confirmed=True, learners=1) is State.WAITING
    later = [
        *rows,
        replace(held(3, State.WAITING, since=-2), learners=1),
        held(4, State.WAITING, since=-1),
    ]
    assert [offer.number for offer in next_offers(CLINIC, later, now=NOW)] == [4]
    assert [offer.number for offer in next_offers(CLINIC, later[1:], now=NOW)] == [2, 4]


def test_offers_to_people_new_to_it_stop_where_the_places_to_teach_end() -> None:
    rows = [replace(held(n, State.WAITING, since=n), learners=1) for n in (1, 2, 3)]
    rows.append(held(4, State.WAITING, since=4))
    assert [offer.number for offer in next_offers(CLINIC, rows, now=NOW)] == [1, 2, 4]


def test_only_who_has_signed_and_brings_no_child_need_not_sign() -> None:
    def codes(typed: bool, holds: bool, signs_for_others: bool) -> list[str]:
        found = refusals_unsigned(typed=typed, holds=holds, signs_for_others=signs_for_others)
        return [refusal.code for refusal in found]

    assert codes(False, True, False) == codes(True, False, True) == []
    assert codes(False, False, False) == codes(False, True, True) == ["waiver"]
