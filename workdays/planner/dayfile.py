"""Days and plans read from JSON, with one clear sentence for each fault.

The shape is the project's own: people, jobs, sections, blocks, equipment, rules and weights.
Where a file has no `kinds`, its jobs are of the three kinds `rake`, `clean` and `reset`, whose
flags stand below. `windows` (a list) widens `window` (one interval); names, pins, pairs, the
published plan and limits of replanning are further keys that may be absent.
"""

import json
from typing import Any

from workdays.planner.rows import NotADayError, Row, unique
from workdays.rules.facts import (
    SIGNED_OFF,
    BlockFacts,
    Crew,
    DayFacts,
    Interval,
    JobFacts,
    JobPin,
    KindFacts,
    PersonFacts,
    PersonPin,
    Plan,
    PlannedJob,
    Ratios,
    SectionFacts,
    Weights,
)


def three_kinds(new_per_competent: int) -> tuple[KindFacts, ...]:
    """The kinds of work of a file that brings none."""
    return (
        KindFacts("rake", "rake"),
        KindFacts(
            "clean",
            "clean",
            leader_level=SIGNED_OFF,
            new_per_competent=new_per_competent,
            touches=True,
            wets=True,
        ),
        KindFacts(
            "reset",
            "reset",
            leader_level=SIGNED_OFF,
            needs_supervisor=True,
            adults_only=True,
            lifts=True,
            touches=True,
            digs=True,
        ),
    )


def _parsed(text: str | bytes, what: str) -> Row:
    try:
        parsed = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NotADayError(f"{what} is not JSON.") from error
    return Row(what, parsed)


def day_from_text(text: str | bytes) -> DayFacts:
    """Read a day; raises NotADayError with one sentence."""
    return day_from_row(_parsed(text, "The day file"))


def day_from_row(row: Row) -> DayFacts:
    """Read a day from its parsed object; raises NotADayError."""
    rules = row.row("rules")
    facts = DayFacts(
        blocks=_blocks(row),
        people=tuple(_person(r) for r in row.rows("people", required=True)),
        jobs=tuple(_job(r) for r in row.rows("jobs", required=True)),
        kinds=_kinds(row, rules),
        sections=tuple(_section(r) for r in row.rows("sections")),
        kit=row.counts("kit"),
        ratios=_ratios(rules),
        weights=_weights(row.row("weights")),
        name=row.text("name", ""),
        slot_minutes=row.whole("slot_minutes", 15, least=1),
        day_start_minutes=row.whole("day_start_minutes", 540),
        **_wishes(row),
    )
    _check(facts)
    return facts


def _wishes(row: Row) -> dict[str, Any]:
    before = row.fields.get("before")
    return {
        "pins": tuple(_pin(r) for r in row.rows("pins")),
        "job_pins": tuple(_job_pin(r) for r in row.rows("job_pins")),
        "locked": tuple((r.whole("block"), r.text("leader")) for r in row.rows("locked")),
        "apart": _pairs(row, "apart"),
        "together": _pairs(row, "together"),
        "before": None if before is None else plan_from_row(Row("before", before)),
        "now": row.maybe_whole("now"),
        "max_moved": row.maybe_whole("max_moved"),
        "labels": row.names("labels"),
    }


def _check(facts: DayFacts) -> None:
    unique("Person", [person.id for person in facts.people])
    unique("Job", [job.id for job in facts.jobs])
    unique("Kind of work", [kind.id for kind in facts.kinds])
    unique("Section", [section.id for section in facts.sections])
    for job in facts.jobs:
        if job.kind not in facts.kind:
            raise NotADayError(f"Job {job.id} is of a kind of work that the day does not know.")
        if job.section not in facts.section:
            raise NotADayError(f"Job {job.id} is in a section that the day does not know.")
    _check_names(facts)


def _check_names(facts: DayFacts) -> None:
    named = [pin.person for pin in facts.pins] + [p for pair in facts.apart for p in pair]
    named += [p for pair in facts.together for p in pair]
    named += [pin.leader for pin in facts.pins if pin.leader is not None]
    named += [job_pin.leader for job_pin in facts.job_pins]
    blocks = [pin.block for pin in facts.pins] + [job_pin.block for job_pin in facts.job_pins]
    if not facts.person.keys() >= set(named):
        raise NotADayError("A pin or a pair names somebody who does not come.")
    if not facts.job.keys() >= {pin.job for pin in facts.job_pins}:
        raise NotADayError("A pin names a job that the day does not have.")
    if any(block >= len(facts.blocks) for block in blocks):
        raise NotADayError("A pin names a block that the day does not have.")


def _blocks(row: Row) -> tuple[BlockFacts, ...]:
    rows = row.rows("blocks", required=True)
    found = tuple(
        BlockFacts(r.text("name", f"block {i}"), r.whole("start"), r.whole("end"))
        for i, r in enumerate(rows, start=1)
    )
    edges = [edge for block in found for edge in (block.start, block.end)]
    if not found or edges != sorted(edges):
        raise NotADayError("The blocks of the day must follow one another.")
    return found


