"""Why a job is not done: the first condition that leaves no crew for it, in one sentence."""

from collections.abc import Callable

from workdays.planner.fitting import Fit, fits_of_job
from workdays.planner.possible import Condition, Search
from workdays.planner.reason_words import (
    are_there,
    equipment,
    long_enough,
    names,
    points,
    too_late,
    work,
)
from workdays.planner.room import Scene, is_master, may_help, may_lead
from workdays.rules.counting import joined
from workdays.rules.facts import SIGNED_OFF, SUPERVISOR, DayFacts, JobFacts, PersonFacts, Plan

Why = tuple[str, str]  # what kind of reason it is, and the sentence


def why_no_job(scene: Scene, job: JobFacts) -> Why:
    """The binding reason why a job is not done.

    The kind of reason is "order", "blocked", "size", a condition's name where no plan of the day
    could hold the job, "fits", or "taken: " and a condition's name where others have the means.
    """
    facts = scene.facts
    if order := _order(scene, job):
        return "order", order
    if job.blocked:
        return "blocked", job.blocked
    most, fewest = min(job.max_people, facts.ratios.max_crew), _fewest(facts, job)
    if most < fewest:
        return "size", f"It takes at least {fewest} people; a crew has at most {most}."
    search = Search(facts, scene.day, job)
    missing = search.missing()
    if missing is not None:
        return missing.name, never(facts, search, missing)
    return _today(scene, job)


def _fewest(facts: DayFacts, job: JobFacts) -> int:
    return max(job.min_people, facts.ratios.min_crew, 1)


def _order(scene: Scene, job: JobFacts) -> str:
    facts = scene.facts
    for first in job.after:
        if first == job.id or _leads_to(facts, first, job.id):
            return "The jobs that must come before it wait for each other in a circle."
        if first not in facts.job:
            return f"{first}, which must come before it, is not among the jobs of the day."
        if first not in scene.done:
            return f"{facts.job[first].label}, which must come before it, is not done."
    return ""


def _leads_to(facts: DayFacts, start: str, goal: str) -> bool:
    """Whether `goal` must be finished before `start`, directly or through others."""
    waiting, seen = [start], set[str]()
    while waiting:
        key = waiting.pop()
        if key in seen or key not in facts.job:
            continue
        seen.add(key)
        if goal in facts.job[key].after:
            return True
        waiting += facts.job[key].after
    return False


def never(facts: DayFacts, search: Search, missing: Condition) -> str:
    """The sentence for a condition that no crew of the whole day meets."""
    what = work(search.kind)
    if missing <= Condition.EQUIPMENT:
        return _hours(facts, search, missing)
    if missing in (Condition.LEADER, Condition.LEADER_THERE):
        return _no_leader(facts, search)
    if missing in (Condition.MASTER, Condition.MASTER_THERE):
        return _no_master(facts, search)
    if missing in COUNTED:
        return COUNTED[missing](facts, search)
    return {
        Condition.LANGUAGE: "Too few people share a language with somebody who may lead it.",
        Condition.FAMILIES: "Those who could do it are minors, or come with minors, for whom a "
        "crew at it has no place.",
        Condition.APART: "Those who could do it are to be kept apart.",
        Condition.LEARNERS: "It takes more people below signed off than a supervisor may have: "
        f"{facts.ratios.trainees_per_supervisor}.",
        Condition.NEAR: f"No supervisor of {what} could lead it, or lead another crew in the same "
        "section meanwhile.",
        Condition.PINS: "Those who could do it, or the job itself, are pinned elsewhere.",
    }[missing]


def _hours(facts: DayFacts, search: Search, missing: Condition) -> str:
    job = search.job
    if missing == Condition.HOURS:
        return "The hours in which it may be done lie outside the day's hours of work."
    if missing == Condition.LENGTH:
        people = "1 person" if search.most == 1 else f"{search.most} people"
        return f"Even with {people} it takes longer than any stretch in which it may be done."
    lacking = [key for key, n in sorted(job.kit.items()) if n > facts.kit.get(key, 0)]
    there = are_there(facts.kit.get(lacking[0], 0))
    return f"It takes {equipment(facts, lacking[0], job.kit[lacking[0]])}; {there}."


def _stretches(facts: DayFacts, search: Search) -> list[tuple[int, int]]:
    return [pair for block in facts.blocks for pair in search.stretches(block)]


def _no_leader(facts: DayFacts, search: Search) -> str:
    job, kind, what = search.job, search.kind, work(search.kind)
    able = [p for p in facts.people if may_lead(p, job, kind)]
    signed = [p for p in able if p.waiver]
    if signed:
        return too_late(facts, _stretches(facts, search), signed, f"leader for {what}")
    if able:
        return f"Nobody who may lead {what} has a valid waiver."
    if kind.needs_conservator and not any(p.conservator and p.leads for p in facts.people):
        return f"No conservator comes who could lead {what}."
    return f"Nobody who comes may lead {what}."


