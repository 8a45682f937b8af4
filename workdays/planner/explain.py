"""Why a job is not done, why a person is not placed or not on what they asked to learn.

Each answer is one plain sentence with the first condition that fails, asked over the facts and
the plan from the most lasting (no waiver, nobody may lead) to the most passing (no time left).
Where the day would allow it and the plan has other work, the sentence says who or what is taken,
or what a place would cost in points.
"""

from dataclasses import dataclass

from workdays.planner.room import Scene
from workdays.planner.why_jobs import why_no_job
from workdays.planner.why_people import why_no_lesson, why_no_place
from workdays.rules.counting import joined
from workdays.rules.facts import DayFacts, Plan


@dataclass(frozen=True, slots=True)
class Reason:
    """Why something is left out: `what` is "job", "person" or "goal", `id` whose, and the words.

    `kind` names the sort of reason, as `why_jobs` and `why_people` list them.
    """

    what: str
    id: str
    sentence: str
    kind: str = ""


def explain(facts: DayFacts, plan: Plan) -> list[Reason]:
    """Return a reason for each job not done, each person not placed, each goal not met."""
    scene = Scene(facts, plan)
    placed = {key for crew in plan.crews for key in crew.members}
    learned = _learned(facts, plan)
    found = []
    for job in facts.jobs:
        if job.id not in scene.done:
            kind, sentence = why_no_job(scene, job)
            found.append(Reason("job", job.id, sentence, kind))
    for person in facts.people:
        if person.id not in placed:
            kind, sentence = why_no_place(scene, person)
            found.append(Reason("person", person.id, sentence, kind))
        elif person.goal and person.id not in learned:
            kind, sentence = why_no_lesson(scene, person)
            found.append(Reason("goal", person.id, sentence, kind))
    return found


def _learned(facts: DayFacts, plan: Plan) -> set[str]:
    return {
        key
        for crew in plan.crews
        for key in crew.members
        if facts.person[key].goal in {facts.kind_of(task.job).skill for task in crew.jobs}
    }


def grouped(facts: DayFacts, reasons: list[Reason]) -> list[str]:
    """Say each reason of jobs once for all jobs of a kind of work that it holds for.

    Such as "Gentle cleaning, A1, A2 and B7: Everybody who may lead gentle cleaning has other
    work."; in the order of the first job of each.
    """
    places: dict[tuple[str, str], list[str]] = {}
    for reason in reasons:
        if reason.what == "job":
            kind = facts.kind_of(reason.id)
            what = kind.label or kind.id
            place = facts.job[reason.id].label.removeprefix(f"{what}, ")
            places.setdefault((what, reason.sentence), []).append(place)
    return [f"{what}, {joined(found)}: {why}" for (what, why), found in places.items()]
