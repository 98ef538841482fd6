"""Checks teach: a belief and what was seen give a belief.

For a device that has to give the same to 1e-9, with nothing but + - * / sqrt exp log on arrays
of at most ten numbers (K = 8 unknowns, one more for a foil):

1. Each check becomes an observation (`observation.observed`) at the belief's mean wet bias: a
   reading z, a row h of K numbers, an sd e, and a bound. Those that say nothing are left out.
2. Sort by minutes in, then foil, then bound, y, slope, sd, bias, known, row.
3. Ordinary observations are grouped by foil, foils in the order of their first. Every weight w
   starts at 1.
4. A pass begins at the belief. For a foil the state gains a ninth unknown, its own rate, mean 0
   and variance s^2, uncorrelated; each of its observations, row (h, 1), noise e^2/w, moves it,

       p = C h,  S = h . p + noise,  v = z - h . m,  m += p v/S,  C -= p p'/S

   with e'^2 = e^2 (nu + 3)/(nu + 1) for e^2, and the ninth is dropped. Then one-sided ones: of
   those not yet taken, the one that the mean violates most, b (z - h . m)/e greatest and above 0
   (b its bound; the first of equals), moves the state likewise, row h, noise e'^2/w + s^2; again
   until none is violated. One that was taken and is not violated by the mean at the end is left
   out, and the pass begins anew without it, until there is none such: a one-sided check never
   pulls the other way.
5. After a pass, r = (z - h . m)/sqrt(e^2 + s^2) and w = (nu + 1)/(nu + r^2). Three passes, always.
6. The covariance is multiplied by max(1, (nu + q)/(nu + count)): q the sum of v^2/S over the
   observations that moved the first pass, where every weight was 1, count their number.
7. A checked foil keeps its own share: `belief.Own`, with the weights of the last pass, its
   variance multiplied likewise.

Why the factor in 4: a Student error of scale e and nu degrees of freedom tells only as much as a
normal one of variance e^2 (nu + 3)/(nu + 1), its Fisher information. The weights put an outlier
aside; they are 1 in the mean, so that without the factor every reading would count for more.

Where 6 comes from: let unknowns and readings together be multivariate t with nu degrees of
freedom. Given the readings, the unknowns are t about the normal answer, with the normal
covariance times (nu + q)/(nu + count), q the squared distance of the readings from their
prediction in its own covariance. That distance is the sum of the squared steps v/sqrt(S) of one
pass, each against the prediction of its turn. Below 1 the factor would narrow more than the
normal law does; it is held at 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import overload

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.base.facts.fold import RINSE_AT_ONCE
from strandline.science.chemistry.lift import constants as of_lift
from strandline.service.learning.belief import Belief, Own
from strandline.service.learning.observation import Check, Observation, observed
from strandline.service.learning.passes import by_foil, one_pass
from strandline.service.learning.starting import WET, constants

Floats = NDArray[np.float64]

PASSES = 3
HARMLESS = ("itch",)
"""What may be felt without a rinse at once. A word that is not known is believed to hurt."""


@dataclass(frozen=True, slots=True)
class Override:
    """Something hurts: there is no belief and no clock to ask, the hair is rinsed.

    Parameters
    ----------
    felt : what was felt or found, as it was said
    says : what to do
    """

    felt: tuple[str, ...]
    says: str


def override_of(felt: Sequence[str]) -> Override | None:
    """Say whether what is felt overrides every clock.

    Parameters
    ----------
    felt : words of what the client feels, or 'harm' where harm is seen

    Returns
    -------
    Override for burning, pain, heat, harm and every word that is not known; None for none, or for
    an itch alone
    """
    hurts = tuple(word for word in felt if word not in HARMLESS)
    if not hurts:
        return None
    known = (*RINSE_AT_ONCE, "harm")
    said = ", ".join(word if word in known else f"'{word}'" for word in hurts)
    return Override(
        hurts,
        f"Rinse now, whatever any clock says: {said}. Harm goes on after pain stops; the label "
        "and local code say what follows.",
    )


@overload
def updated(belief: Belief, checks: Sequence[Check | Observation]) -> Belief: ...
@overload
def updated(
    belief: Belief, checks: Sequence[Check | Observation], felt: Sequence[str]
) -> Belief | Override: ...
def updated(
    belief: Belief, checks: Sequence[Check | Observation], felt: Sequence[str] = ()
) -> Belief | Override:
    """Learn from all the checks of a visit.

    Parameters
    ----------
    belief : as the visit began, of `prior`
    checks : all that were made so far, in any order
    felt : what the client feels, or 'harm'

    Returns
    -------
    Belief, the same to the last bit in whatever order the checks came; or Override, and then
    nothing else was looked at

    Raises
    ------
    OutOfRangeError   a check that cannot be one, or a belief that has learned from checks already:
        they would count twice

    Notes
    -----
    The steps stand at the head of this module. Valid for one bowl in each foil. Not valid for a
    foil that was filled anew: its progress adds, and a check no longer tells one rate.
    """
    override = override_of(felt)
    if override is not None:
        return override
    if belief.own:
        raise OutOfRangeError(
            f"The belief has learned from checks of {len(belief.own)} foils already; it must be "
            "the one the visit began with.",
            "Hand in that one and all the checks made since.",
        )
    bias = float(belief.mean[WET])
    told = [one if isinstance(one, Observation) else observed(one, bias) for one in checks]
    return _learnt(belief, sorted((one for one in told if one), key=lambda one: one.key))


def student_weight(r: float, nu: float) -> float:
    """Weight of an observation r sd off: (nu + 1)/(nu + r^2)."""
    return (nu + 1.0) / (nu + r * r)


def student_information(nu: float) -> float:
    """Share of a normal reading's information that a Student one of its scale has [0-1].

    (nu + 1)/(nu + 3), from the Fisher information of its location.
    """
    return (nu + 1.0) / (nu + 3.0)


def _learnt(belief: Belief, told: list[Observation]) -> Belief:
    if not told:
        return belief
    nu, s2 = constants()["student_nu"].value, of_lift()["foil"].spread ** 2
    order = by_foil(told)
    told_by = student_information(nu)
    weights = [1.0] * len(order)
    widen = 1.0
    for number in range(PASSES):
        used = [told_by * weight for weight in weights]
        state = one_pass(belief.mean, belief.cov, list(zip(order, used, strict=True)), s2)
        if number == 0:
            widen = max(1.0, (nu + state.distance) / (nu + state.count))
        weights = [
            student_weight((o.reading - float(o.full_row @ state.mean)) / _root(o, s2), nu)
            for o in order
        ]
    own = _own([pair for pair in zip(order, used, strict=True) if not pair[0].bound], s2)
    root = float(np.sqrt(widen))
    return Belief(
        belief.names,
        state.mean,
        state.cov * widen,
        tuple(replace(one, sd=one.sd * root) for one in own),
    )


def _root(one: Observation, s2: float) -> float:
    return float(np.sqrt(one.sd * one.sd + s2))


def _own(used: list[tuple[Observation, float]], s2: float) -> list[Own]:
    out = []
    for foil, group in groupby(used, key=lambda pair: pair[0].foil):
        pairs = [(one, weight / (one.sd * one.sd)) for one, weight in group]
        total = sum(w for _, w in pairs)
        row = sum((w * one.full_row for one, w in pairs), np.zeros_like(pairs[0][0].row)) / total
        reading = sum(w * one.reading for one, w in pairs) / total
        whole = total + 1.0 / s2
        out.append(Own(foil, total / whole, row, reading, float(np.sqrt(1.0 / whole))))
    return sorted(out, key=lambda own: own.foil)
