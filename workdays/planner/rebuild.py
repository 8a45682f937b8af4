"""The noisy greedy: crews made anew from free people and jobs that nobody does."""

from random import Random

from workdays.planner.draft import Draft
from workdays.planner.index import JobClass, ones
from workdays.planner.state import State, Team

FEW_JOBS = 90


class Builder:
    """Makes crews for a state; `noise` from 0 (always the best looking) upwards."""

    def __init__(self, state: State, rng: Random, noise: float = 0.5) -> None:
        self.state, self.ground, self.rng, self.noise = state, state.ground, rng, noise
        self.all_jobs = list(range(len(state.ground.jobs)))
        self.supervisors = 0
        for asked in self.ground.classes:
            self.supervisors |= asked.masters if asked.supervised else 0

    def build(self, b: int, leaders: list[int]) -> list[Team]:
        """Put in as many crews as seem worth it, led by some of these free people."""
        made = []
        for leader in leaders:
            if self.state.free[b] >> leader & 1:
                team = self.crew(b, leader)
                if team is not None:
                    self.state.put(team)
                    made.append(team)
        return made

    def crew(self, b: int, leader: int) -> Team | None:
        """A crew around the job that looks best for this leader; None: nothing to do."""
        for anchor in self.anchors(b, leader):
            draft = self.people_for(b, leader, anchor)
            if draft is not None and draft.add(anchor):
                self.fill(draft, self.pool(anchor))
                return draft.team()
        return None

    def anchors(self, b: int, leader: int) -> list[int]:
        """The three best looking jobs that this leader may lead now."""
        state, ground, random, noise = self.state, self.ground, self.rng.random, self.noise
        free, mates = state.free[b], ground.blocks[b].mates[leader]
        near = (free & mates).bit_count() + (not mates >> leader & 1)
        may = [
            c.lead >> leader & 1 and c.fewest <= near and self._supervised(b, leader, c)
            for c in ground.classes
        ]
        jobs = self._some_jobs()
        found = [
            (ground.density[j] * (1 - noise * random()), j)
            for j in jobs
            if state.done[j] is None and may[ground.job_class[j]] and ground.spans[b][j]
        ]
        found.sort(reverse=True)
        return [j for _, j in found[:3]]

    def _some_jobs(self) -> list[int]:
        """All jobs of a small day, those of a few sections of a large one."""
        ground = self.ground
        if len(self.all_jobs) <= FEW_JOBS:
            return self.all_jobs
        picked = self.rng.sample(range(len(ground.sections)), min(4, len(ground.sections)))
        return [j for section in picked for j in ground.in_section[section]]

    def _supervised(self, b: int, leader: int, asked: JobClass) -> bool:
        """Whether somebody could supervise such work, should this person lead it."""
        if not asked.supervised or asked.masters >> leader & 1:
            return True
        most = self.ground.facts.ratios.crews_per_supervisor
        load = self.state.supervises[b]
        return any(asked.masters >> m & 1 and load[m] < most for m in self.state.team[b])

    def pool(self, anchor: int) -> list[int]:
        """Jobs to fill up with: all of a small day, else those of the anchor's neighbourhood."""
        ground = self.ground
        if len(self.all_jobs) <= FEW_JOBS:
            return self.all_jobs
        here = ground.section[anchor]
        found = ground.in_section[here]
        other = int(self.rng.random() * len(ground.sections))
        return found if other == here else found + ground.in_section[other]

    def people_for(self, b: int, leader: int, anchor: int) -> Draft | None:
        """A crew of the right size for a job; None: it cannot be had."""
        ground = self.ground
        asked = ground.classes[ground.job_class[anchor]]
        size = self._size(b, anchor, asked)
        if size is None:
            return None
        free = self.state.free[b] & ground.blocks[b].mates[leader] & asked.fit & ~(1 << leader)
        picked = Picker(self, b, leader, asked, size).pick(free)
        return None if picked is None else Draft(self.state, b, leader, picked)

    def _size(self, b: int, anchor: int, asked: JobClass) -> int | None:
        """Mostly the fewest people with whom the job fits, now and then more."""
        block = self.ground.blocks[b]
        lasts = self.ground.duration[anchor]
        sizes = [
            n for n in range(asked.fewest, asked.most + 1) if lasts[n] <= block.end - block.start
        ]
        if not sizes:
            return None
        place = 0
        while place + 1 < len(sizes) and self.rng.random() < 0.35:
            place += 1
        return sizes[place]

    def fill(self, draft: Draft, pool: list[int]) -> None:
        """Add jobs to a crew, the best looking first, until its time is used up."""
        for j in self.wishes(draft, pool):
            if draft.room <= 0:
                break
            draft.add(j)

    def wishes(self, draft: Draft, pool: list[int]) -> list[int]:
        """Jobs that this crew could do, most points for its time first, with noise."""
        ground, done, random = self.ground, self.state.done, self.rng.random
        duration, classes, room, size = ground.duration, ground.job_class, draft.room, draft.size
        allowed, idle = draft.allowed, ground.weights.idle * size
        away, noise, b = ground.weights.section, self.noise, draft.b
        learn = [self._lesson(draft, skill) for skill in range(len(ground.skills))]
        skills = [c.skill for c in ground.classes]
        found = []
        for j in pool:
            if done[j] is not None:
                continue
            c = classes[j]
            if not (allowed[c] if c in allowed else draft.allows(c)):
                continue
            lasts = duration[j][size]
            if lasts > room or not ground.spans[b][j]:
                continue
            worth = ground.priority[j] + idle * lasts + learn[skills[c]]
            if not draft.sections >> ground.section[j] & 1:
                worth -= away
            found.append((worth / (lasts or 0.5) * (1 - noise * random()), j))
        found.sort(reverse=True)
        return [j for _, j in found]

    def _lesson(self, draft: Draft, skill: int) -> int:
        if draft.skills >> skill & 1:
            return 0
        return self.ground.weights.training * (draft.mask & self.ground.goal[skill]).bit_count()


