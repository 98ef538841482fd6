"""How much of a line is seen as hair grows, by how much of the hair along the parting is light."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from strandline.service.growout.grow import grow_out
from strandline.service.growout.look import HairClass
from strandline.service.plan.assemble import Made
from strandline.service.plan.lifted import all_lanes, is_light
from strandline.service.plan.look import SHOWN, TOP
from strandline.service.plan.on_top import Doing, How, doing, hair_class

SHARES = (0.0, 0.15, 0.3, 0.45, 0.6, 0.8)
"""Shares of the hair taken at which the line is computed; between them it is taken as straight."""


def line_curve(made: Made) -> Callable[[float], float]:
    """Give the line of a part line by the share of it that is taken, 1 where none is.

    Parameters
    ----------
    made : the plan whose lift and glosses are taken

    Returns
    -------
    callable   share taken [0-1] to the mean line of growth over 4, 8, 12 and 16 weeks against that
    of the hair left as it is; 1 throughout where no line is seen at all
    """
    if made.technique.kind != "foils":
        return lambda _: 1.0
    today = doing(made.head, made.doses, made.toned, made.bench)
    looks = made.looks
    lines = []
    for share in SHARES:
        grown = grow_out(
            list(_classes(today, share)),
            SHOWN,
            rate_cm_per_week=looks.rate_cm_per_week,
            fade=looks.fade,
        )
        lines.append(float(np.mean([week.line_of_growth for week in grown.weeks[1:]])))
    if lines[0] <= 0:
        return lambda _: 1.0
    curve = np.array(lines) / lines[0]
    return lambda share: float(np.interp(share, SHARES, curve))


def _classes(today: Doing, share: float) -> Iterator[HairClass]:
    """Give the hair along the parting with a share of its dark lanes in foils."""
    head = today.head
    gray, level = head.gray_of(TOP), head.level_of(TOP)
    lanes = all_lanes(head)[:-1]
    whole = sum(lane.share for lane in lanes)
    for k, lane in enumerate(lanes):
        hows: dict[How, float] = {"foils": share, "left out": 1 - share}
        if is_light(lane):
            hows = {"light already": 1.0}
        for how, part in hows.items():
            for white in (True, False):
                one = hair_class(today, how, k, level, white=white)
                yield replace(one, share=lane.share / whole * part * (gray if white else 1 - gray))
