"""The plan as the command line prints it."""

from __future__ import annotations

import pytest

from strandline.salon.report.summary import summary


@pytest.mark.practice
def test_a_year_of_it_stands_beside_a_year_of_cover_in_hours_and_money(made):
    """Root cover every 4 weeks is 13 visits a year; common practice, no source."""
    plan = made("noor").plan
    line = next(one for one in summary(plan).splitlines() if one.startswith("Year"))
    this, cover = line.split("; of cover ")
    assert cover.startswith("13 visits, ")
    for said, year in ((this, plan.quote.year_blending), (cover, plan.quote.year_cover)):
        assert f"{year.hours:.2g} h, {year.amount:.0f} EUR" in said
    bare = plan.model_copy(
        update={"quote": plan.quote.model_copy(update={"year_cover": None})}, deep=True
    )
    assert "\nYear" not in summary(bare)
