"""Where along a stretch of hair each class carries which of its intervals, week by week.

By law, where only the shares of the classes are known; from the strands themselves, where they are.
Arrays are over weeks (T), distances from the scalp (Y), classes (C), intervals between boundaries
(K, new growth before them) and strands (N).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.seeing.line import covered_share

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]
Cut = tuple[float, float]
"""A week since the day, and how long hair is cut to then against the day's outline [1]."""

_EVEN = 1e-9
"""What divisions by a step may be off."""
_LEAST = 1e-3
"""Where less of the hair reaches, its last tips, the hair before it counts on."""


class Spread(Protocol):
    """How boundaries spread over the hair that is looked at."""

    def shares(self, classes: int) -> Floats:
        """Give the share of each class on the day, shape (C,), summing to 1."""

    def at(
        self,
        classes: int,
        starts_cm: Floats,
        y_cm: Floats,
        age: Floats,
        rate: float,
        grown: Flags | None = None,
    ) -> Floats:
        """Give the share of the area that each class's interval has at each distance.

        Parameters
        ----------
        classes : C
        starts_cm : shape (K,)   where each interval begins on the day, from 0; the last runs on
        y_cm : shape (Y,)        rising by even steps from 0
        age : shape (T,)         weeks since the day, >= 0
        rate : cm a week
        grown : shape (K,)       which starts lie on each strand by its own growth; none if left out

        Returns
        -------
        shape (T, Y, C, K + 1)   new growth first; sums to 1 over the last two
        """

    def reach_cm(self, age: Floats, rate: float) -> Floats:
        """Give how far from the scalp there is hair, shape (T,), cm; its last tips left out."""


@dataclass(frozen=True, eq=False)
class ByLaw:
    """Classes spread alike, each boundary smeared by `covered_share`; nothing is shed.

    Parameters
    ----------
    share : shape (C,)   of the hair [1], summing to 1
    """

    share: Floats

    def shares(self, classes: int) -> Floats:
        """Give the share of each class, shape (C,)."""
        if self.share.shape != (classes,):
            raise OutOfRangeError(
                f"There are {self.share.size} shares for {classes} classes.",
                "Give each class its share.",
            )
        return self.share

    def at(
        self,
        classes: int,
        starts_cm: Floats,
        y_cm: Floats,
        age: Floats,
        rate: float,
        grown: Flags | None = None,  # noqa: ARG002 - a law of shares knows no strand's own growth
    ) -> Floats:
        """Give the share of each class's interval, as `Spread` says."""
        beyond = [
            covered_share(y_cm - start, age[:, None], rate_cm_per_week=rate) for start in starts_cm
        ]
        # `beyond[k]` is the share that has not yet come to interval k; the last interval runs on.
        steps = np.stack([*beyond, np.ones_like(beyond[0])], axis=-1)
        each = np.concatenate([steps[..., :1], np.diff(steps, axis=-1)], axis=-1)
        return np.asarray(self.shares(classes)[:, None] * each[:, :, None, :])

    def reach_cm(self, age: Floats, rate: float) -> Floats:  # noqa: ARG002 - as above
        """Give infinity, shape (T,): a law of shares knows no ends."""
        return np.full(len(age), np.inf)


