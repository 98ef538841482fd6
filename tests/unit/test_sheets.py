"""The worksheet on paper: one side for the chair with every figure on it.

Plans that are not an example are invented by hand.
"""

from __future__ import annotations

import io

import pypdf
import pytest
from tests.conftest import HEADS
from tests.invented_plan import (
    MAP,
    caution,
    fig,
    foil,
    gloss,
    group,
    hand_made,
    one_side,
    pages,
    strength,
    words,
)

from strandline.salon.report.colours import sheet_colours, stage_series
from strandline.salon.report.drawing import draw_plan_map
from strandline.salon.report.palette import contrast, luminance
from strandline.salon.report.sheets import client_sheet_pdf, worksheet_pdf
from strandline.salon.report.stop_words import OTHERWISE, what_would_change
from strandline.salon.report.worksheet_clock import (
    axis,
    clock_words,
    dashed,
    label_minutes,
    strength_words,
)
from strandline.salon.report.worksheet_run import running_list
from strandline.salon.report.worksheet_words import worksheet_words
from strandline.service.plan.model import ClockOfHead, Reason


@pytest.mark.parametrize("name", HEADS)
def test_worksheet_of_every_head_is_one_side_with_all_its_figures(made, name):
    one = made(name)
    plan = one.plan
    text = one_side(worksheet_pdf(plan, draw_plan_map(one)))
    assert plan.client in text
    assert plan.verdict.upper() in text
    for bowl in plan.bowls:
        assert f"{bowl.powder_grams:g} g powder" in text
        for part in bowl.poured:
            assert f"{part.grams:g} g {part.vol:g} vol" in text
    for strength_ in plan.strengths:
        assert f"{strength_.after_min + strength_.due_min:.0f} min" in text
    for group_ in plan.clock.groups if plan.clock else []:
        times = (
            group_.start_min,
            group_.first_check_min,
            group_.due_min,
            group_.latest_min,
        )
        row = " ".join(f"{x:.0f}" for x in times)
        assert f"{dashed(group_.foils)} {group_.section} {row} {group_.how}" in text
    for step in plan.gloss:
        for part in step.parts:
            assert not part.grams or f"{part.grams:g} g {part.shade}" in text
    for one_caution in plan.cautions:
        assert f"{one_caution.what} {one_caution.do}" in text
    run = running_list(plan)
    for one in run:
        assert f"{one['at']} {one['what']}" in text
    for number, step in enumerate([] if run else plan.order, 1):
        assert f"{number} {dashed(step)}" in text


def test_drawing_loses_its_own_title_and_nothing_else():
    text = one_side(worksheet_pdf(hand_made(), MAP))
    assert "own title" not in text
    assert "a foil" in text


def test_stop_shows_no_formula_but_reasons_the_strand_test_and_what_would_change():
    stop = Reason(
        what="An unknown colour is in the hair.",
        do="Try a cut strand in the actual mix for 30 min.",
        source="a source",
        weight="stop",
        about="bands",
    )
    text = one_side(worksheet_pdf(hand_made(verdict="stop", reasons=[stop]), MAP))
    assert "STOP. Mix nothing today. An unknown colour is in the hair. Try a cut strand" in text
    assert "The strand test" in text
    assert "makes it a wait, not a go" in text
    for formula in ("powder", " vol", "9 pearl", "a foil", "Clock", "Gloss"):
        assert formula not in text


def test_stop_that_no_strand_can_change_has_no_strand_test():
    stop = Reason(what="Broken scalp.", do="Wait.", source="-", weight="stop", about="health.scalp")
    text = one_side(worksheet_pdf(hand_made(verdict="stop", reasons=[stop]), MAP))
    assert "The strand test" not in text
    assert "healed scalp" in text


def test_wait_stands_before_the_formula_with_room_to_sign():
    wait = Reason(
        what="No alert test.",
        do="Put one on.",
        source="-",
        weight="wait",
        about="health.alert_test",
    )
    text = one_side(worksheet_pdf(hand_made(verdict="wait", reasons=[wait]), MAP))
    assert text.index("WAIT. Begin only when") < text.index("No alert test.") < text.index("22 g")
    assert "settled on" in text


def test_gloss_alone_has_neither_foils_nor_bowls_nor_lift():
    plan = hand_made(
        technique="gloss alone",
        technique_kind="gloss",
        foil_count=0,
        foils=[],
        bowls=[],
        strengths=[],
        expected_stage=None,
        first_check_min=None,
        check_every_min=None,
        clock=ClockOfHead(
            groups=[],
            placed_min=0.0,
            rinse_min=0.0,
            end_min=51.0,
            steps=[("mids", 0.0)],
            notes=[],
            law="invented",
        ),
    )
    text = one_side(worksheet_pdf(plan, MAP))
    assert "Along the length" in text
    assert "minutes from the first gloss" in text
    for gone in ("Bowls", "How far it lifts", "First check", "a foil", "First parting"):
        assert gone not in text


def test_lowlight_colour_stands_with_the_bowls_and_its_foils():
    plan = hand_made(
        technique_kind="lowlights",
        bowls=[],
        strengths=[],
        foils=[foil(1, colour=2.0), foil(2, colour=2.0)],
        gloss=[gloss("lowlights", 1, 18.0), gloss("the white that is kept", 2, 15.0)],
    )
    text = one_side(worksheet_pdf(plan, MAP))
    assert text.index("Bowls") < text.index("Lowlight colour foils 1–2") < text.index("Clock")
    assert text.index("18 g 9 pearl") < text.index("Clock") < text.index("15 g 9 pearl")
    assert "1 the white that is kept" in text


