"""A plan's head for a screen that turns it, as bytes."""

from __future__ import annotations

from strandline.service.growout.pictures.weeks import figure_of
from strandline.service.growout.screen.telling import told
from strandline.service.growout.screen.turned import turned
from strandline.service.plan.assemble import Made
from strandline.service.plan.growing import PLANNED, SEARCHED, dressed


def strands_of(made: Made, most: int = 0) -> bytes:
    """Give the head of a plan in every way to keep its hair, half a year week by week.

    Parameters
    ----------
    most : strands to tell, 1 on; as many as fit a slow line if left out
    """
    looks = made.looks
    figure = figure_of(looks.zones.scalp, looks.strands, looks.style)
    return told(turned(figure, dressed(made, SEARCHED), PLANNED, most))
