"""A plan invented by hand, and how a sheet made of it is read."""

from __future__ import annotations

import datetime as dt
import io
import re

import pypdf
import pytest

from strandline.service.plan.gloss_parts import GlossPart, GlossStep
from strandline.service.plan.model import (
    Bowl,
    ClockGroup,
    ClockOfHead,
    GrowOutPart,
    GrowOutWeek,
    NextVisit,
    Poured,
    Quote,
    Reason,
    Seen,
    ServicePlan,
    StrandClass,
    StrandStretch,
    Strength,
    YearCost,
)
from strandline.service.plan.parts import Figure, FoilRow, ScalpKept

DAY = dt.date(2026, 3, 3)
A4_POINTS = (595.28, 841.89)
MAP = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="186mm" height="144mm" viewBox="0 0 186 144">'
    '<rect width="186" height="144" fill="#fff"/><text x="8" y="10" font-size="5">own title</text>'
    '<g><text x="60" y="70" font-size="5">a foil</text></g></svg>'
)


def fig(low, middle, high, unit="min"):
    return Figure(low=low, middle=middle, high=high, unit=unit, law="invented")


def caution(step, number=0):
    return Reason(
        what=f"Danger {step} {number}.",
        do=f"Care {number}.",
        source="common practice, no source",
        weight="caution",
        step=step,
    )


def foil(number, colour=0.0):
    return FoilRow(
        number=number,
        zone="top",
        side="centre",
        section="centre strip",
        kind="slice",
        grade="full",
        bowl="main",
        up_cm=1.0,
        across_cm=(-5.0, 5.0),
        line=[(-5.0, 1.0), (5.0, 1.0)],
        outline=[(-5.0, 1.0), (5.0, 1.0), (5.0, 1.2)],
        length_cm=10.0,
        thickness_mm=2.0,
        pick_mm=0.0,
        left_mm=0.0,
        flipped=False,
        roots=200,
        hair_share=0.1,
        from_cm=0.0,
        hair_grams=1.0,
        lightener_grams=0.0 if colour else 3.0,
        colour_grams=colour,
        reason="invented",
    )


def group(start, number=1):
    return ClockGroup(
        foils=f"{number}-{number + 4}",
        section="centre strip",
        bowl="main",
        start_min=start,
        placed_min=start + 8,
        first_check_min=start + 15,
        due_min=start + 31,
        latest_min=start + 47,
        out_min=start + 31,
        how="wipe",
    )


def gloss(place="mids", order=1, grams=33.0):
    return GlossStep(
        place=place,
        order=order,
        from_cm=2.0,
        to_cm=20.0,
        kind="acid demi",
        parts=[GlossPart(shade="9 pearl", parts=1.0, grams=grams)],
        developer_vol=6.7,
        developer_grams=grams,
        first_look_min=4.0,
        minutes_low=6.0,
        minutes_high=11.0,
        alone_min=9.0,
        ground_lab=(60.0, 8.0, 28.0),
        aim_lab=(55.0, 3.0, 12.0),
        lab=(54.0, 3.0, 14.0),
        delta_e00=2.1,
        depth=9.0,
        why="Cooler on day one.",
        miss="Dull: wash.",
        lights=[],
        light_note="The lamps at the chair show it greener than day does.",
    )


def strength(**changes):
    given = {
        "bowl": "main",
        "band": "old colour 5",
        "from_cm": 2.5,
        "to_cm": 30.0,
        "foils": "1-24",
        "target_vol": 20.0,
        "poured_vol": 20.0,
        "poured": [Poured(vol=20.0, parts=1.0, grams=44.0)],
        "after_min": 0.0,
        "aim_stage": 8.0,
        "minutes_to_aim": fig(19.0, 36.0, 44.0),
        "due_min": 36.0,
        "stage_when_due": fig(5.7, 8.0, 8.3, "stage"),
        "chance_before_label": 0.61,
        "cystine_oxidised": {
            "low": 4.0,
            "middle": 8.0,
            "high": 13.0,
            "unit": "%",
            "law": "from baths",
        },
        "underlying": "deep yellow",
        "neutraliser": "violet",
        "first_check_min": 15.0,
        "why": "invented",
    }
    return Strength(**{**given, **changes})


def seen(line):
    return Seen(
        line=line,
        edge=1.0,
        edge_cm=1.0,
        stripes=0.0,
        light_share=0.3,
        light_level=9.0,
        dark_level=5.0,
        colours=["#493a2f"],
    )


