"""The history of one stone, oldest first: looks, readings, work and who did it, pictures."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date

from workdays.models import (
    Conclusion,
    CrewJob,
    CrewPlan,
    FitJudgement,
    Job,
    LoosePiece,
    Photograph,
    RollEntry,
    Stone,
    Survey,
    Workday,
)
from workdays.queries.readings import ReadingShown, readings_of
from workdays.queries.stones import concluded_words, survey_row

# On one date things are told in the order in which they happen at a stone.
ORDER = ("found", "look", "concluded", "reading", "before", "work", "after", "picture", "piece")


@dataclass(frozen=True)
class Event:
    """One thing that happened at a stone; ``heading`` says it, ``lines`` add to it in words."""

    on: date
    what: str
    heading: str
    lines: list[str] = field(default_factory=list)
    reading: ReadingShown | None = None
    picture: Photograph | None = None


@dataclass(frozen=True)
class Pair:
    """The same stone before and after work."""

    before: Photograph
    after: Photograph


@dataclass(frozen=True)
class History:
    """Everything that is known to have happened at a stone."""

    heading: str
    events: list[Event]
    pairs: list[Pair]


def stone_history(stone: Stone) -> History:
    """Return the history of a stone in a fixed number of statements.

    People who worked are those whom the published plan had at the job and who were on the roll
    of that day; on a record that leaves the house they stand as the lead and a number.
    """
    pictures = list(stone.photographs.select_related("before"))
    found = [
        *_looks(stone),
        *_conclusions(stone),
        *_readings(stone),
        *_work(stone),
        *_pictures(pictures),
        *_pieces(stone),
    ]
    events = sorted(found, key=lambda event: (event.on, ORDER.index(event.what)))
    pairs = [Pair(one.before, one) for one in pictures if one.before is not None]
    return History(_heading(stone, events), events, pairs)


def _heading(stone: Stone, events: list[Event]) -> str:
    looks = sum(event.what == "look" for event in events)
    work = sum(event.what == "work" for event in events)
    seen = "never surveyed" if not looks else _counted(looks, "look", "looks")
    done = "no work yet" if not work else _counted(work, "job done", "jobs done")
    return f"Stone {stone.number}: {seen}, {done}"


def _counted(n: int, one: str, many: str) -> str:
    return f"{n} {one if n == 1 else many}"


def _looks(stone: Stone) -> list[Event]:
    return [_look(survey) for survey in stone.surveys.select_related("by")]


def _look(survey: Survey) -> Event:
    row = survey_row(survey)
    lines = [
        ", ".join(map(str, row.signs)) or "nothing of note",
        f"{survey.get_sound_display()}, {row.lean}",
    ]
    lines += [f"Earlier repair: {survey.previous_repair}"] if survey.previous_repair else []
    lines += [survey.notes] if survey.notes else []
    by = f" by {survey.by.name}" if survey.by else ""
    return Event(survey.on, "look", f"Looked at{by}", lines)


def _conclusions(stone: Stone) -> list[Event]:
    rows = stone.conclusions.select_related("overridden_by")
    zone = stone.cemetery.zone
    return [_conclusion(row, row.made_at.astimezone(zone).date()) for row in rows]


def _conclusion(row: Conclusion, on: date) -> Event:
    if row.overridden_by is None:
        told = [str(reason.get("sentence", "")) for reason in row.reasons]
        return Event(on, "concluded", f"Concluded: {concluded_words(row)}", told)
    why = [row.override_reason] if row.override_reason else []
    said = f"{row.overridden_by.name} decided: {concluded_words(row)}"
    return Event(on, "concluded", said, why)


def _readings(stone: Stone) -> list[Event]:
    return [
        Event(
            shown.row.on,
            "reading",
            f"Read{f' by {shown.row.by.name}' if shown.row.by else ''}",
            reading=shown,
        )
        for shown in readings_of(stone)
    ]


def _work(stone: Stone) -> list[Event]:
    jobs = list(
        stone.jobs.filter(state=Job.State.DONE, done_at__isnull=False).select_related("kind")
    )
    hands = _hands(jobs)
    zone = stone.cemetery.zone
    return [
        Event(
            job.done_at.astimezone(zone).date(),
            "work",
            f"{job.kind.name} done{f': {job.words}' if job.words else ''}",
            [*hands[job.pk], *([job.notes] if job.notes else [])],
        )
        for job in jobs
        if job.done_at is not None
    ]


def _hands(jobs: list[Job]) -> dict[int, list[str]]:
    """Return who did each job, as one line a crew: the lead, and how many with them."""
    parts = list(
        CrewJob.objects.filter(
            job__in=jobs,
            crew__plan__state=CrewPlan.State.PUBLISHED,
            crew__plan__day__state=Workday.State.CLOSED,
        )
        .select_related("crew__plan", "crew__lead")
        .prefetch_related("crew__placements")
        .order_by("starts_at", "pk")
    )
    came = _came({part.crew.plan.day_id for part in parts})
    lines: dict[int, list[str]] = defaultdict(list)
    for part in parts:
        members = {place.person_id for place in part.crew.placements.all()}
        there = members & came[part.crew.plan.day_id]
        others = len(there - {part.crew.lead_id})
        alone = f"Led by {part.crew.lead.name}"
        lines[part.job_id].append(f"{alone}, with {_counted(others, 'other', 'others')}")
    return lines


def _came(days: Iterable[int]) -> dict[int, set[int]]:
    came: dict[int, set[int]] = defaultdict(set)
    for day, person in RollEntry.objects.filter(day__in=days).values_list("day", "person"):
        came[day].add(person)
    return came


def _pictures(pictures: list[Photograph]) -> list[Event]:
    words = {"before": "Before work", "after": "After work", "other": "As it stood"}
    return [
        Event(
            one.taken_on,
            one.moment if one.moment in ("before", "after") else "picture",
            words.get(one.moment, "As it stood"),
            [one.caption] if one.caption else [],
            picture=one,
        )
        for one in pictures
    ]


def _pieces(stone: Stone) -> list[Event]:
    """Return the pieces that belong to the stone with their pictures, and every word on a fit."""
    pieces = stone.loose_pieces.prefetch_related("photographs")
    words = stone.judgements.select_related("piece", "by")
    return [
        *(event for piece in pieces for event in _piece(piece)),
        *(_word(row, stone) for row in words),
    ]


def _piece(piece: LoosePiece) -> Iterator[Event]:
    said = [piece.place, *piece_words(piece), *([piece.notes] if piece.notes else [])]
    yield Event(piece.found_on, "piece", f"Loose piece {piece.tag} found", said)
    for one in piece.photographs.all():
        words = [one.caption] if one.caption else []
        yield Event(one.taken_on, "piece", f"Loose piece {piece.tag}", words, picture=one)


def _word(row: FitJudgement, stone: Stone) -> Event:
    who = row.by.name if row.by else "Somebody"
    said = "belongs here" if row.fits else "does not belong here"
    heading = f"{who} said that loose piece {row.piece.tag} {said}"
    on = row.at.astimezone(stone.cemetery.zone).date()
    return Event(on, "piece", heading, [row.why] if row.why else [])


def piece_words(piece: LoosePiece) -> list[str]:
    """Return what is known of a loose piece, one fact a line."""
    material = "" if piece.material == Stone.Material.UNKNOWN else piece.get_material_display()
    measures = (("thick", piece.thickness_cm), ("wide", piece.width_cm), ("high", piece.height_cm))
    sizes = ", ".join(f"{cm:g} cm {word}" for word, cm in measures if cm is not None)
    letters = f"letters: {piece.letters}" if piece.letters else ""
    edges = f"edges: {piece.edges}" if piece.edges else ""
    return [words for words in (material, sizes, letters, edges) if words]
