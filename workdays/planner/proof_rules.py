"""The hard rules as constraints of the proof."""

from collections import defaultdict

from ortools.sat.python import cp_model

from workdays.planner.proof_model import Key, Model


class Rules:
    """Adds the rules to a model."""

    def __init__(self, model: Model) -> None:
        self.model, self.ground, self.cp = model, model.ground, model.cp

    def add(self) -> None:
        """Add every rule."""
        self._one_crew()
        for key in self.model.of:
            self._has_work_and_time(key)
        for b in range(len(self.ground.blocks)):
            self._equipment(b)
            self._supervision(b)
        self._once_and_after()
        for key in self.model.of:
            self._time(key)

    def _one_crew(self) -> None:
        model = self.model
        for b in range(len(self.ground.blocks)):
            for p in range(len(self.ground.people)):
                here = [
                    model.pick[i]
                    for i, column in enumerate(model.columns)
                    if column.b == b and column.mask >> p & 1
                ]
                self.cp.add_at_most_one(here)

    def _has_work_and_time(self, key: Key) -> None:
        model, ground = self.model, self.ground
        self.cp.add(model.led(key) <= sum(model.does[key].values()))
        for size in range(1, ground.most + 1):
            used = sum(
                ground.duration[j][size] * flag
                for (j, n), flag in model.sized[key].items()
                if n == size
            )
            there = sum(
                (model.columns[i].hi - model.columns[i].lo) * model.pick[i]
                for i in model.of[key]
                if model.columns[i].size == size
            )
            self.cp.add(used <= there)

    def _once_and_after(self) -> None:
        model = self.model
        for j in range(len(self.ground.jobs)):
            everywhere = [does[j] for does in model.does.values() if j in does]
            self.cp.add_at_most_one(everywhere)
            for first in self.ground.after[j]:
                for key, does in model.does.items():
                    if j in does:
                        self.cp.add(does[j] <= self._before(key, first))

    def _before(self, key: Key, first: int) -> cp_model.LinearExprT:
        """1 where a job is done in an earlier block or by the same crew."""
        return sum(
            does[first]
            for other, does in self.model.does.items()
            if first in does and (other[0] < key[0] or other == key)
        )

    def _equipment(self, b: int) -> None:
        model, ground = self.model, self.ground
        for kit, there in enumerate(ground.kit_there):
            held = []
            for key in model.keys(b):
                asked = [
                    (dict(ground.kit[j])[kit], flag)
                    for j, flag in model.does[key].items()
                    if kit in dict(ground.kit[j])
                ]
                if asked:
                    most = self.cp.new_int_var(0, max(count for count, _ in asked), "")
                    for count, flag in asked:
                        self.cp.add(most >= count * flag)
                    held.append(most)
            self.cp.add(sum(held) <= there)

    def _supervision(self, b: int) -> None:
        """Each crew with supervised work has a supervisor near, who has not too many."""
        load: dict[int, list[cp_model.IntVar]] = defaultdict(list)
        trained: dict[int, list[cp_model.IntVar]] = defaultdict(list)
        for key in self.model.keys(b):
            jobs = [j for j in self.model.does[key] if self.model.supervised(j)]
            if jobs:
                self._under(key, jobs)
            for master, flag in self.model.under[key].items():
                load[master].append(flag)
                trained[master].append(self._trainees(key, jobs, flag))
        ratios = self.ground.facts.ratios
        for master, flags in load.items():
            self.cp.add(sum(flags) <= ratios.crews_per_supervisor)
            self.cp.add(sum(trained[master]) <= ratios.trainees_per_supervisor)

    def _under(self, key: Key, jobs: list[int]) -> None:
        model, ground = self.model, self.ground
        masters = ground.classes[ground.job_class[jobs[0]]].masters
        under = model.under[key]
        for other in model.keys(key[0]):
            if masters >> other[1] & 1:
                under[other[1]] = self.cp.new_bool_var("")
                self.cp.add(under[other[1]] <= model.led(other))
        self.cp.add_at_most_one(under.values())
        for j in jobs:
            self.cp.add(model.does[key][j] <= sum(under.values()))
            for master, flag in under.items():
                if master != key[1]:
                    near = self._works_in((key[0], master), ground.section[j])
                    self.cp.add(model.does[key][j] + flag - 1 <= near)

    def _works_in(self, key: Key, section: int) -> cp_model.LinearExprT:
        does = self.model.does[key]
        return sum(flag for j, flag in does.items() if self.ground.section[j] == section)

    def _trainees(self, key: Key, jobs: list[int], flag: cp_model.IntVar) -> cp_model.IntVar:
        """People below signed off under this supervisor in this crew, at least."""
        model, ground = self.model, self.ground
        below = ground.classes[ground.job_class[jobs[0]]].below
        most = len(ground.people)
        count = self.cp.new_int_var(0, most, "")
        inside = sum(
            (model.columns[i].mask & below).bit_count() * model.pick[i] for i in model.of[key]
        )
        self.cp.add(count >= inside - most * (1 - flag))
        return count

    def _time(self, key: Key) -> None:
        """Hours of jobs: linear where all limits lie at one end of the block, else as times."""
        limits = {j: self._limits(key, j) for j in self.model.does[key]}
        limited = {j: limit for j, limit in limits.items() if limit != ("open", 0)}
        kinds = {limit[0] for limit in limited.values()}
        ordered = any(set(self.ground.after[j]) & limits.keys() for j in limited) or any(
            set(self.ground.after[j]) & limited.keys() for j in limits
        )
        if not limited:
            return
        if kinds == {"until"} and not ordered:
            self._until(key, {j: limit[1] for j, limit in limited.items()})
        elif kinds == {"from"} and not ordered:
            self._from(key, {j: limit[1] for j, limit in limited.items()})
        else:
            self._times(key)

    def _limits(self, key: Key, j: int) -> tuple[str, int]:
        """Whether a job may lie anywhere in the block, until or from a time, or else."""
        block, spans = self.ground.blocks[key[0]], self.ground.spans[key[0]][j]
        if self._watched_in_part(key, j) or len(spans) != 1:
            return ("else", 0)
        lo, hi = spans[0]
        if lo == block.start:
            return ("open", 0) if hi == block.end else ("until", hi)
        return ("from", lo) if hi == block.end else ("else", 0)

    def _until(self, key: Key, until: dict[int, int]) -> None:
        """Earliest deadline first works if what is due by each deadline fits before it."""
        model = self.model
        for due in sorted(set(until.values())):
            used = self._used(key, {j for j, end in until.items() if end <= due})
            room = sum(
                max(0, min(due, model.columns[i].hi) - model.columns[i].lo) * model.pick[i]
                for i in model.of[key]
            )
            self.cp.add(used <= room)

    def _from(self, key: Key, begins: dict[int, int]) -> None:
        """The mirror image: what may begin at a time or later fits behind it."""
        model = self.model
        for begin in sorted(set(begins.values())):
            used = self._used(key, {j for j, start in begins.items() if start >= begin})
            room = sum(
                max(0, model.columns[i].hi - max(begin, model.columns[i].lo)) * model.pick[i]
                for i in model.of[key]
            )
            self.cp.add(used <= room)

    def _used(self, key: Key, jobs: set[int]) -> cp_model.LinearExprT:
        return sum(
            self.ground.duration[j][size] * flag
            for (j, size), flag in self.model.sized[key].items()
            if j in jobs
        )

    def _watched_in_part(self, key: Key, j: int) -> bool:
        """Whether a supervisor from another crew could be there for a part of the block only."""
        if not self.model.supervised(j):
            return False
        block = self.ground.blocks[key[0]]
        return any(
            block.arrive[m] > block.start or block.leave[m] < block.end
            for m in self.model.under[key]
            if m != key[1]
        )

    def _times(self, key: Key) -> None:
        model, cp, block = self.model, self.cp, self.ground.blocks[key[0]]
        intervals = []
        for j, flag in model.does[key].items():
            start = cp.new_int_var(block.start, block.end, "")
            lasts = sum(
                self.ground.duration[j][size] * sized
                for (job, size), sized in model.sized[key].items()
                if job == j
            )
            end = cp.new_int_var(block.start, block.end, "")
            size = cp.new_int_var(0, block.end - block.start, "")
            cp.add(size == lasts)
            intervals.append(cp.new_optional_interval_var(start, size, end, flag, ""))
            model.start[(*key, j)] = start
            self._inside(key, j, start, end, flag)
        cp.add_no_overlap(intervals)
        self._in_order(key)

    def _inside(
        self, key: Key, j: int, start: cp_model.IntVar, end: cp_model.IntVar, flag: cp_model.IntVar
    ) -> None:
        """Within the crew's presence, one of the job's stretches, and the supervisor's presence."""
        model, cp, block = self.model, self.cp, self.ground.blocks[key[0]]
        for i in model.of[key]:
            column = model.columns[i]
            if column.lo > block.start or column.hi < block.end:
                both = [flag, model.pick[i]]
                cp.add(start >= column.lo).only_enforce_if(both)
                cp.add(end <= column.hi).only_enforce_if(both)
        if not self.ground.open[key[0]][j]:
            chosen = []
            for lo, hi in self.ground.spans[key[0]][j]:
                here = cp.new_bool_var("")
                cp.add(start >= lo).only_enforce_if(here)
                cp.add(end <= hi).only_enforce_if(here)
                chosen.append(here)
            cp.add(sum(chosen) >= flag)
        if self._watched_in_part(key, j):
            for master, under in model.under[key].items():
                if master != key[1]:
                    cp.add(start >= block.arrive[master]).only_enforce_if([flag, under])
                    cp.add(end <= block.leave[master]).only_enforce_if([flag, under])

    def _in_order(self, key: Key) -> None:
        model, does = self.model, self.model.does[key]
        for j in does:
            for first in self.ground.after[j]:
                if first in does and first != j:
                    both = [does[j], does[first]]
                    before = model.start[(*key, first)]
                    lasts = sum(
                        self.ground.duration[first][size] * sized
                        for (job, size), sized in model.sized[key].items()
                        if job == first
                    )
                    self.cp.add(before + lasts <= model.start[(*key, j)]).only_enforce_if(both)
                elif first == j:
                    self.cp.add(does[j] == 0)