class Picker:
    """Chooses the people of one crew: leader's party and old crew first, with noise."""

    def __init__(self, builder: Builder, b: int, leader: int, asked: JobClass, size: int) -> None:
        self.builder, self.b, self.leader = builder, b, leader
        self.asked, self.size = asked, size
        self.picked = [leader]
        self.mask = 1 << leader

    def pick(self, free: int) -> list[int] | None:
        """The people, leader first; None where the work's rules cannot be met."""
        ground = self.builder.ground
        if not self._bring_kids(self.leader, free) or len(self.picked) > self.asked.most:
            return None
        order = self._order(free)
        self._pick_lifters(order, free)
        for p in order:
            if len(self.picked) >= self.size:
                break
            self._try(p, free)
        lifters = (self.mask & ground.lifting).bit_count()
        enough = len(self.picked) >= self.asked.fewest and lifters >= self.asked.lifters
        return self.picked if enough else None

    def _pick_lifters(self, order: list[int], free: int) -> None:
        lifting = self.builder.ground.lifting
        if not self.asked.lifters:
            return
        for p in order:
            if (self.mask & lifting).bit_count() >= self.asked.lifters:
                break
            if lifting >> p & 1:
                self._try(p, free)

    def _order(self, free: int) -> list[int]:
        """Free people, the most welcome first."""
        builder, ground = self.builder, self.builder.ground
        random, block, leader, b = builder.rng.random, ground.blocks[self.b], self.leader, self.b
        states, weights = builder.state.at, ground.weights
        others = [states[n] for n in (b - 1, b + 1) if 0 <= n < len(states)]
        partners, goal = ground.partners[leader], ground.goal[self.asked.skill]
        lo, hi = block.arrive[leader], block.leave[leader]
        found = []
        for p in ones(free):
            welcome = 14 * random()
            if partners >> p & 1:
                welcome += weights.split
            if goal >> p & 1:
                welcome += weights.training
            if block.leaders >> p & 1:
                welcome -= 4
            for at in others:
                welcome += weights.change * ((at[p] == leader) - (at[p] >= 0 and at[p] != leader))
            welcome -= 2 * (max(0, block.arrive[p] - lo) + max(0, hi - block.leave[p]))
            found.append((welcome, p))
        found.sort(reverse=True)
        return [p for _, p in found]

    def _try(self, p: int, free: int) -> None:
        ground, mask, asked = self.builder.ground, self.mask, self.asked
        if mask >> p & 1 or self.mask & ground.rivals[p]:
            return
        if ground.guardian[p] != -1 and not (
            ground.guardian[p] >= 0 and mask >> ground.guardian[p] & 1
        ):
            return
        if asked.ratio >= 0 and asked.new >> p & 1:
            competent = (mask & asked.competent).bit_count()
            if (mask & asked.new).bit_count() + 1 > asked.ratio * competent:
                return
        kept = self.picked[:], self.mask
        self.picked.append(p)
        self.mask |= 1 << p
        if not self._bring_kids(p, free) or len(self.picked) > self.asked.most:
            self.picked, self.mask = kept

    def _bring_kids(self, guardian: int, free: int) -> bool:
        """Where minors follow: the minors of somebody picked come along, or False."""
        ground = self.builder.ground
        kids = ground.kids[guardian] & ground.blocks[self.b].there
        if not kids or not ground.facts.ratios.minors_follow:
            return True
        if kids & ~free:
            return False
        self.picked += ones(kids & ~self.mask)
        self.mask |= kids
        return True
