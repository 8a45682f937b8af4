"""Why somebody is in no crew, or at no work of the skill that they asked to learn."""

from collections import Counter
from collections.abc import Iterable

from workdays.planner.fitting import Fit, fits_of_person
from workdays.planner.possible import Condition, Search
from workdays.planner.reason_words import lower, points, skill_words, work
from workdays.planner.room import Scene, may_help, speak
from workdays.planner.why_jobs import Why, never, why_no_job
from workdays.rules.counting import joined, some
from workdays.rules.facts import DayFacts, JobFacts, PersonFacts

# What a crew that cannot take somebody is or does, by the rule that it would break, the most
# lasting first.
REFUSED = {
    "leads": "{works} while they lead another",
    "pin": "{is} not where they are pinned",
    "locked": "{is} locked",
    "language": "{speaks} no language of theirs",
    "adults only": "{does} work for adults only",
    "light work": "{does} heavy work",
    "limits": "{does} work that they cannot do",
    "helper's level": "{does} work that takes helpers who have learned it before",
    "apart": "{holds} somebody from whom they are kept apart",
    "presence": "{works} when they are not there",
    "guardian": "{is} without their guardian",
    "minors follow": "{has} no place for the minors with them",
    "crew size": "{has} all the people that a crew may have",
    "people": "{has} all the people that the work takes",
    "new people": "{has} all the new people that may be beside those signed off",
    "trainees per supervisor": "{has} a supervisor with all the trainees allowed",
    "length": "{has} no time to take anybody",
    "block": "{has} no time to take anybody",
    "window": "{has} no time to take anybody",
}
VERBS = {
    "has": "have", "works": "work", "speaks": "speak", "does": "do", "holds": "hold", "is": "are",
}  # fmt: skip


def why_no_place(scene: Scene, person: PersonFacts) -> Why:
    """The binding reason why a person is in no crew."""
    facts = scene.facts
    if not person.waiver:
        return "waiver", "No valid waiver is on file."
    if not any(person.slots_in(block) for block in facts.blocks):
        return "presence", "Not there in the hours of work."
    if not person.adult and (reason := _no_guardian(scene, person)):
        return "guardian", reason
    pins = [pin for pin in facts.pins if pin.person == person.id and pin.leader is None]
    if len(pins) == sum(1 for block in facts.blocks if person.slots_in(block)):
        return "pin", "Left out by hand."
    if not facts.jobs:
        return "no job", "No job is ready."
    return _could(scene, person)


def _no_guardian(scene: Scene, minor: PersonFacts) -> str:
    facts = scene.facts
    guardian = facts.person.get(minor.guardian or "")
    if guardian is None:
        return "A minor whose guardian does not come."
    if not any(guardian.slots_in(b) and minor.slots_in(b) for b in facts.blocks):
        return f"A minor whose guardian, {guardian.label}, is not there at the same time."
    if not any(guardian.id in crew.members for crew in scene.plan.crews):
        return f"A minor whose guardian, {guardian.label}, is in no crew."
    return ""


def _cannot(scene: Scene, person: PersonFacts, jobs: Iterable[JobFacts]) -> Why | None:
    """Why the day has no crew for somebody at any of these jobs; None: it has."""
    facts = scene.facts
    leaders = [p for p in facts.people if p.leads and p.adult and p.waiver]
    if not leaders:
        return "leader", "Nobody who comes may lead a crew."
    if not any(speak(person, leader) for leader in leaders):
        return "language", "Shares no language with anybody who may lead."
    able = [job for job in jobs if may_help(person, job, facts.kind_of(job.id))]
    if not able:
        return "limits", "No job of the day is one that this person may do."
    searches = [Search(facts, scene.day, job, must=person) for job in _unlike(facts, able)]
    if any(search.found() for search in searches):
        return None
    if not searches:
        return "blocked", "Each job that this person may do is blocked: " + lower(able[0].blocked)
    reasons = [(search.missing() or Condition.PINS, search.job) for search in searches]
    missing, job = max(reasons, key=lambda reason: reason[0])
    search = Search(facts, scene.day, job)
    if search.missing() == missing:
        sentence = lower(never(facts, search, missing))
        said = f"Nobody could do {job.label}, the nearest to what they may do: {sentence}"
        return f"job: {missing.name}", said
    return f"person: {missing.name}", _lacks(missing)


def _unlike(facts: DayFacts, jobs: Iterable[JobFacts]) -> list[JobFacts]:
    """One of each sort of jobs that ask the same of a crew."""
    sorts: dict[object, JobFacts] = {}
    for job in jobs:
        near = job.section if facts.kind_of(job.id).needs_supervisor else ""
        size = (job.min_people, job.max_people, job.lifters)
        asks = (job.kind, near, size, job.windows, tuple(sorted(job.kit.items())), job.minutes)
        if not job.blocked:
            sorts.setdefault(asks, job)
    return sorted(sorts.values(), key=lambda job: facts.kind_of(job.id).needs_supervisor)


