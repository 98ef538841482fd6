"""What a plan keeps of the visits before it, and what of them lies in today's foils."""

from __future__ import annotations

import datetime as dt

from strandline.service.plan.parts import Figure, FoilRow, Part, ScalpKept


class VisitKept(Part):
    """A visit before this one as it was done: its foils, the stage they came to.

    `light_percent` and `coloured_percent` are of the hair before it: light already, and with old
    colour, which began at `old_line_cm` where there was any. `scalp` is where the head was cut that
    day, `length_cm` how long the hair was, stretched. None where its plan did not keep it.
    """

    date: dt.date
    visit: int
    stage: float
    light_percent: float
    coloured_percent: float
    scalp: ScalpKept
    foils: list[FoilRow]
    length_cm: float | None = None
    old_line_cm: float | None = None


class OldColourLeft(Part):
    """Share of the hair that still carries old permanent colour after a visit.

    `planned` is true of today's visit and of one that is still to come.
    """

    visit: int
    date: dt.date
    percent: Figure
    planned: bool


class CarriedPart(Part):
    """What earlier visits left, under today's foils.

    Parameters
    ----------
    visits : before this one, the earliest first; none where only the consultation tells of them
    hit_percent : of the hair taken today that was not light yet, by sight
    new_hair_percent : shed and grown anew since the last visit, colour and light gone with it
    overlap_percent : of the hair taken today that was light already
    overlap_grams : lightener that lies on light lengths, g
    overlap_cm : light length under lightener on a strand that is taken twice, away from the
        hairline; its tenth, middle and ninetieth strand in a hundred; None where none is
    hairline_overlap_cm : the same at the hairline, where light hair is painted to its old line and
        no farther past it than her limit; the mean; None where none is taken twice there
    old_colour : visit by visit, today and one to come among them; none on a head without any
    words : a sentence
    law : what it was computed from
    """

    visits: list[VisitKept]
    hit_percent: Figure
    new_hair_percent: float
    overlap_percent: Figure
    overlap_grams: Figure
    overlap_cm: Figure | None = None
    hairline_overlap_cm: float | None = None
    old_colour: list[OldColourLeft]
    words: str
    law: str
