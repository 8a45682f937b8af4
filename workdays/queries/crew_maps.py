"""The little map of each crew: the sections it works in, its stones in the order of work."""

from collections.abc import Iterable, Mapping, Sequence

from workdays.drawing.crew_map import CrewMapFacts, Picture, StopFacts, draw
from workdays.drawing.ground_facts import SectionFacts, StoneFacts
from workdays.models import Section, Stone
from workdays.queries.crews import JobView
from workdays.queries.plan_stones import outline_of

Numbered = Sequence[tuple[int, JobView]]


def maps_of(jobs_by_crew: Mapping[str, Numbered]) -> dict[str, Picture | None]:
    """Return the map of each crew by its name; None for one without work. One statement."""
    sections = {
        job.job.section_id: job.job.section for jobs in jobs_by_crew.values() for _, job in jobs
    }
    facts = _section_facts(sections)
    return {name: draw(_facts(name, jobs, facts)) for name, jobs in jobs_by_crew.items()}


def _section_facts(sections: Mapping[int, Section]) -> dict[int, SectionFacts]:
    stones: dict[int, list[StoneFacts]] = {pk: [] for pk in sections}
    for stone in _stones(sections):
        stones[stone.section_id].append(
            StoneFacts(
                number=stone.number,
                type=stone.type,
                state="",
                row=stone.row,
                position=stone.position,
                east_m=stone.east_m,
                north_m=stone.north_m,
            )
        )
    return {
        pk: SectionFacts(section.name, tuple(stones[pk]), outline_of(section.outline))
        for pk, section in sections.items()
    }


def _stones(sections: Mapping[int, Section]) -> Iterable[Stone]:
    if not sections:
        return ()
    rows = Stone.objects.filter(section__in=list(sections))
    fields = ("section_id", "number", "type", "row", "position", "east_m", "north_m")
    return rows.only(*fields).order_by("section", "row", "position", "pk")


def _facts(name: str, jobs: Numbered, sections: Mapping[int, SectionFacts]) -> CrewMapFacts:
    """Return what the map of one crew is drawn from; its title says the walk in words."""
    walk = ", ".join(f"{number} {job.stone or job.section}" for number, job in jobs)
    here = dict.fromkeys(job.job.section_id for _, job in jobs)
    return CrewMapFacts(
        title=f"Map of {name} in the order of work: {walk}",
        sections=tuple(sections[pk] for pk in here),
        stops=tuple(StopFacts(number, job.section, job.stone) for number, job in jobs),
    )
