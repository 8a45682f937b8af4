"""The master of the columns: which crews to take in parts, so that nothing scarce is used twice.

Its duals, made non-negative, are prices at which the pricing gives a bound.
"""

from collections.abc import Iterable

import numpy as np
from ortools.linear_solver import pywraplp

from workdays.planner.column_bans import Bans
from workdays.planner.column_prices import Floats, Prices
from workdays.planner.column_rows import Part, Rows
from workdays.planner.column_sorts import CrewColumn, Sorts
from workdays.planner.index import Ground

LEAST = 1e-7


class Master:
    """The linear program over the columns met so far."""

    def __init__(self, ground: Ground, sorts: Sorts) -> None:
        self.ground, self.sorts = ground, sorts
        self.rows = Rows(ground, sorts)
        self.columns: dict[CrewColumn, pywraplp.Variable] = {}
        self.closed: set[CrewColumn] = set()
        self.bans = Bans()
        self.lp = pywraplp.Solver.CreateSolver("GLOP")
        self.lp.Objective().SetMaximization()
        self.lines = [self.lp.Constraint(-self.lp.infinity(), most) for most in self.rows.most]
        for extra in self.rows.extras:
            self._variable(extra.points, extra.rows)

    def _variable(self, points: float, rows: Iterable[Part]) -> pywraplp.Variable:
        variable = self.lp.NumVar(0, self.lp.infinity(), "")
        self.lp.Objective().SetCoefficient(variable, points)
        for row, factor in rows:
            self.lines[row].SetCoefficient(variable, factor)
        return variable

    def add(self, column: CrewColumn) -> bool:
        """Take in a column; whether it is new."""
        if column in self.columns:
            return False
        self.columns[column] = self._variable(self.sorts.worth(column), self.rows.of(column))
        return True

    def solve(self) -> tuple[float, Floats] | None:
        """The worth of the best mixture, and the duals of the rows; None: the solver gave up."""
        if self.lp.Solve() != pywraplp.Solver.OPTIMAL:
            return None
        duals = np.array([line.dual_value() for line in self.lines])
        return self.lp.Objective().Value(), np.maximum(duals, 0)

    def enter(self, bans: Bans) -> None:
        """Go to a branch: close the columns that it rules out, and open the others."""
        self.bans = bans
        closed = bans.ruled_out(self.columns)
        for column in closed - self.closed:
            self.columns[column].SetUb(0)
        for column in self.closed - closed:
            self.columns[column].SetUb(self.lp.infinity())
        self.closed = closed

    def mixture(self) -> dict[CrewColumn, float]:
        """The columns of the last solution with their shares."""
        shares = {column: part.solution_value() for column, part in self.columns.items()}
        return {column: share for column, share in shares.items() if share > LEAST}

    def prices(self, duals: Floats) -> Prices:
        """The duals as prices, what is banned too dear."""
        prices = Prices(self.ground)
        prices.charge(self.rows.number, duals)
        self.bans.charge(prices)
        return prices
