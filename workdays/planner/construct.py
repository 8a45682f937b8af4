"""The plan at once: each block in turn, leaders who supervise first, best looking jobs first."""

from workdays.planner.anneal import Annealing
from workdays.planner.index import ones


def construct(annealing: Annealing) -> None:
    """Fill the empty state greedily, without noise."""
    builder, state = annealing.builder, annealing.state
    noise, builder.noise = builder.noise, 0.0
    for b, block in enumerate(builder.ground.blocks):
        leaders = ones(block.leaders)
        leaders.sort(key=lambda p: not builder.supervisors >> p & 1)
        builder.build(b, leaders)
    builder.noise = noise
    annealing.best, annealing.best_teams = state.total, state.teams()
