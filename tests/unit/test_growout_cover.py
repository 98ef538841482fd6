"""Cover as it is kept: renewed, left, refused."""

from __future__ import annotations

import math

import pytest

from strandline.base.errors import OutOfRangeError
from strandline.salon.evidence.seeing import RATE_CM_PER_WEEK, covered_pair, natural_pair
from strandline.science.fibre import Fibre
from strandline.service.growout.cover import kept_as_today, solid_cover
from strandline.service.growout.grow import GrowOut

WEEKS = tuple(float(week) for week in range(13))


def _same(states: Fibre, _weeks: float) -> Fibre:
    return states


def _kept(gray: float, every_weeks: float | None = None) -> GrowOut:
    return kept_as_today(
        solid_cover(gray, natural_pair(), covered_pair()),
        WEEKS,
        rate_cm_per_week=RATE_CM_PER_WEEK,
        fade=_same,
        every_weeks=every_weeks,
    )


def test_renewed_cover_starts_again_after_its_week() -> None:
    look, left = _kept(0.8, 4.0), _kept(0.8)
    line = [seen.line for seen in look.weeks]
    assert line[1:5] == pytest.approx([seen.line for seen in left.weeks[1:5]])
    assert line[5:9] == pytest.approx(line[1:5])
    assert line[9:13] == pytest.approx(line[1:5])
    assert look.weeks[6].grown_cm == pytest.approx(2 * RATE_CM_PER_WEEK)


def test_cover_renewed_in_time_never_passes() -> None:
    assert _kept(0.8, 2.0).week_line_passes().middle == math.inf
    passes = _kept(0.8).week_line_passes().middle
    assert _kept(0.8, 4.0).week_line_passes().middle == pytest.approx(passes)


def test_shares_and_runs_of_cover() -> None:
    white, pigmented = solid_cover(0.8, natural_pair(), covered_pair(), 0.07)
    assert (white.share, pigmented.share) == pytest.approx((0.8, 0.2))
    assert white.run_mm == pytest.approx(0.35)
    assert white.strand == pigmented.strand


def test_hair_all_white_or_all_pigmented_is_covered_too() -> None:
    assert _kept(1.0).weeks[4].line > _kept(0.8).weeks[4].line
    assert _kept(0.0).weeks[12].line == 0.0


@pytest.mark.parametrize("gray", [-0.1, 1.1, 80.0, math.nan])
def test_gray_out_of_range_is_refused(gray: float) -> None:
    with pytest.raises(OutOfRangeError, match="share of gray"):
        _kept(gray)


@pytest.mark.parametrize("every", [0.0, -4.0, math.nan])
def test_time_between_covers_out_of_range_is_refused(every: float) -> None:
    with pytest.raises(OutOfRangeError, match="renewed every"):
        _kept(0.5, every)