def strands(look, colour):
    return StrandClass(
        name=f"{look} hair",
        look=look,
        share=1.0,
        root_colour="#a9a08a",
        stretches=[StrandStretch(from_cm=0.0, to_cm=30.0, colour=colour)],
    )


def hand_made(**changes):
    """Give an invented plan of twelve foils; what is named is changed."""
    given = {
        "made_with": "strandline test",
        "client": "Ida Probst",
        "date": DAY,
        "visit": 2,
        "verdict": "go",
        "reasons": [],
        "refused": [],
        "technique": "highlights, first soft visit",
        "technique_kind": "foils",
        "technique_reasons": ["Soft."],
        "aim_stage": 8.0,
        "expected_stage": fig(5.7, 8.0, 8.3, "stage"),
        "foil_count": 12,
        "foil_range": (10, 20),
        "foils": [foil(n) for n in range(1, 13)],
        "strengths": [strength()],
        "order": ["nape hairline, fine weave", "rinse"],
        "first_check_min": 17.0,
        "check_every_min": 6.0,
        "bowls": [
            Bowl(
                name="main",
                what="main bowl",
                count=2,
                developer_vol=20.0,
                poured=[Poured(vol=20.0, parts=1.0, grams=44.0)],
                developer_grams=44.0,
                powder_grams=22.0,
                total_grams=66.0,
                bowl_percent=4.0,
                serves="foils 1-12",
            )
        ],
        "clock": ClockOfHead(
            groups=[group(3.0), group(21.0, 6)],
            placed_min=40.0,
            rinse_min=68.0,
            end_min=149.0,
            steps=[("all foils placed", 40.0), ("rinse", 68.0), ("mids", 78.0)],
            notes=["Wipe foils 1-5 at minute 34; the rest goes on."],
            law="invented",
        ),
        "gloss": [gloss()],
        "tone_family": "pearl",
        "tone_why": "",
        "growout": GrowOutPart(
            weeks=[
                GrowOutWeek(week=0.0, grown_cm=0.0, as_kept=seen(0.0), planned=seen(0.0)),
                GrowOutWeek(week=4.0, grown_cm=1.0, as_kept=seen(30.0), planned=seen(12.0)),
                GrowOutWeek(week=8.0, grown_cm=2.0, as_kept=seen(90.0), planned=seen(21.0)),
            ],
            threshold=20.0,
            as_kept_passes_week=fig(2.0, 2.7, 3.4, "weeks"),
            planned_passes_week=fig(6.1, 7.6, None, "weeks"),
            sentence="Covered as today the line is seen after 3 weeks; as planned later.",
            strands=[strands("as kept", "#493a2f"), strands("planned", "#857154")],
            law="invented",
        ),
        "interval_weeks": 12.0,
        "interval_range": (12.0, 14.0),
        "cautions": [caution(step) for step in ("before", "mixing", "foils", "rinse", "gloss")],
        "quote": Quote(
            currency="EUR",
            minutes=164.0,
            product=13.0,
            floor=171.4,
            deposit=43.0,
            lines=[],
            year_blending=YearCost(visits=4.3, hours=16.6, amount=735.0),
            year_cover=YearCost(visits=13.0, hours=21.7, amount=1017.0),
            law="invented",
        ),
        "next_visit": NextVisit(
            gloss_from=dt.date(2026, 4, 14),
            gloss_to=dt.date(2026, 4, 28),
            foils_from=dt.date(2026, 5, 26),
            foils_to=dt.date(2026, 6, 9),
            visits=fig(1.0, 2.0, 3.0, "visits"),
            left_out=[],
            old_share_before=1.0,
            old_share_after=fig(0.7, 0.75, 0.8, "1"),
            takes_next="",
            brick_lay_offset_mm=4.0,
        ),
        "lanes": [],
        "scalp": ScalpKept(circumference_cm=55.0, centre_strip_cm=10.0, fringe_depth_cm=6.0),
        "evidence": [],
        "defaults": [],
    }
    return ServicePlan(**{**given, **changes})


def pages(pdf):
    return list(pypdf.PdfReader(io.BytesIO(pdf)).pages)


def words(pdf):
    """Give the text as read, lines joined."""
    text = "\n".join(page.extract_text() for page in pages(pdf))
    return re.sub(r"\s+", " ", text)


def one_side(pdf):
    (page,) = pages(pdf)
    assert tuple(float(x) for x in page.mediabox[2:]) == pytest.approx(A4_POINTS, abs=0.1)
    return words(pdf)
