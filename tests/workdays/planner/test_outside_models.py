"""The planner against published solvers on days that are a known problem in other words."""

from collections.abc import Sequence
from random import Random

import networkx
import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from tests.workdays.rules.crew_days import WHOLE_DAY
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import violations
from workdays.rules.facts import (
    BlockFacts,
    DayFacts,
    JobFacts,
    KindFacts,
    PersonFacts,
    Ratios,
    SectionFacts,
)

Name = tuple[str, ...]
SLOTS = 12
KINDS = tuple(KindFacts(f"k{i}", f"s{i}", leader_level=2) for i in range(4))


def transport_day(rng: Random) -> tuple[DayFacts, dict[tuple[int, int], int]]:
    """Sorts of people, all alike, and sorts of jobs that take one person all the time.

    Also returns the points of a pair of sorts; pairs that may not be are absent.
    """
    people, jobs, points = [], [], {}
    goals = [rng.randrange(4) for _ in range(4)]
    levels = [{f"s{k}": rng.choice((1, 2, 2)) for k in range(4)} for _ in range(4)]
    worth = [rng.randrange(5, 60) for _ in range(4)]
    for sort in range(4):
        people += [
            PersonFacts(f"p{sort}-{i}", 0, SLOTS, levels[sort], leads=True, goal=f"s{goals[sort]}")
            for i in range(rng.randrange(4, 9))
        ]
        jobs += [
            JobFacts(f"j{sort}-{i}", f"k{sort}", "S1", 15 * SLOTS, worth[sort], 1, 1, WHOLE_DAY)
            for i in range(rng.randrange(4, 12))
        ]
        for kind in range(4):
            if levels[sort][f"s{kind}"] == 2:
                points[sort, kind] = worth[kind] + SLOTS + 15 * (goals[sort] == kind)
    facts = DayFacts(
        blocks=(BlockFacts("morning", 0, SLOTS),),
        people=tuple(people),
        jobs=tuple(jobs),
        kinds=KINDS,
        sections=(SectionFacts("S1"),),
        ratios=Ratios(max_crew=1),
    )
    return facts, points


def _most_by_flow(facts: DayFacts, points: dict[tuple[int, int], int]) -> int:
    """The most points of shipping people to jobs: networkx.max_flow_min_cost.

    Everybody may also stay idle, which costs nothing here.
    """
    graph = networkx.DiGraph()
    people = [int(p.id[1]) for p in facts.people]
    jobs = [int(j.id[1]) for j in facts.jobs]
    for sort in range(4):
        graph.add_edge("all", f"p{sort}", capacity=people.count(sort), weight=0)
        graph.add_edge(f"j{sort}", "end", capacity=jobs.count(sort), weight=0)
        graph.add_edge(f"p{sort}", "end", capacity=people.count(sort), weight=0)
    for (sort, kind), worth in points.items():
        graph.add_edge(f"p{sort}", f"j{kind}", capacity=len(people), weight=-worth)
    flow = networkx.max_flow_min_cost(graph, "all", "end")
    return -int(networkx.cost_of_flow(graph, flow))


@pytest.mark.parametrize("seed", range(8))
def test_sorts_of_people_and_jobs_are_the_transportation_problem(seed: int) -> None:
    """Against minimum cost flow (networkx, network simplex; version in requirements.lock)."""
    facts, points = transport_day(Random(seed))
    found = solve(facts, seed=seed, limit=Limit(rounds=20_000))
    assert violations(facts, found.plan) == []
    assert found.value.total == _most_by_flow(facts, points) - SLOTS * len(facts.people)


def one_person_crews_day(rng: Random, people: int, jobs: int) -> DayFacts:
    """One block, crews of one, several jobs each, two sections, equipment that is scarce."""
    return DayFacts(
        blocks=(BlockFacts("morning", 0, SLOTS),),
        people=tuple(
            PersonFacts(
                f"p{i:02}",
                rng.choice((0, 0, 0, 2)),
                rng.choice((SLOTS, SLOTS, SLOTS - 3)),
                levels={f"s{k}": rng.choice((1, 2, 2)) for k in range(4)},
                leads=True,
                goal=rng.choice((None, "s0", "s1", "s2", "s3")),
            )
            for i in range(people)
        ),
        jobs=tuple(
            JobFacts(
                f"j{i:02}",
                rng.choice(KINDS).id,
                rng.choice(("S1", "S2", "S3")),
                15 * rng.randrange(1, 9),
                rng.randrange(5, 50),
                1,
                1,
                WHOLE_DAY,
                kit=rng.choice(({}, {}, {"hoist": 1})),
            )
            for i in range(jobs)
        ),
        kinds=KINDS,
        sections=(SectionFacts("S1"), SectionFacts("S2"), SectionFacts("S3")),
        kit={"hoist": 2},
        ratios=Ratios(max_crew=1),
    )