def _section(row: Row) -> SectionFacts:
    return SectionFacts(row.text("id"), row.metres("x"), row.metres("y"), row.text("label", ""))


def _kinds(row: Row, rules: Row) -> tuple[KindFacts, ...]:
    if "kinds" not in row.fields:
        return three_kinds(rules.whole("untrained_per_competent", 2))
    return tuple(_kind(r) for r in row.rows("kinds"))


def _kind(row: Row) -> KindFacts:
    flags = ("needs_supervisor", "needs_conservator", "adults_only", "lifts", "touches", "wets")
    return KindFacts(
        row.text("id"),
        row.text("skill", ""),
        row.text("label", ""),
        leader_level=row.whole("leader_level", 0),
        helper_level=row.whole("helper_level", 0),
        new_per_competent=row.maybe_whole("new_per_competent"),
        digs=row.yes("digs", False),
        **{flag: row.yes(flag, False) for flag in flags},
    )


def _ratios(row: Row) -> Ratios:
    usual = Ratios()
    return Ratios(
        min_crew=row.whole("min_crew", usual.min_crew),
        max_crew=row.whole("max_crew", usual.max_crew),
        crews_per_supervisor=row.whole("crews_per_supervisor", usual.crews_per_supervisor),
        trainees_per_supervisor=row.whole("trainees_per_supervisor", usual.trainees_per_supervisor),
        minors_follow=row.yes("minors_follow", False),
    )


def _weights(row: Row) -> Weights:
    usual = Weights()
    names = Weights.__dataclass_fields__
    return Weights(**{name: row.whole(name, getattr(usual, name)) for name in names})


def _person(row: Row) -> PersonFacts:
    return PersonFacts(
        id=row.text("id"),
        arrive=row.whole("arrive"),
        leave=row.whole("leave"),
        levels=row.counts("levels"),
        name=row.text("name", ""),
        adult=row.yes("adult", True),
        guardian=row.maybe_text("guardian"),
        lift=row.yes("lift", True),
        light=row.yes("light", False),
        leads=row.yes("leads", False),
        conservator=row.yes("conservator", False),
        waiver=row.yes("waiver", True),
        langs=row.texts("langs"),
        party=row.maybe_text("party"),
        goal=row.maybe_text("goal"),
        barred=row.texts("barred"),
        enough=row.texts("enough"),
    )


def _job(row: Row) -> JobFacts:
    return JobFacts(
        id=row.text("id"),
        kind=row.text("kind"),
        section=row.text("section"),
        minutes=row.whole("minutes"),
        priority=row.whole("priority"),
        min_people=row.whole("min", 1),
        max_people=row.whole("max", 6),
        windows=_windows(row),
        kit=row.counts("kit"),
        lifters=row.whole("lifters", 0),
        after=row.texts("after"),
        stone=row.text("stone", ""),
        x=row.metres("x"),
        y=row.metres("y"),
        name=row.text("name", ""),
        blocked=row.text("blocked", ""),
    )


def _windows(row: Row) -> tuple[Interval, ...]:
    found = row.items("windows") if "windows" in row.fields else [row.fields.get("window")]
    return tuple(_window(row, pair) for pair in found)


def _window(row: Row, pair: object) -> Interval:
    wanted = "two whole numbers of quarter hours"
    if not isinstance(pair, list) or len(pair) != 2:
        raise row.wrong("window", wanted)
    start, end = pair
    if type(start) is not int or type(end) is not int:
        raise row.wrong("window", wanted)
    return Interval(start, end)


def _pin(row: Row) -> PersonPin:
    return PersonPin(row.text("person"), row.whole("block"), row.maybe_text("leader"))


def _job_pin(row: Row) -> JobPin:
    return JobPin(row.text("job"), row.whole("block"), row.text("leader"))


def _pairs(row: Row, key: str) -> tuple[tuple[str, str], ...]:
    found = row.items(key)
    pairs = [tuple(pair) for pair in found if isinstance(pair, list)]
    if len(pairs) != len(found) or not all(_is_pair(pair) for pair in pairs):
        raise row.wrong(key, "a list of pairs of people")
    return tuple((one, other) for one, other in pairs)


def _is_pair(pair: tuple[Any, ...]) -> bool:
    return len(pair) == 2 and all(isinstance(key, str) for key in pair)


def plan_from_text(text: str | bytes) -> Plan:
    """Read a plan, alone or under the key `plan`; raises NotADayError with one sentence."""
    row = _parsed(text, "The plan file")
    return plan_from_row(row.row("plan") if "plan" in row.fields else row)


def plan_from_row(row: Row) -> Plan:
    """Read a plan from its parsed object; raises NotADayError."""
    return Plan(tuple(_crew(r) for r in row.rows("crews", required=True)))


def _crew(row: Row) -> Crew:
    return Crew(
        block=row.whole("block"),
        leader=row.text("leader"),
        members=row.texts("members"),
        jobs=tuple(
            PlannedJob(r.text("job"), r.whole("start"), r.whole("end")) for r in row.rows("jobs")
        ),
        supervisor=row.maybe_text("supervisor"),
    )