def _lacks(missing: Condition) -> str:
    """What keeps one person from a job that others could do."""
    return {
        Condition.LIFTERS: "Cannot lift, and with them a crew would have too few who can.",
        Condition.LANGUAGE: "Shares no language with enough of those who do what they could do.",
        Condition.NEW_PEOPLE: "New to the work, and too few signed off people are there to be "
        "beside.",
        Condition.FAMILIES: "Their minors, or their guardian, cannot be in a crew with them.",
        Condition.APART: "Kept apart from somebody without whom no crew could be made.",
        Condition.LEARNERS: "Below signed off, and no supervisor may have so many.",
        Condition.NEAR: "Would be needed as the supervisor of their own crew.",
        Condition.PINS: "Pinned where no crew can be made with them.",
    }.get(missing, "Not there long enough for any job together with somebody who may lead it.")


def _could(scene: Scene, person: PersonFacts) -> Why:
    """What this plan would gain or lose by a place, or what each crew says against it."""
    fits, refused = fits_of_person(scene, person)
    if fits:
        return "fits", _takes(scene.facts, max(fits, key=lambda fit: fit.gain), "")
    if why := _cannot(scene, person, scene.facts.jobs):
        return why
    if not refused:
        return "taken", "No crew works while they are there."
    return "refused", _said(refused)


def _takes(facts: DayFacts, fit: Fit, at_what: str) -> str:
    crew, block = fit.crew, facts.blocks[fit.crew.block].name
    who = f"The crew of {facts.person[crew.leader].label} could take them{at_what} in the {block}"
    if fit.gain > 0:
        return f"{who}, and {points(fit.gain)}: plan the rest again."
    return f"{who}, but {points(fit.gain)}."


def _said(refused: list[tuple[str, list[str]]]) -> str:
    """What the crews say, the most frequent first: each crew, whatever its blocks, one thing."""
    by_leader: dict[str, list[list[str]]] = {}
    for leader, rules in refused:
        by_leader.setdefault(leader, []).append(rules)
    counts = Counter(_rule(blocks) for blocks in by_leader.values())
    ordered = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    parts = [_part(rule, count) for rule, count in ordered]
    return f"No crew can take them: {joined(parts)}."


def _rule(blocks: list[list[str]]) -> str:
    """The most lasting rule that a crew would break, in each of its blocks if there is one."""
    everywhere = set(blocks[0]).intersection(*blocks[1:])
    rules = everywhere or {rule for rules in blocks for rule in rules}
    return next((rule for rule in REFUSED if rule in rules), sorted(rules)[0])


def _part(rule: str, count: int) -> str:
    words = REFUSED.get(rule, "{has} no place for them")
    verbs = {one: one if count == 1 else many for one, many in VERBS.items()}
    return f"{some(count, 'crew')} {words.format(**verbs)}"


def why_no_lesson(scene: Scene, person: PersonFacts) -> Why:
    """The binding reason why a person is not at the skill that they asked to learn."""
    facts = scene.facts
    skill = skill_words(facts, person.goal or "")
    jobs = [job for job in facts.jobs if facts.kind_of(job.id).skill == person.goal]
    if not jobs:
        return "no job", f"No job of {skill} is ready."
    able = [job for job in jobs if may_help(person, job, facts.kind_of(job.id))]
    if not able:
        return "barred", _why_barred(facts, person, jobs[0])
    found = _cannot(scene, person, able)
    if found:
        return found
    if not any(job.id in scene.done for job in able):
        return "not done", f"No crew does {skill}. {_first(scene, able)}"
    return _lesson(scene, person, skill)


def _first(scene: Scene, jobs: list[JobFacts]) -> str:
    job = max(jobs, key=lambda job: job.priority)
    return f"{job.label}: {lower(why_no_job(scene, job)[1])}"


def _lesson(scene: Scene, person: PersonFacts, skill: str) -> Why:
    """What a place at the skill would cost, where the person leaves the crew that they are in."""
    fits, refused = fits_of_person(scene, person, person.goal)
    if fits:
        return "fits", _takes(scene.facts, max(fits, key=lambda fit: fit.gain), f" at {skill}")
    if not refused:
        return "taken", f"Not there while {skill} is done."
    return "refused", _said(refused)


def _why_barred(facts: DayFacts, person: PersonFacts, job: JobFacts) -> str:
    kind = facts.kind_of(job.id)
    heavy = kind.lifts or job.lifters > 0
    if not person.adult and (heavy or kind.adults_only):
        return f"Minors are not at {work(kind)}."
    if person.light and heavy:
        return f"Light work only, and {work(kind)} is not."
    if person.level(kind.skill) < kind.helper_level:
        return f"{kind.label or kind.id} takes helpers who have learned it before."
    return f"Cannot do {work(kind)}."
