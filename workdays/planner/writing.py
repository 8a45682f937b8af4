"""Days and plans written as JSON, and the hash that names a day's facts."""

import hashlib
import json
from dataclasses import asdict
from typing import Any

from workdays.rules.facts import Crew, DayFacts, Plan

RENAMED = {"min_people": "min", "max_people": "max", "ratios": "rules"}


def day_to_json(facts: DayFacts) -> dict[str, Any]:
    """The whole day as an object that reading turns back into equal facts."""
    found = _renamed(asdict(facts))
    found["before"] = plan_to_json(facts.before) if facts.before is not None else None
    return found


def _renamed(fields: dict[str, Any]) -> dict[str, Any]:
    found = {RENAMED.get(key, key): value for key, value in fields.items()}
    found["jobs"] = [
        {RENAMED.get(key, key): value for key, value in job.items()} for job in found["jobs"]
    ]
    return found


def facts_hash(facts: DayFacts) -> str:
    """A name for exactly these facts: equal facts, equal name."""
    written = json.dumps(day_to_json(facts), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(written.encode()).hexdigest()


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """The plan as the object of its JSON shape."""
    return {"crews": [_crew_to_json(crew) for crew in plan.crews]}


def _crew_to_json(crew: Crew) -> dict[str, Any]:
    return {
        "block": crew.block,
        "leader": crew.leader,
        "members": list(crew.members),
        "supervisor": crew.supervisor,
        "jobs": [{"job": t.job, "start": t.start, "end": t.end} for t in crew.jobs],
    }
