"""How the part line looks and grows out: as it is kept today, and as planned.

The classes of hair on top: in today's foils or left out, white or pigmented, by their lanes; each
with its stretches as they are on the day. The first six centimetres are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np

from strandline.base.quantities import Range
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.hair.pigment import lab
from strandline.service.choose.technique import LITTLE_GRAY, Technique
from strandline.service.consultation.model import AimPicture, Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.growout.grow import GrowOut, WeekSeen
from strandline.service.growout.look import HairClass
from strandline.service.plan.glossing import Toned, on_shelf
from strandline.service.plan.looks import Looks
from strandline.service.plan.model import (
    GrowOutPart,
    GrowOutWeek,
    PictureMet,
    Returned,
    Seen,
    StrandClass,
    StrandStretch,
)
from strandline.service.plan.old_line import old_line
from strandline.service.plan.on_top import worn_fresh
from strandline.service.plan.parts import figure
from strandline.service.plan.picture import Reach, picture_parts, picture_words
from strandline.service.plan.rebooked import line_she_sees
from strandline.service.plan.strand_look import HeadLook
from strandline.service.practice.bench import Bench

SHOWN = (0.0, 4.0, 8.0, 12.0, 16.0)
"""Weeks of the sheets."""
LAST_WEEK = 26
LOOKED_AT_CM = 8.0
"""Strands are drawn this far."""
TOP = {"front": 0.5, "crown": 0.5}
"""The part line lies on top, which front and crown answer for alike."""
MOSTLY_WHITE = 0.75
HARDLY_WEEKS = 2.0
"""A plan that puts a line off by less is told to."""
LEAST_SHARE = 0.0005
"""Classes of less hair are not listed."""


def grow_out_part(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    looks: Looks,
    toned: Toned,
    bench: Bench,
    reach: Reach,
    returns: list[Returned],
) -> GrowOutPart:
    """Compute the grow-out of today's plan beside the way it is kept, and beside a picture."""
    weeks = [float(week) for week in range(LAST_WEEK + 1)]
    now, then = looks.grown(looks.kept, weeks), looks.grown(looks.planned, weeks)
    seen_from = line_she_sees(returns, bench)
    threshold = round(seen_from.middle, 1)
    passes = (
        now.week_line_passes(threshold, growth_alone=True),
        then.week_line_passes(threshold, growth_alone=True),
    )
    return GrowOutPart(
        weeks=[
            GrowOutWeek(
                week=week,
                grown_cm=round(looks.rate_cm_per_week * week, 2),
                as_kept=_seen(now.weeks[int(week)]),
                planned=_seen(then.weeks[int(week)]),
            )
            for week in SHOWN
        ],
        threshold=threshold,
        threshold_range=figure(seen_from),
        returns=returns,
        as_kept_passes_week=figure(passes[0]),
        planned_passes_week=figure(passes[1]),
        sentence=_sentence(technique, head, passes, now, then),
        picture=picture_words(c.aim.picture, then.weeks[0].contrast, reach)
        if c.aim.picture is not None
        else "",
        picture_parts=_picture_parts(c.aim.picture, then, reach),
        old_line=old_line(head, toned, head.gray_of(TOP), head.level_of(TOP), bench, on_shelf(c))
        if technique.kind == "foils"
        else [],
        strands=[
            *_strands(looks, looks.kept, "as kept"),
            *_strands(looks, looks.planned, "planned"),
        ],
        law="shown growth S = integral over 6 cm of max(0, dE00 - 2) dy on the part line",
    )


def _picture_parts(wanted: AimPicture | None, then: GrowOut, reach: Reach) -> list[PictureMet]:
    if wanted is None:
        return []
    return [
        PictureMet(
            what=one.what,
            wanted=round(one.wanted, 2),
            today=None if one.today is None else round(one.today, 2),
            visit=one.visit,
            words=one.words,
        )
        for one in picture_parts(wanted, then.weeks[0].contrast, reach)
    ]


def _seen(week: WeekSeen) -> Seen:
    contrast = week.contrast
    return Seen(
        line=round(week.line_of_growth, 1),
        edge=round(week.edge, 1),
        edge_cm=round(week.edge_cm, 1),
        stripes=round(week.stripes_mirror, 1),
        light_share=round(contrast.light_share, 2),
        light_level=round(contrast.light_level, 1),
        dark_level=round(contrast.dark_level, 1),
        colours=hex_from_lab(week.lab[::5]),
    )


def _strands(
    looks: Looks, look: HeadLook, name: Literal["as kept", "planned"]
) -> Iterator[StrandClass]:
    """Give the classes that lie along the parting, the commonest first."""
    share = look.hair.some(looks.beside).shares(len(look.classes))
    for k in np.argsort(-share, kind="stable"):
        if share[k] >= LEAST_SHARE:
            yield _strand(look.classes[k], float(share[k]), name)


def _strand(one: HairClass, share: float, look: Literal["as kept", "planned"]) -> StrandClass:
    return StrandClass(
        name=one.name,
        look=look,
        share=round(share, 4),
        root_colour=hex_from_lab(lab(one.root))[0],
        stretches=[
            StrandStretch(
                from_cm=round(layer.from_cm, 2),
                to_cm=round(min(layer.to_cm, LOOKED_AT_CM * 10), 2),
                colour=hex_from_lab(lab(layer.fibre))[0],
            )
            for layer in one.layers
            if layer.from_cm < LOOKED_AT_CM
        ],
    )


def _sentence(
    technique: Technique,
    head: HeadReading,
    passes: tuple[Range, Range],
    now: GrowOut,
    then: GrowOut,
) -> str:
    """Say in a sentence or two what the figures mean."""
    gray = head.gray_mean
    if technique.kind == "none":
        return "Nothing is planned, so nothing changes."
    told = []
    week = 8
    if head.cover_depth is not None and technique.kind == "foils":
        kept, planned = passes[0].middle, passes[1].middle
        told.append(
            f"{'If colour stops' if worn_fresh(head) else 'Left as it is'} {_after(kept)}; "
            f"as planned {_after(planned)}."
        )
        if planned - kept < HARDLY_WEEKS:
            told.append("That is hardly a gain yet: it comes as the old colour goes.")
    elif technique.kind == "lowlights":
        told.append("What grows is what grew before: there is no line at the root.")
    if (
        technique.kind == "foils"
        and gray < LITTLE_GRAY
        and now.weeks[week].line_of_growth < then.weeks[week].line_of_growth
    ):
        told.append("With so little gray solid cover shows less than foils would.")
    if gray >= MOSTLY_WHITE and technique.kind == "foils":
        told.append("So much is white that contrast comes only by lowlights.")
    return " ".join(told) or f"As planned {_after(passes[1].middle)}."


def _after(value: float) -> str:
    if np.isinf(value):
        return "no line is seen in half a year"
    return f"a line is seen after {value:.0f} weeks"