@dataclass(frozen=True, eq=False)
class OfStrands:
    """The strands that are looked at, each of a class, N of them.

    Parameters
    ----------
    kind : shape (N,)       place of its class
    area : shape (N,)       what it covers: hairs it stands for x diameter, any unit, > 0
    pace : shape (N,)       its growth over the usual rate [1]
    start_cm : shape (N,)   how far from the scalp what was laid 'to the scalp' begins on it, cm
    shed_week : shape (N,)  weeks since the day when it is shed; infinite where never
    tip_cm : shape (N,)     from the scalp on the day, stretched; infinite for longer than is
                            looked at
    curl_factor : stretched over worn length [1], >= 1: growth is stretched, the eye sees hair as
                  it is worn
    outline_cm : shape (N,)   length on the day of a strand that was not shed, as it was cut;
                              needed where there are cuts
    cuts : (week, share) each   when hair is cut, rising, and how long its outline is then against
                                that of the day [1]
    """

    kind: Whole
    area: Floats
    pace: Floats
    start_cm: Floats
    shed_week: Floats
    tip_cm: Floats
    curl_factor: float = 1.0
    outline_cm: Floats | None = None
    cuts: tuple[Cut, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what does not fit together, or strands of no hair.

        Raises
        ------
        OutOfRangeError   arrays of several lengths, no strand at all, areas not above 0, cuts of
                          no outline
        """
        sizes = {len(part) for part in self._parts().values()}
        if len(sizes) != 1 or not len(self):
            raise OutOfRangeError(
                f"The strands to look at are described by {sorted(sizes)} figures each.",
                "Give every strand its class, area, pace, start, day of shedding and tip; look "
                "where hair grows.",
            )
        if not np.all(self.area > 0):
            raise OutOfRangeError("A strand covers no area.", "Leave out strands that are no hair.")
        if self.cuts and self.outline_cm is None:
            raise OutOfRangeError(
                "Strands are cut that have no outline.", "Give the length that each is cut to."
            )

    def __len__(self) -> int:
        """Give how many there are."""
        return len(self.kind)

    def _parts(self) -> dict[str, NDArray[Any]]:
        return {name: part for name, part in vars(self).items() if isinstance(part, np.ndarray)}

    def some(self, which: Flags) -> OfStrands:
        """Give the strands that are marked."""
        return replace(self, **{name: part[which] for name, part in self._parts().items()})  # type: ignore[arg-type]

    def numbered(self, kinds: Whole) -> OfStrands:
        """Give the same with classes numbered by their place among `kinds`, which rise."""
        return replace(self, kind=np.searchsorted(kinds, self.kind))

    def shares(self, classes: int) -> Floats:
        """Give the share of each class in the area, shape (C,)."""
        found = np.bincount(self.kind, self.area, minlength=classes)
        return np.asarray(found / found.sum())

    def edges(self, age: float, rate: float) -> tuple[Floats, Floats]:
        """Give where the day's hair begins on each strand, and its tip, cm, each shape (N,).

        A strand shed since is new growth to its tip. Cuts are not in it: see `in_week`.
        """
        grown = rate * age * self.pace
        shed = self.shed_week <= age
        anew = rate * self.pace * np.maximum(age - np.where(shed, self.shed_week, age), 0.0)
        tip = self.tip_cm + grown
        tip = np.where(shed, np.minimum(anew, tip), tip)
        return np.where(shed, np.inf, self.start_cm + grown), tip

    def in_week(self, week: float, age: float, rate: float) -> OfStrands:
        """Give the same with its tips as the cuts until a week leave them.

        Parameters
        ----------
        week : since the day, >= 0
        age : weeks since the hair was last as on the day: cover is renewed, a cut is not undone
        rate : cm a week

        Notes
        -----
        A cut shortens what is longer than the outline and nothing else, and growth goes on at each
        strand's own rate, as in a head's history (`Lane.length_cm`).
        """
        if not self.cuts or self.outline_cm is None:
            return self
        tip = self.tip_cm + rate * self.pace * week
        for at, share in self.cuts:
            if at <= week:
                tip = np.minimum(tip, self.outline_cm * share + rate * self.pace * (week - at))
        return replace(self, tip_cm=tip - rate * self.pace * age, cuts=())

    def longest_cm(self, weeks: Iterable[float], rate: float) -> Floats:
        """Give the length that each strand comes to at most in those weeks, shape (N,), cm."""
        unshed = replace(self, shed_week=np.full(len(self), np.inf))
        each = [unshed.in_week(week, week, rate).edges(week, rate)[1] for week in weeks]
        return np.asarray(np.max(each, axis=0))

    def cut_within(self, reach_cm: float, week: float) -> bool:
        """Say whether by a week a cut comes nearer to the scalp than a distance, cm."""
        shares = [share for at, share in self.cuts if at <= week]
        if not shares or self.outline_cm is None:
            return False
        return bool(float(self.outline_cm.min()) * min(shares) < reach_cm)

    def at(
        self,
        classes: int,
        starts_cm: Floats,
        y_cm: Floats,
        age: Floats,
        rate: float,
        grown: Flags | None = None,
    ) -> Floats:
        """Give the share of each class's interval, as `Spread` says.

        Where no hair reaches, the hair before it counts on. Exact: for each boundary the strands
        are counted in which it lies farther out than y, and that reach so far.
        """
        own = self.starts(starts_cm, np.zeros(len(starts_cm), bool) if grown is None else grown)
        return np.stack([self._week(own, y_cm, a, rate, classes) for a in age])

    def reach_cm(self, age: Floats, rate: float) -> Floats:
        """Give how far from the scalp there is hair, shape (T,), cm; its last tips left out."""
        out = np.empty(len(age))
        for t, weeks in enumerate(age.tolist()):
            tip = self.edges(weeks, rate)[1]
            order = np.argsort(-tip, kind="stable")
            beyond = np.cumsum(self.area[order])
            out[t] = tip[order[np.searchsorted(beyond, _LEAST * beyond[-1])]]
        return out

    def starts(self, starts_cm: Floats, grown: Flags) -> Floats:
        """Give where intervals begin on each strand on the day, shape (K, N), cm, none falling.

        What hair had grown to lies on a strand by its own rate; what is laid on by hand where the
        hand was.
        """
        own = starts_cm[:, None] * np.where(grown[:, None], self.pace, 1.0)
        return np.asarray(np.maximum.accumulate(own, axis=0))

    def _week(self, starts: Floats, y: Floats, age: float, rate: float, classes: int) -> Floats:
        begins, tip = self.edges(age, rate)
        ends = np.append(begins[None, :] + starts, tip[None, :], axis=0)
        ends = np.minimum(ends, tip)
        # The first place along y that is not before the end: there and farther out it is past.
        step = float(y[1] - y[0]) if len(y) > 1 else 1.0
        steps = np.clip((ends - y[0]) / step - _EVEN, -1.0, len(y))
        place = np.clip(np.ceil(steps), 0, len(y)).astype(np.int64)
        bins = len(y) + 1
        own = self.kind * bins
        counts = np.stack(
            [np.bincount(own + one, self.area, minlength=classes * bins) for one in place]
        ).reshape(len(place), classes, bins)
        before = counts[..., ::-1].cumsum(axis=-1)[..., ::-1][..., 1:]  # (K + 1, C, Y)
        each = np.concatenate([before[:1], np.diff(before, axis=0)])
        each = np.moveaxis(np.maximum(each, 0.0), (0, 1, 2), (2, 1, 0))  # (Y, C, K + 1)
        whole = each.sum(axis=(1, 2))
        there = np.flatnonzero(whole > _LEAST * whole.max())
        if not there.size:  # nothing reaches so far: its ends
            each = np.zeros_like(each)
            each[..., -1] = self.shares(classes)
            return each
        last = int(there[-1])
        each[last + 1 :], whole[last + 1 :] = each[last], whole[last]
        return np.asarray(each / whole[:, None, None])