class Written:
    """A day of one-person crews written for HiGHS: rows of `least <= coefficients <= most`."""

    def __init__(self, facts: DayFacts) -> None:
        self.facts = facts
        self.names: dict[Name, int] = {}
        self.gain: list[float] = []
        self.rows: list[tuple[dict[int, float], float]] = []
        for job in facts.jobs:
            takers = [p for p in facts.people if p.level(facts.kind_of(job.id).skill) == 2]
            worth = job.priority + facts.lasts(job.id, 1)
            for p in takers:
                self.name(("does", p.id, job.id), worth)
            self.most({("does", p.id, job.id): 1 for p in takers}, 1)
        for person in facts.people:
            self._person(person)
        holds: dict[Name, float] = {name: 1.0 for name in self.names if name[0] == "holds"}
        self.most(holds, facts.kit["hoist"])

    def name(self, name: Name, gain: float) -> None:
        """A choice of yes or no with its points."""
        self.names[name] = len(self.gain)
        self.gain.append(gain)

    def most(self, parts: dict[Name, float], most: float) -> None:
        """A row: the sum of these is at most so much."""
        self.rows.append(({self.names[name]: part for name, part in parts.items()}, most))

    def _person(self, person: PersonFacts) -> None:
        facts, key = self.facts, person.id
        mine = [job for job in facts.jobs if ("does", key, job.id) in self.names]
        time: dict[Name, float] = {
            ("does", key, job.id): float(facts.lasts(job.id, 1)) for job in mine
        }
        self.most(time, min(person.leave, SLOTS) - person.arrive)
        self.name(("holds", key), 0)
        self.name(("learns", key), 15)
        lessons: dict[Name, float] = {
            ("does", key, j.id): -1.0 for j in mine if facts.kind_of(j.id).skill == person.goal
        }
        self.most({("learns", key): 1.0, **lessons}, 0)
        for section in facts.sections:
            self.name(("in", key, section.id), -4)
        # Sections beyond the first cost: one is given back to whoever works at all.
        self.name(("works", key), 4)
        self.most({("works", key): 1.0, **{("does", key, j.id): -1.0 for j in mine}}, 0)
        for job in mine:
            does = ("does", key, job.id)
            self.most({does: 1.0, ("in", key, job.section): -1.0}, 0)
            if job.kit:
                self.most({does: 1.0, ("holds", key): -1.0}, 0)

    def solved(self, seconds: float) -> tuple[float, float]:
        """The best value that HiGHS finds in so many seconds, and its bound."""
        matrix = np.zeros((len(self.rows), len(self.gain)))
        for i, (parts, _) in enumerate(self.rows):
            for column, part in parts.items():
                matrix[i, column] = part
        limits: Sequence[float] = [most for _, most in self.rows]
        found = milp(
            -np.array(self.gain),
            constraints=LinearConstraint(matrix, -np.inf, limits),
            integrality=np.ones(len(self.gain)),
            bounds=Bounds(0, 1),
            options={"time_limit": seconds, "mip_rel_gap": 0},
        )
        idle = sum(p.slots_in(self.facts.blocks[0]) for p in self.facts.people)
        return -found.fun - idle, -found.mip_dual_bound - idle


@pytest.mark.parametrize("seed", range(2))
def test_highs_finds_no_better_plan_of_one_person_crews(seed: int) -> None:
    """Against HiGHS (scipy.optimize.milp; version in requirements.lock), 20 people and 60 jobs."""
    facts = one_person_crews_day(Random(seed), people=20, jobs=60)
    best, bound = Written(facts).solved(seconds=2)
    found = solve(facts, seed=seed, limit=Limit(rounds=60_000))
    assert violations(facts, found.plan) == []
    assert best - 0.5 < found.value.total < bound + 0.5
