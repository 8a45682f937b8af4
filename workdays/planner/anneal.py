"""The search: tries accepted by annealing, the best state kept."""

from collections.abc import Callable
from math import exp
from random import Random

from workdays.planner.moves import Step, rebuild_some, refill, shift
from workdays.planner.rebuild import Builder
from workdays.planner.state import State, Team


class Annealing:
    """Improves a state step by step; `heat` is in points and falls as `done` goes 0 to 1."""

    def __init__(self, state: State, rng: Random, hot: float = 12.0, cold: float = 0.6) -> None:
        self.state, self.rng = state, rng
        self.builder = Builder(state, rng)
        self.hot, self.cold = hot, cold
        self.best = state.total
        self.best_teams: list[Team] = state.teams()

    def heat(self, done: float) -> float:
        """The temperature when this part of the work is done."""
        return float(self.hot * (self.cold / self.hot) ** done)

    def run(self, rounds: int, done: float, better: Callable[[], None]) -> None:
        """So many tries at one temperature; `better` is called at each new best."""
        heat = self.heat(done)
        for _ in range(rounds):
            worth = self.state.total
            step = self.step()
            if step is None:
                continue
            if not accepts(self.state.total - worth, heat, self.rng):
                step.undo()
            elif self.state.total > self.best:
                self.best = self.state.total
                self.best_teams = self.state.teams()
                better()

    def step(self) -> Step | None:
        """One try of a kind chosen by chance."""
        dice = self.rng.random()
        if dice < 0.45:
            return rebuild_some(self.builder, self.rng)
        if dice < 0.65:
            return refill(self.builder, self.rng)
        return shift(self.builder, self.rng)


def accepts(gain: int, heat: float, rng: Random) -> bool:
    """Whether a step that changes the points by `gain` is kept."""
    return gain >= 0 or rng.random() < exp(gain / heat)
