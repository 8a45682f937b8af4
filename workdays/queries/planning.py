"""The facts of a day for the planner, gathered in a fixed number of statements."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from coordinator.models import Person
from training.queries import standing_of
from training.rules.standing import Level
from workdays.models import Block, CrewPlan, Job, KindOfWork, PlanRun, SignUp, Workday
from workdays.planner.held import held_on
from workdays.queries.blocks import work_blocks
from workdays.queries.brought import brought_by, stretches
from workdays.queries.crews import equipment_names
from workdays.queries.days import local_date
from workdays.queries.ground import settings_of
from workdays.queries.morning import presence_of
from workdays.queries.plan_keys import job_key, person_key, slot_of
from workdays.queries.plans import plan_and_held, plan_of, published_plan, shown_plan
from workdays.queries.readiness import readiness_of
from workdays.queries.season import did_this_season
from workdays.queries.so_far import ended_by
from workdays.queries.waivers import people_with_waiver
from workdays.queries.weather import workable_windows
from workdays.rules.brought import together
from workdays.rules.facts import (
    NEW,
    SIGNED_OFF,
    SUPERVISOR,
    TAUGHT,
    BlockFacts,
    DayFacts,
    Interval,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
    Ratios,
    SectionFacts,
)
from workdays.rules.fairness import had_enough, plain_kinds
from workdays.rules.plan_weights import weights_of
from workdays.rules.rest import WHOLE_DAY, Rest, at_work, rest_of
from workdays.rules.settings import Value

PLAN_LEVEL = {
    Level.NEW: NEW,
    Level.TAUGHT: TAUGHT,
    Level.PRACTISED: TAUGHT,
    Level.SIGNED_OFF: SIGNED_OFF,
    Level.SUPERVISOR: SUPERVISOR,
}
ROW_LEVEL = {
    KindOfWork.Level.NEW: NEW,
    KindOfWork.Level.TAUGHT: TAUGHT,
    KindOfWork.Level.PRACTISED: TAUGHT,
    KindOfWork.Level.SIGNED_OFF: SIGNED_OFF,
    KindOfWork.Level.SUPERVISOR: SUPERVISOR,
}


def rest_shown(plan: CrewPlan | None) -> Rest:
    """Return how much of the day a plan is for; the whole of it where there is none."""
    return Rest(plan.begins_at) if plan else WHOLE_DAY


def rest_asked(run: PlanRun) -> Rest | None:
    """Return the rest of a day that a request is about; None: as much as the plan shown."""
    return Rest(run.begins_at, run.max_moved) if run.begins_at else None


def planning_facts(day: Workday) -> DayFacts:
    """Return everything that decides whether a plan of this day is right and what it is worth.

    What hands hold is that of the draft, else of the published plan; where that plan is for the
    rest of the day, so are the facts.
    """
    shown = shown_plan(day)
    return facts_of(day, shown, rest_shown(shown))


def facts_of(day: Workday, shown: CrewPlan | None, rest: Rest) -> DayFacts:
    """Return the facts of a day, or of the rest of it, with what hands hold on a plan of it."""
    settings = settings_of(day.cemetery)
    kinds = list(KindOfWork.objects.select_related("skill"))
    works = tuple(plan_kind(kind, settings) for kind in kinds)
    sign_ups = list(
        day.sign_ups.filter(state=SignUp.State.COMING)
        .select_related("person", "wishes")
        .order_by("person_id")
    )
    here = presence_of(day, sign_ups, rest.since)
    local = day.starts_at.astimezone(day.cemetery.zone)
    blocks = work_blocks(day)
    jobs = _jobs(day)
    ended = ended_by(day, rest.since) if rest.since else set()
    brought = brought_by([one for one in sign_ups if here[one.person_id]], stretches(blocks))
    now = slot_of(day, rest.since) if rest.since else None
    facts = DayFacts(
        name=f"{day.cemetery} {local.date()}",
        blocks=tuple(_block(day, block) for block in blocks),
        people=tuple(_people(day, sign_ups, works, here)),
        jobs=tuple(_job_facts(day, jobs, ended)),
        kinds=works,
        sections=tuple(_sections(jobs)),
        kit=together(day.equipment, brought.counted),
        ratios=ratios_of(settings),
        weights=weights_of(day.plan_weights),
        day_start_minutes=local.hour * 60 + local.minute,
        before=_published(day, now),
        now=now,
        max_moved=rest.max_moved,
        labels=_labels(kinds),
    )
    return held_on(facts, *plan_and_held(shown)) if shown else facts


def _labels(kinds: Iterable[KindOfWork]) -> dict[str, str]:
    """Return what skills and equipment are called in sentences."""
    return {kind.skill.key: kind.skill.name for kind in kinds if kind.skill} | equipment_names()


def _block(day: Workday, block: Block) -> BlockFacts:
    return BlockFacts(block.name, slot_of(day, block.starts_at), slot_of(day, block.ends_at))


def plan_kind(kind: KindOfWork, settings: Mapping[str, Value]) -> KindFacts:
    """Return a kind of work, read with its skill, as a plan sees it."""
    return KindFacts(
        id=kind.key,
        skill=kind.skill.key if kind.skill else kind.key,
        label=kind.name,
        leader_level=ROW_LEVEL[KindOfWork.Level(kind.leader_level)],
        helper_level=ROW_LEVEL[KindOfWork.Level(kind.helper_level)],
        new_per_competent=int(settings["new_per_signed_off"]) if kind.limits_new_people else None,
        needs_supervisor=kind.needs_supervisor,
        needs_conservator=kind.needs_conservator,
        adults_only=kind.adults_only,
        lifts=kind.lifts,
        touches=kind.touches,
        wets=kind.wets,
        digs=kind.digs,
    )


def ratios_of(settings: Mapping[str, Value]) -> Ratios:
    """Return the limits of a day that are settings of the cemetery."""
    return Ratios(
        min_crew=int(settings["min_crew"]),
        max_crew=int(settings["max_crew"]),
        crews_per_supervisor=int(settings["crews_per_supervisor"]),
        trainees_per_supervisor=int(settings["trainees_per_supervisor"]),
        minors_follow=True,
    )


def _people(
    day: Workday,
    sign_ups: list[SignUp],
    works: tuple[KindFacts, ...],
    here: Mapping[int, tuple[int, int] | None],
) -> Iterable[PersonFacts]:
    ids = [sign_up.person_id for sign_up in sign_ups]
    on = local_date(day)
    standing = standing_of(ids, cemetery_number=day.cemetery_id, on=on)
    signed = people_with_waiver(day, ids)
    enough = had_enough(did_this_season(day, ids), plain_kinds(works))
    # Digging at the foot of a stone is done on one's knees (common practice, no source).
    low = tuple(kind.id for kind in works if kind.digs)
    for sign_up in sign_ups:
        levels = {key: PLAN_LEVEL[level] for key, level in standing[sign_up.person_id].items()}
        person = _person(sign_up, levels, signed, here[sign_up.person_id] or (0, 0))
        yield replace(
            person,
            barred=low if sign_up.cannot_kneel else (),
            enough=enough.get(sign_up.person_id, ()),
        )


def _person(
    sign_up: SignUp,
    levels: Mapping[str, int],
    signed: frozenset[int],
    there: tuple[int, int],
) -> PersonFacts:
    person: Person = sign_up.person
    return PersonFacts(
        id=person_key(person.pk),
        name=person.name,
        arrive=there[0],
        leave=there[1],
        levels=levels,
        adult=person.is_adult,
        guardian=person_key(sign_up.guardian_id) if sign_up.guardian_id else None,
        lift=person.is_adult and not sign_up.cannot_lift,
        light=sign_up.cannot_lift or sign_up.cannot_stand_long,
        leads=person.is_adult and person.may_lead,
        conservator=person.is_conservator,
        waiver=person.pk in signed,
        langs=tuple(sign_up.languages or person.languages),
        party=f"g{sign_up.party_id}" if sign_up.party_id else None,
        goal=sign_up.wishes.key if sign_up.wishes else None,
    )


def _jobs(day: Workday) -> list[Job]:
    rows = day.jobs.filter(state=Job.State.OPEN).select_related("kind", "section", "stone")
    return list(rows.prefetch_related("prerequisites").order_by("pk"))


def _job_facts(day: Workday, jobs: list[Job], ended: set[int]) -> Iterable[JobFacts]:
    """Give the jobs of a day that have not ended; what has is out of the way of what follows."""
    on = local_date(day)
    blocked = readiness_of(jobs, on, same_day=True, starts_at=day.starts_at, ends_at=day.ends_at)
    windows = workable_windows(day)
    open_jobs = [job for job in jobs if job.pk not in ended]
    here = {job.pk for job in open_jobs}
    for job in open_jobs:
        why_not = " ".join(refusal.sentence for refusal in blocked[job.pk])
        after = [job_key(p.pk) for p in job.prerequisites.all() if p.pk in here]
        yield _job(day, job, why_not, windows, tuple(after))


def _job(
    day: Workday,
    job: Job,
    blocked: str,
    windows: Mapping[str, tuple[Interval, ...]] | None,
    after: tuple[str, ...],
) -> JobFacts:
    whole_day = (Interval(0, slot_of(day, day.ends_at)),)
    east, north = _place(job)
    return JobFacts(
        id=job_key(job.pk),
        kind=job.kind.key,
        section=f"s{job.section_id}",
        # Work of no minutes would have no place in the hours of a crew.
        minutes=max(1, job.minutes_to_do),
        priority=job.priority,
        min_people=job.fewest,
        max_people=job.most,
        windows=whole_day if windows is None else windows.get(job.kind.key, ()),
        kit={key: int(amount) for key, amount in job.equipment.items()},
        lifters=job.lifters,
        after=after,
        stone=job.stone.number if job.stone else "",
        x=east,
        y=north,
        name=job.label,
        blocked=blocked,
    )


def _place(job: Job) -> tuple[float, float]:
    if job.stone and job.stone.east_m is not None and job.stone.north_m is not None:
        return job.stone.east_m, job.stone.north_m
    return job.section.east_m, job.section.north_m


def _sections(jobs: list[Job]) -> Iterable[SectionFacts]:
    seen = {job.section_id: job.section for job in jobs}
    for pk in sorted(seen):
        section = seen[pk]
        yield SectionFacts(f"s{pk}", section.east_m, section.north_m, section.name)


def _published(day: Workday, now: int | None) -> Plan | None:
    """Return the published plan; for the rest of a day, what is left of it then."""
    published = published_plan(day)
    plan = plan_of(published) if published else None
    return plan if plan is None or now is None else at_work(rest_of(plan, now))