def _no_master(facts: DayFacts, search: Search) -> str:
    kind, what = search.kind, work(search.kind)
    masters = [p for p in facts.people if p.level(kind.skill) >= SUPERVISOR]
    able = [p for p in masters if is_master(p, kind)]
    if not masters:
        return f"No supervisor of {what} comes."
    if not able:
        lacking = "may lead a crew" if any(p.waiver for p in masters) else "has a valid waiver"
        return f"No supervisor of {what} who comes {lacking}."
    hours = _stretches(facts, search)
    if long_enough(hours, facts.lasts(search.job.id, search.largest), able):
        return (
            f"No supervisor of {what} is there for long enough at the same time as somebody who "
            "may lead it."
        )
    return too_late(facts, hours, able, f"supervisor of {what}")


def _able(facts: DayFacts, search: Search) -> list[PersonFacts]:
    """Who may do the work and is there in some of its hours."""
    hours = _stretches(facts, search)
    return [
        p
        for p in facts.people
        if p.waiver and may_help(p, search.job, search.kind)
        if any(max(p.arrive, lo) < min(p.leave, hi) for lo, hi in hours)
    ]


def _too_few(facts: DayFacts, search: Search) -> str:
    able = len(_able(facts, search))
    if able < search.fewest:
        who = are_there(able, "who may do such work")
        return f"It takes {search.fewest} people; {who}."
    return (
        f"It takes {search.fewest} people or more who may do such work; never so many are there "
        "together for long enough with somebody who may lead it."
    )


def _too_few_lift(facts: DayFacts, search: Search) -> str:
    lifters, able = search.job.lifters, sum(p.lift for p in _able(facts, search))
    if able < lifters:
        return f"It takes {lifters} who can lift; {are_there(able)}."
    return f"It takes {lifters} who can lift; never so many are in one crew for long enough."


def _too_new(facts: DayFacts, search: Search) -> str:
    skill, ratio = search.kind.skill, search.kind.new_per_competent
    signed = sum(p.level(skill) >= SIGNED_OFF for p in _able(facts, search))
    each = f"{ratio} new {'person' if ratio == 1 else 'people'} for each one signed off"
    return f"Too many of its helpers would be new to it: at most {each}; {are_there(signed)}."


COUNTED: dict[Condition, Callable[[DayFacts, Search], str]] = {
    Condition.PEOPLE: _too_few,
    Condition.LIFTERS: _too_few_lift,
    Condition.NEW_PEOPLE: _too_new,
}


def _today(scene: Scene, job: JobFacts) -> Why:
    """Why a job that the day allows is not in this plan."""
    fits = sorted(fits_of_job(scene, job), key=lambda fit: -fit.gain)
    if fits:
        return "fits", _fits(scene.facts, scene.plan, fits[0])
    search = Search(scene.facts, scene.left, job)
    missing = search.missing()
    if missing is None:
        return "taken", "Other work has those who could do it, in the time there is."
    return f"taken: {missing.name}", taken(scene, search, missing)


def _fits(facts: DayFacts, plan: Plan, fit: Fit) -> str:
    at, crew = facts.clock(fit.start), fit.crew
    if any((c.block, c.leader) == (crew.block, crew.leader) for c in plan.crews):
        who = f"The crew of {facts.person[crew.leader].label} has time for it at {at}"
    else:
        verb = "has" if len(crew.members) == 1 else "have"
        who = f"{names(facts, crew.members)} {verb} time for it at {at}"
    if fit.gain > 0:
        return f"{who}, and {points(fit.gain)}: plan the rest again."
    return f"{who}, but {points(fit.gain)}."


def taken(scene: Scene, search: Search, missing: Condition) -> str:
    """The sentence for a condition that nobody meets who has no other work."""
    facts, what, kit = scene.facts, work(search.kind), search.job.kit
    hours = [b for b, block in enumerate(facts.blocks) if any(search.stretches(block))]
    there = (p for b in hours for p in scene.left.people[b])
    free = any(may_lead(p, search.job, search.kind) for p in there)
    lacking = [
        equipment(facts, key, n)
        for key, n in sorted(kit.items())
        if any(scene.left.kit[b].get(key, 0) < n for b in hours)
    ]
    return {
        Condition.ORDER: "What must come before it is finished too late for another crew.",
        Condition.EQUIPMENT: "Other crews have the equipment in the hours in which it may be "
        f"done: it takes {joined(lacking)}.",
        Condition.LEADER_THERE: f"Nobody who may lead {what} is without other work for long enough."
        if free
        else f"Everybody who may lead {what} has other work.",
        Condition.MASTER_THERE: f"Other work has every supervisor of {what} when somebody who may "
        "lead it is free.",
        Condition.PEOPLE: f"Other work has too many of those who may help: it takes "
        f"{search.fewest}, and a leader among them.",
        Condition.LIFTERS: f"Other work has too many of those who can lift: it takes "
        f"{search.job.lifters}.",
        Condition.LANGUAGE: "Too few of those without other work share a language with somebody "
        "who may lead it.",
        Condition.NEW_PEOPLE: "Those without other work are too new to it, without enough signed "
        "off beside them.",
        Condition.FAMILIES: "Those without other work are minors, or come with minors, for whom "
        "a crew at it has no place.",
        Condition.APART: "Those without other work are to be kept apart.",
        Condition.LEARNERS: f"Every supervisor of {what} already has all the crews, or all the "
        "people below signed off, that are allowed.",
        Condition.NEAR: f"No supervisor of {what} is free to lead it, or leads a crew in the same "
        "section.",
        Condition.PINS: "Those without other work, or the job itself, are pinned elsewhere.",
    }.get(missing, "Other work has those who could do it, in the time there is.")
