"""The loader of example days: what the planner sees of the rows is what the file says."""

from dataclasses import replace

import pytest

from tests.example_day import DAYS, example_day, name_of
from workdays.planner.dayfile import day_from_text
from workdays.queries.planning import planning_facts

pytestmark = pytest.mark.django_db


def test_a_day_of_the_site_holds_what_its_file_says() -> None:
    day = example_day("25x60s1")
    file, site = day_from_text((DAYS / "25x60s1.json").read_text()), planning_facts(day)
    people = {person.label: person for person in site.people}
    keys = {person.id: people[name_of(person.id)].id for person in file.people}
    more = {"fairness": site.weights.fairness, "walk": site.weights.walk}
    assert (site.blocks, dict(site.kit)) == (file.blocks, file.kit)
    assert site.weights == replace(file.weights, **more)
    assert site.ratios == replace(file.ratios, min_crew=2, minors_follow=True)
    assert [job.blocked for job in site.jobs if job.blocked] == []
    for one in file.people:
        there = people[name_of(one.id)]
        assert (there.arrive, there.leave, there.langs) == (one.arrive, one.leave, one.langs)
        light = one.light or (one.adult and not one.lift)  # the site asks for no more than this
        assert (there.adult, there.lift, there.light) == (one.adult, one.lift, light)
        assert there.guardian == (keys[one.guardian] if one.guardian else None)
        assert sorted(there.levels.values())[-3:] == sorted(one.levels.values())
        assert (there.leads, bool(there.party)) == (one.leads, bool(one.party))
        assert there.waiver
    for asked, here in zip(file.jobs, site.jobs, strict=True):
        assert (here.minutes, here.priority, here.kit) == (asked.minutes, asked.priority, asked.kit)
        assert (here.min_people, here.max_people) == (asked.min_people, asked.max_people)
        assert (here.lifters, len(here.after)) == (asked.lifters, len(asked.after))