def test_far_too_much_still_fits_one_side_and_no_caution_is_lost():
    many = [
        caution(s, n) for s in ("before", "mixing", "foils", "rinse", "gloss") for n in range(9)
    ]
    clock = hand_made().clock
    plan = hand_made(
        client="Maria-Magdalena von und zu Hohenstein-Wittgenbach " * 3,
        verdict="wait",
        reasons=[
            Reason(what=f"Reason {n} " * 9, do=f"Do {n} " * 9, source="-", weight="wait")
            for n in range(12)
        ],
        cautions=many,
        strengths=[strength(band=f"band {n}") for n in range(9)],
        bowls=hand_made().bowls * 5,
        gloss=[gloss(f"place {n}", n) for n in range(1, 9)],
        clock=clock.model_copy(update={"groups": [group(5.0 * n, n) for n in range(14)]}),
        order=[f"step number {n} of a long order of work" for n in range(20)],
    )
    text = one_side(worksheet_pdf(plan, MAP))
    for one in many:
        assert f"{one.what} {one.do}" in text
    assert len(pages(client_sheet_pdf(plan))) <= 2


@pytest.mark.parametrize(
    "name",
    [
        "Zoë Grünwald-Łukasiewicz",
        "Ångström Öberg & Ñandú",
        "#strong[x] $a_b$ *bold* _it_ @ref <l> \\n `raw` // no",
        '"quoted" — it’s {one}',
        "Αθηνά Жанна",
    ],
)
def test_names_are_set_as_they_are_written(name):
    plan = hand_made(client=name)
    assert name in one_side(worksheet_pdf(plan, MAP))
    assert name in words(client_sheet_pdf(plan))


def test_same_plan_gives_the_same_bytes_dated_by_the_plan():
    plan = hand_made()
    first, second = worksheet_pdf(plan, MAP), worksheet_pdf(plan, MAP)
    assert first == second
    assert client_sheet_pdf(plan) == client_sheet_pdf(plan)
    told = pypdf.PdfReader(io.BytesIO(first)).metadata
    assert told is not None
    assert str(told["/CreationDate"]).startswith("D:20260303")


def test_only_the_bundled_font_is_used():
    for pdf in (worksheet_pdf(hand_made(), MAP), client_sheet_pdf(hand_made())):
        for page in pages(pdf):
            for font in page["/Resources"]["/Font"].values():
                assert "SourceSans3" in font.get_object()["/BaseFont"]


def test_words_can_be_read_on_their_ground():
    """WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1."""
    told = sheet_colours()
    pairs = [(told[name], told["paper"]) for name in ("ink", "quiet", "accent", "amber", "red")]
    pairs += [(told["ink"], told["amber_ground"]), (told["amber"], told["amber_ground"])]
    for words_, ground in pairs:
        assert contrast(words_, ground) >= 4.5


def test_stages_are_named_and_grow_lighter():
    series = stage_series()
    assert [stage for stage, _, _ in series] == [5, 6, 7, 8, 9, 10]
    assert series[-1][1] == "pale yellow"
    light = [luminance(colour) for _, _, colour in series]
    assert light == sorted(light)


def test_a_stretch_filled_later_is_drawn_later():
    late = strength(after_min=12.0)
    given = strength_words(late, hand_made())
    assert [given[k] for k in ("low", "middle", "high", "due")] == [31.0, 48.0, 56.0, 48.0]
    assert given["minutes"] == "31 · 48 · 56 min"


@pytest.mark.parametrize(
    "ends, said",
    [
        ((19.0, 44.0, None), "19 · 44 min · may not"),
        ((19.0, None, None), "19 min · may not · may not"),
        ((None, None, None), "does not reach it"),
    ],
)
def test_what_is_never_reached_is_said(ends, said):
    assert strength_words(strength(minutes_to_aim=fig(*ends)), hand_made())["minutes"] == said


def test_label_is_the_longest_that_a_clock_allows():
    assert label_minutes(hand_made()) == 47
    assert label_minutes(hand_made(clock=None)) == 0
    assert clock_words(hand_made(clock=None)) is None


@pytest.mark.parametrize("end", [4, 50, 99, 131, 271, 700])
def test_axis_names_a_handful_of_round_minutes(end):
    named = axis(end)
    assert named[0] == 0
    assert named[-1] <= end
    assert len(named) <= 13
    assert all(x % 5 == 0 for x in named)


def test_reasons_that_ask_the_same_are_said_once():
    hold = [
        Reason(what=what, do="No lightener.", source="-", weight="hold") for what in ("A.", "B.")
    ]
    said = worksheet_words(hand_made(reasons=hold))["notes"]
    assert [(one["what"], one["do"]) for one in said] == [("A. B.", "No lightener.")]


def test_every_stop_of_care_has_its_change_and_others_a_general_one():
    def about(field):
        return Reason(what="-", do="-", source="-", weight="stop", about=field)

    assert what_would_change([about("something else")]) == [OTHERWISE]
    known = ("bands", "health.scalp", "health.past_reaction", "client.age")
    assert OTHERWISE not in what_would_change([about(field) for field in known])
