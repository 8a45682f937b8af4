"""Planned jobs that share a batch: in time, in volume, and said."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from workdays.rules.batches import Bucket
from workdays.rules.mixes import PlannedUse, mix_words, mixes, more_words, parts_words

BUCKET = Bucket(decilitres=120, minutes=240)
DETROIT = ZoneInfo("America/Detroit")
NINE = datetime(2026, 5, 9, 9, 0, tzinfo=DETROIT)


def use(
    place: str, at: int, decilitres: int, *, minutes: int = 30, crew: str = "Crew 1"
) -> PlannedUse:
    starts_at = NINE + timedelta(minutes=at)
    return PlannedUse(place, crew, starts_at, starts_at + timedelta(minutes=minutes), decilitres)


def test_three_jobs_of_two_crews_share_one_batch_and_what_is_left_is_said() -> None:
    jobs = [use("A-1", 30, 30), use("A-7", 60, 30, crew="Crew 2"), use("B-3", 150, 40)]
    (mix,) = mixes(reversed(jobs), BUCKET)
    assert mix_words(mix, "Lime mortar") == (
        "A-1 (Crew 1), A-7 (Crew 2) and B-3 (Crew 1) share one batch of lime mortar: mix once, "
        "at 9:30, 12 litres. 10 are used, 2 are left over. It can be worked until 13:30."
    )
    ready = [("C-1", 20), ("C-2", 21)]
    assert more_words(mix, ready).endswith("what is left (litres): C-1 (2).")
    assert more_words(mix, ready[1:]) == ""
    assert parts_words([mix]).startswith("4 litres of binder (lime) and 12 litres of sharp sand")


def test_a_job_that_ends_after_the_batch_has_set_gets_its_own() -> None:
    early, late = mixes([use("A-1", 0, 30), use("A-2", 225, 30)], BUCKET)
    assert (early.uses[0].place, late.uses[0].place) == ("A-1", "A-2")
    assert late.at == NINE + timedelta(minutes=225)
    in_time = mixes([use("A-1", 0, 30), use("A-2", 210, 30)], BUCKET)
    assert len(in_time) == 1


def test_of_all_sets_that_fit_the_one_that_leaves_least_is_taken() -> None:
    first, five, three, four = use("A", 0, 50), use("B", 30, 50), use("C", 40, 30), use("D", 50, 40)
    found = mixes([first, five, three, four], BUCKET)
    assert [[one.place for one in mix.uses] for mix in found] == [["A", "C", "D"], ["B"]]
    assert [mix.left for mix in found] == [0, 70]


def test_a_large_or_long_job_gets_several_batches() -> None:
    (mix,) = mixes([use("A-1", 0, 150)], BUCKET)
    assert (mix.batches, mix.left) == (2, 90)
    assert "uses 2 batches of lime mortar: mix the first at 9:00, 24 litres" in mix_words(
        mix, "Lime mortar"
    )
    (long,) = mixes([use("A-1", 0, 10, minutes=241)], BUCKET)
    assert long.batches == 2


def test_jobs_that_are_alike_are_both_mixed_for() -> None:
    one, other = use("Old hill", 0, 30), use("Old hill", 0, 30)
    (mix,) = mixes([one, other], BUCKET)
    assert mix.used == 60


def test_the_clock_change_is_no_extra_hour() -> None:
    before = datetime(2026, 11, 1, 0, 30, tzinfo=DETROIT)  # clocks go back at 2:00
    after = datetime(2026, 11, 1, 3, 0, tzinfo=DETROIT)
    one = PlannedUse("A-1", "Crew 1", before, after, 10)
    assert one.minutes == 210
    (mix,) = mixes([one], BUCKET)
    assert f"{mix.until:%H:%M}" == "03:30"


USES = st.builds(
    use,
    st.text("ABCDEF", min_size=1, max_size=4),
    st.integers(0, 400),
    st.integers(1, 150),
    minutes=st.integers(1, 300),
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(USES, max_size=12, unique_by=lambda one: one.place))
def test_every_use_is_in_one_mix_and_no_mix_holds_too_much_or_too_late(
    uses: list[PlannedUse],
) -> None:
    found = mixes(uses, BUCKET)
    mixed = [one for mix in found for one in mix.uses]
    assert sorted(one.place for one in mixed) == sorted(one.place for one in uses)
    for mix in found:
        assert mix.left >= 0
        assert mix.at == min(one.starts_at for one in mix.uses)
        assert all(one.ends_at <= mix.until for one in mix.uses)
