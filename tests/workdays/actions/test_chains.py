"""Jobs from the chains that the programme starts with, and changes of the chains themselves."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry
from coordinator.refused import Refused
from tests.factories import (
    NOW,
    conclude,
    kind,
    make_cemetery,
    make_job,
    make_permission,
    make_section,
    make_staff,
    make_stone,
)
from workdays.actions import chains
from workdays.actions.surveys import record_survey
from workdays.models import ChainStep, ChainTemplate, Conclusion, Job, Recording, Stone, Survey
from workdays.queries.readiness import outlooks_of, readiness_of

pytestmark = pytest.mark.django_db
AT = datetime(2026, 5, 6, 18, 0, tzinfo=UTC)


def add(stone: Stone) -> list[Job]:
    stone = Stone.objects.get(pk=stone.pk)
    return chains.add_chain(stone, by=make_staff(), now=NOW)


def kinds(jobs: list[Job]) -> list[str]:
    return [job.kind.key for job in jobs]


def needing(*needs: str, section: Any = None, **measures: int) -> Stone:
    stone = make_stone(section, **measures)
    conclude(stone, needs=list(needs))
    return stone


def finish(job: Job, at: datetime) -> None:
    Job.objects.filter(pk=job.pk).update(state=Job.State.DONE, done_at=at)


def test_a_reset_becomes_a_chain_in_order() -> None:
    stone = needing("reset", "clean")
    jobs = add(stone)
    assert kinds(jobs) == ["raking", "cleaning", "resetting", "resetting", "survey"]
    rake, clean, dig, reset, look = jobs
    assert rake.stone is None
    assert rake.section == stone.section
    assert list(clean.prerequisites.all()) == [rake]
    assert set(dig.prerequisites.all()) == {rake, clean}
    assert list(reset.prerequisites.all()) == [dig]
    assert list(look.prerequisites.all()) == [reset]
    assert look.after_winter
    assert reset.person_minutes == 120
    assert reset.lifters == 2
    assert reset.equipment == {"bar": 1, "clamp": 1}
    assert {job.priority for job in jobs} == {60}
    assert AuditEntry.objects.filter(verb="added", thing_id=reset.pk).exists()


def test_pressing_twice_adds_nothing() -> None:
    stone = needing("reset", "clean")
    add(stone)
    assert add(stone) == []


@pytest.mark.parametrize(
    ("measures", "minutes"),
    [((38, 22, 7), 30), ((100, 50, 8), 60), ((190, 48, 48), 120)],
)
def test_minutes_follow_the_size_of_the_stone(measures: tuple[int, ...], minutes: int) -> None:
    height, width, thickness = measures
    stone = needing("clean", height_cm=height, width_cm=width, thickness_cm=thickness)
    rake, clean = add(stone)
    assert clean.person_minutes == minutes
    assert rake.person_minutes == 180


def test_mending_waits_and_carries_its_mortar() -> None:
    stone = make_stone()
    conclude(stone, Conclusion.Kind.CONSERVATOR, needs=[])
    jobs = add(stone)
    assert kinds(jobs) == ["recording", *["mending"] * 4, "survey"]
    record, level, bond, point, cover, look = jobs
    assert [job.wait_hours for job in jobs] == [0, 0, 0, 24, 72, 672]
    assert (point.season_first, point.season_last) == (501, 930)
    assert str(point.material) == "Lime mortar"
    assert point.material_litres == 3
    assert list(point.prerequisites.all()) == [bond]
    assert record.priority == level.priority == 55
    assert cover.lifters == 1
    assert list(look.prerequisites.all()) == [cover]


def bond_to_look() -> list[Job]:
    """Return the steps of a mending that are left when the stone is recorded and level.

    None of them has a season, and the owner allows them until the end of 2028.
    """
    stone = make_stone()
    conclude(stone, Conclusion.Kind.CONSERVATOR, needs=[], look_again_on=date(2031, 4, 1))
    make_permission(stone.cemetery, starts_on=date(2026, 1, 1), ends_on=date(2028, 12, 31))
    record, level, *left = add(stone)
    Job.objects.update(season_first=None, season_last=None)
    finish(record, AT)
    finish(level, AT)
    return left


def test_a_chain_of_mending_is_ready_step_by_step_over_the_clock_change() -> None:
    """Worked by hand: bonded on Saturday 31 October 2026 at 10:00 in Detroit (EDT).

    24 hours end on Sunday at 9:00 EST, because that day has 25 hours; the first whole day is
    Monday 2 November. Without its season the seam is pointed on Monday at 12:00; 72 hours end on
    Thursday 5 November at 12:00: Friday 6 November is whole. Uncovered on that Friday at 9:00,
    28 days end on 4 December at 9:00, so that the look is ready on Saturday 5 December.
    """
    bond, point, cover, look = bond_to_look()
    finish(bond, datetime(2026, 10, 31, 14, 0, tzinfo=UTC))
    start = date(2026, 11, 1)
    assert outlooks_of([point], start)[point.pk].ready_on == date(2026, 11, 2)
    assert outlooks_of([cover], start)[cover.pk].ready_on is None
    finish(point, datetime(2026, 11, 2, 17, 0, tzinfo=UTC))
    assert outlooks_of([cover], start)[cover.pk].ready_on == date(2026, 11, 6)
    finish(cover, datetime(2026, 11, 6, 14, 0, tzinfo=UTC))
    assert outlooks_of([look], start)[look.pk].ready_on == date(2026, 12, 5)


def test_a_chain_of_mending_is_ready_step_by_step_over_the_leap_day_and_the_spring() -> None:
    """Worked by hand: bonded on Monday 28 February 2028 at 10:00 in Detroit (EST).

    24 hours end on Tuesday 29 February at 10:00: Wednesday 1 March is whole. The seam is pointed
    on Thursday 9 March at 12:00 EST; the clock goes forward on Sunday 12 March, so that 72 hours
    end on that Sunday at 13:00 EDT: Monday 13 March is whole. Uncovered on that Monday at 9:00
    EDT, 28 days end on 10 April at 9:00: the look is ready on Tuesday 11 April.
    """
    bond, point, cover, look = bond_to_look()
    finish(bond, datetime(2028, 2, 28, 15, 0, tzinfo=UTC))
    start = date(2028, 2, 28)
    assert outlooks_of([point], start)[point.pk].ready_on == date(2028, 3, 1)
    finish(point, datetime(2028, 3, 9, 17, 0, tzinfo=UTC))
    assert outlooks_of([cover], start)[cover.pk].ready_on == date(2028, 3, 13)
    finish(cover, datetime(2028, 3, 13, 13, 0, tzinfo=UTC))
    assert outlooks_of([look], start)[look.pk].ready_on == date(2028, 4, 11)


def test_season_and_winter_of_a_job_hold_it_up() -> None:
    stone = needing("reset")
    make_permission(stone.cemetery, starts_on=date(2026, 1, 1), ends_on=date(2028, 12, 31))
    _rake, _dig, reset, look = add(stone)
    finish(reset, datetime(2026, 9, 5, 16, 0, tzinfo=UTC))
    found = outlooks_of([look], date(2026, 10, 1))[look.pk]
    assert [refusal.code for refusal in found.refusals] == ["winter"]
    assert found.ready_on == date(2027, 4, 1)
    Job.objects.filter(pk=look.pk).update(season_first=601, season_last=930)
    assert outlooks_of([look], date(2026, 10, 1))[look.pk].ready_on == date(2027, 6, 1)
    codes = [refusal.code for refusal in readiness_of([look], date(2027, 5, 1))[look.pk]]
    assert codes == ["season"]
    finish(look, AT)
    assert outlooks_of([look], date(2026, 10, 1))[look.pk].ready_on is None


def test_a_stone_losing_its_face_is_recorded_until_somebody_has_read_it() -> None:
    stone, by = make_stone(), make_staff()
    record_survey(
        stone,
        {"on": date(2026, 5, 1), "signs": ["sugaring"], "sound": "solid", "lean_degrees": 0},
        by=by,
        now=NOW,
    )
    (record,) = add(stone)
    assert record.kind.key == "recording"
    assert record.priority == 70
    record.delete()
    Recording.objects.create(stone=stone, on=date(2026, 5, 2), by=by, lines=["Ruth Ames"])
    assert add(stone) == []


def test_what_was_done_before_the_last_look_is_done_again_and_what_came_after_is_not() -> None:
    stone = needing("clean")
    survey = Survey.objects.create(stone=stone, on=date(2026, 4, 1))
    Conclusion.objects.update(survey=survey)
    cleaned = make_job(stone, state=Job.State.DONE, done_at=datetime(2026, 4, 2, tzinfo=UTC))
    assert add(stone) == []
    finish(cleaned, datetime(2026, 3, 2, tzinfo=UTC))
    assert kinds(add(stone)) == ["raking", "cleaning"]
    dropped = needing("clean")
    make_job(dropped, state=Job.State.DROPPED)
    assert kinds(add(dropped)) == ["raking", "cleaning"]


def test_a_whole_cemetery_at_once_rakes_each_section_once() -> None:
    cemetery = make_cemetery()
    one, two = make_section(cemetery), make_section(cemetery)
    for section in (one, one, two):
        needing("clean", section=section)
    needing(section=one)
    make_stone(one)
    needing("clean")
    done = chains.add_chains(cemetery, by=make_staff(), now=NOW)
    assert done.stones == 4
    assert sorted(kinds(done.jobs)) == ["cleaning"] * 3 + ["raking"] * 2 + ["survey"]
    raked = Job.objects.get(section=one, kind=kind("raking"))
    assert raked.unlocks.count() == 2
    again = chains.add_chains(cemetery, by=make_staff(), now=NOW)
    assert (again.stones, again.jobs) == (0, [])


def test_a_chain_out_of_use_asks_for_nothing() -> None:
    template, by = ChainTemplate.objects.get(key="clean"), make_staff()
    chains.change_template(template, {"in_use": False}, by=by)
    assert add(needing("clean")) == []
    assert AuditEntry.objects.filter(verb="changed", thing_id=template.pk).count() == 1
    chains.change_template(template, {"in_use": False}, by=by)
    assert AuditEntry.objects.filter(verb="changed", thing_id=template.pk).count() == 1


def values(**changes: Any) -> dict[str, Any]:
    return {
        "kind": kind("survey"),
        "words": "Look once more",
        "wait_hours": 0,
        "after_winter": False,
        "season_first": None,
        "season_last": None,
        "minutes_by_size": {"small": 20, "medium": 20, "large": 30},
        "fewest": 2,
        "most": 2,
        "lifters": 0,
        "equipment": {},
        "material": None,
        "material_litres": None,
        "source": "common practice, no source",
    } | changes


def test_a_step_is_added_last_changed_and_taken_out_again() -> None:
    template, by = ChainTemplate.objects.get(key="clean"), make_staff()
    clean = template.steps.get(kind=kind("cleaning"))
    rake = template.steps.get(kind=kind("raking"))
    made = chains.add_step(template, values(wait_hours=24), after=[clean], by=by)
    assert made.order == 3
    assert list(made.after.all()) == [clean]
    jobs = add(needing("clean"))
    assert jobs[-1].wait_hours == 24
    assert list(jobs[-1].prerequisites.all()) == [jobs[-2]]
    chains.change_step(made, values(words="Look"), after=[clean, rake], by=by)
    made.refresh_from_db()
    assert made.words == "Look"
    assert set(made.after.all()) == {clean, rake}
    chains.change_step(made, values(words="Look"), after=[clean, rake], by=by)
    chains.remove_step(clean, by=by)
    assert set(made.after.all()) == {rake, template.steps.get(order=0)}
    assert Job.objects.get(pk=jobs[-2].pk).step is None


def test_a_chain_of_nothing_takes_its_first_step() -> None:
    template = ChainTemplate.objects.create(key="own", name="Own", need="clean", source="own")
    assert chains.add_step(template, values(), after=[], by=make_staff()).order == 0


def test_a_circle_of_steps_is_refused_with_its_names_and_nothing_changes() -> None:
    template, by = ChainTemplate.objects.get(key="clean"), make_staff()
    look, rake, clean = template.steps.order_by("order")
    with pytest.raises(Refused) as refused:
        chains.change_step(
            rake, values(kind=rake.kind, words="Rake it"), after=[look, clean], by=by
        )
    assert [r.sentence for r in refused.value.refusals] == [
        f"Rake it waits for {clean.words} and {clean.words} waits for Rake it: "
        "they would wait for each other for ever."
    ]
    rake.refresh_from_db()
    assert rake.words == "Rake the section"
    assert not rake.after.exists()


def test_a_step_of_another_chain_and_an_absurd_wait_are_refused() -> None:
    template, by = ChainTemplate.objects.get(key="clean"), make_staff()
    other = ChainStep.objects.filter(template__key="reset")[0]
    with pytest.raises(Refused) as refused:
        chains.add_step(template, values(wait_hours=10**6), after=[other], by=by)
    assert [r.code for r in refused.value.refusals] == ["wait", "elsewhere"]


def test_a_new_look_offers_the_next_round() -> None:
    stone, by = make_stone(), make_staff()
    look = {"signs": ["growth"], "sound": "solid", "lean_degrees": 0, "height_above_cm": 100}
    record_survey(stone, {"on": date(2026, 5, 1), **look}, by=by, now=NOW)
    _rake, clean = add(stone)
    finish(clean, NOW)
    assert add(stone) == []
    later = NOW + timedelta(days=700)
    record_survey(stone, {"on": later.date(), **look}, by=by, now=later)
    assert "cleaning" in kinds(chains.add_chain(stone, by=by, now=later))
