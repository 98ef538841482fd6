"""A slow, plain walk of every way to do a head; it shares nothing with the search but its input.

The costs, the walk and the order of values are those said of `Value`, `Hands` and the search.
"""

from __future__ import annotations

import itertools
import math
from functools import cache

import numpy as np

RINSE, WIPE, FIRST = "rinse", "wipe", "first rinse"


class Oracle:
    """Every way walked by itself, in plain numbers; it shares nothing with the search."""

    def __init__(self, problem):
        self.p = problem
        self.best_out = cache(self._best_out)
        self.one = cache(self._one)
        self.whole = sum(
            self.mg(foil, band) for b in problem.blocks for foil in b.foils for band in b.bands
        )

    def mg(self, foil, band):
        shares = [one.share for one in (band, *band.together)]
        return max(1, round(1000 * foil.grams * sum(shares)))

    def _one(self, b, s, vol, seconds):
        """Costs of 1 mg of a stretch that was in for so many seconds."""
        seconds = max(seconds, 0)
        band = self.p.blocks[b].bands[s]
        wishes = self.p.wishes
        each = [
            self.stretch(one, vol, seconds, wishes.ahead_ok if one.ahead else wishes.past_ok)
            for one in (band, *band.together)
        ]
        shares = [one.share for one in (band, *band.together)]
        mean = [
            round(sum(w * c[k] for w, c in zip(shares, each, strict=True)) / sum(shares))
            for k in (1, 2, 3)
        ]
        return (max(c[0] for c in each), *mean)

    def stretch(self, band, vol, seconds, past_ok):
        """Costs of 1 mg of one stretch."""
        choice = next(c for c in band.choices if c.vol == vol)
        stage = float(np.interp(seconds / 60, choice.minutes, choice.middle))
        over = round((stage - band.aim_stage) * 1000)
        begun = max(0, round((float(choice.middle[0]) - band.aim_stage) * 1000))
        limit = band.label_min
        if choice.harm_per_min > 0:
            limit = min(limit, band.harm_max / choice.harm_per_min)
        early = seconds / 60 < choice.minutes_to_aim - self.p.wishes.window_min
        return (
            max(0, seconds - math.floor(60 * limit)),
            max(0, over - begun - round(1000 * past_ok)),
            max(0, -over) if early else 0,
            round(choice.harm_per_min * (seconds / 60) * 1e6),
        )

    def cost(self, b, picks, offsets, out, step):
        """Costs of a block whose first foil comes out at `out`; starts are `offsets`."""
        total = [0, 0, 0, 0]
        for i, (foil, start) in enumerate(zip(self.p.blocks[b].foils, offsets, strict=True)):
            for s, (vol, delay) in enumerate(picks):
                c = self.one(b, s, vol, out + step * i - start - round(60 * delay))
                weight = self.mg(foil, self.p.blocks[b].bands[s])
                total[0] += c[0]
                for k in (1, 2, 3):
                    total[k] += weight * c[k]
        return tuple(total)

    def _best_out(self, b, picks, offsets, painted):
        label = max(band.label_min for band in self.p.blocks[b].bands)
        last = offsets[-1] + math.ceil(60 * (label + max(d for _, d in picks)))
        step = self.p.hands.wipe
        times = range(painted, max(painted, last) + 1)
        return min((self.cost(b, picks, offsets, t, step), t) for t in times)[1]

    def walk(self, order, picks, ways):
        """Value of one way."""
        day = Day(self, picks, ways)
        for b in order:
            day.place(b)
        day.wipe(None)
        total = [0, 0, 0, 0]
        for b, out in day.out.items():
            cost = self.cost(b, picks[b], day.starts[b], out, self.p.hands.wipe)
            total = [a + c for a, c in zip(total, cost, strict=True)]
        low = math.ceil(max(day.now, day.helper, day.ready) / 60)
        value = self.rinsed(total, low, day.starts, picks, ways)
        kinds = sorted({c.vol for x in self.p.blocks for band in x.bands for c in band.choices})
        code = 0
        for b in order:
            for vol, _ in picks[b]:
                code = code * len(kinds) + kinds.index(vol)
        return (*value, len({vol for x in picks for vol, _ in x}), code)

    def ranked(self, value):
        """Give a value as it is compared: burdens in steps of what is alike, itself last."""
        step = max(1, round(self.p.wishes.alike * 1e6 * self.whole))
        return (*value[:3], value[3] // step, *value[4:], value[3])

    def rinsed(self, total, low, starts, picks, ways):
        """Least value over all whole minutes of the rinses."""
        p = self.p
        chair = round(p.wishes.chair_dose / 60 * 1e6 * self.whole)
        longest = max(band.label_min for b in p.blocks for band in b.bands)
        longest += max(max(band.after_min) for b in p.blocks for band in b.bands)
        end = max(max(times) for times in starts.values()) / 60 + longest

        def costs(way, minute):
            out = [0, 0, 0, 0]
            for b, how in enumerate(ways):
                if how == way:
                    cost = self.cost(b, picks[b], starts[b], 60 * minute, 0)
                    out = [a + c for a, c in zip(out, cost, strict=True)]
            return out

        found = []
        firsts = range(low, max(low, math.ceil(end)) + 1) if FIRST in ways else [None]
        for first in firsts:
            begin = low if first is None else math.ceil((60 * first + p.hands.rinse) / 60)
            sooner = [0, 0, 0, 0] if first is None else costs(FIRST, first)
            for last in range(begin, max(begin, math.ceil(end)) + 1):
                later = costs(RINSE, last)
                value = [a + b + c for a, b, c in zip(total, sooner, later, strict=True)]
                value[3] += chair * 60 * last
                found.append(tuple(value))
        return min(found, key=self.ranked)

    def all_ways(self):
        """Every way, as order, strengths and delays by block, and how each block comes out."""
        p = self.p
        each = []
        for block in p.blocks:
            bands = [
                [(c.vol, delay) for c in band.choices for delay in band.after_min]
                for band in block.bands
            ]
            each.append(list(itertools.product(*bands)))
        outs = (RINSE, WIPE, FIRST)[: p.rinses + 1]
        for picks in itertools.product(*each):
            if len({vol for x in picks for vol, _ in x}) > p.most_strengths:
                continue
            for ways in itertools.product(outs, repeat=len(p.blocks)):
                if p.most_wipes is not None and ways.count(WIPE) > p.most_wipes:
                    continue
                if any(
                    how == WIPE and not b.may_wipe for how, b in zip(ways, p.blocks, strict=True)
                ):
                    continue
                for order in p.run:
                    if not (p.one_run and self.returns(order, picks)):
                        yield order, picks, ways

    def returns(self, order, picks):
        """Say whether a strength is left and taken up again."""
        used, last = set(), set()
        for b in order:
            now = {vol for vol, _ in picks[b]}
            if now & (used - last):
                return True
            used |= now
            last = now
        return False

    def best(self):
        return min((self.walk(*way) for way in self.all_ways()), key=self.ranked, default=None)


class Day:
    """One way as it happens, second by second."""

    def __init__(self, oracle, picks, ways):
        self.oracle, self.p, self.h = oracle, oracle.p, oracle.p.hands
        self.picks, self.ways = picks, ways
        self.now, self.helper, self.ready, self.section = 0, 0, 0, None
        self.bowls, self.starts, self.due, self.out = {}, {}, {}, {}

    def wipe(self, until):
        """Wipe what is due until then; all that is left where there is no end."""
        while self.due:
            b = min(self.due, key=lambda one: (self.due[one], one))
            at = max(self.due[b], self.helper if self.h.helper else 0)
            if until is not None and at > self.now:
                return
            takes = self.h.wipe * len(self.p.blocks[b].foils)
            del self.due[b]
            if self.h.helper:
                self.helper = at + takes
            else:
                at = max(at, self.now)
                self.now = at + takes
            self.out[b] = at

    def mix(self, vols, at):
        """Mix what is stale or used up, one bowl after the other; give when that is done."""
        mixed = []
        for vol in vols:
            when, used = self.bowls.get(vol, (-math.inf, 0))
            if self.now - when > self.h.bowl_seconds or used >= self.h.bowl_foils:
                at += self.h.bowl
                mixed.append(vol)
        for vol in vols:
            when, used = (at, 0) if vol in mixed else self.bowls[vol]
            self.bowls[vol] = (when, used + 1)
        return at

    def place(self, b):
        """Place a block, and set when it is due if it is to be wiped."""
        block, picks = self.p.blocks[b], self.picks[b]
        vols = list(dict.fromkeys(vol for vol, _ in picks))
        self.starts[b] = []
        for foil in block.foils:
            self.wipe("now")
            helped = self.h.helper and self.helper <= self.now
            parts = self.section not in (None, block.section)
            at = self.mix(vols, self.now + (self.h.section if parts else 0))
            self.section = block.section
            self.starts[b].append(at)
            self.now = at + round(foil.seconds * (1 - self.h.saving if helped else 1))
            if len(vols) > 1 or any(delay > 0 for _, delay in picks):
                self.now += self.h.second
        first = self.starts[b][0]
        last = self.starts[b][-1] + max(round(60 * delay) for _, delay in picks)
        painted = max(self.now, last)
        self.ready = max(self.ready, painted)
        if self.ways[b] == WIPE:
            offsets = tuple(t - first for t in self.starts[b])
            self.due[b] = first + self.oracle.best_out(b, picks, offsets, painted - first)
