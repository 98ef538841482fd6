"""Laws that names of shades keep: round trips, the name of its own colour, the order of depths."""

from __future__ import annotations

import re

from hypothesis import assume, given
from hypothesis import strategies as st

from strandline.base.errors import OutOfRangeError, StrandlineError
from strandline.science.colour.difference import delta_e00
from strandline.science.hair.naming.colour import SCALE_ENDS, colour_of
from strandline.science.hair.naming.name import Named, Numbering, numberings, read_name, write_name
from strandline.science.hair.naming.name import translate as translated
from strandline.science.hair.naming.near import names_of
from strandline.science.hair.naming.table import OPPOSITES

OURS = tuple(numberings().values())
DIGITS, LETTERS = OURS
SCALES = st.sampled_from(["level", "stage"])

LINE = """
[line.drawn]
kind = "letters"
divider = ""
also = ["-"]
[line.drawn.numbers]
depth_step = {{ value = {step}, unit = "level", source = "from memory", spread = {spread} }}
second_share = {{ value = {second}, unit = "1", source = "from memory" }}
least_depth = {{ value = 1, unit = "level", source = "from memory" }}
most_depth = {{ value = 12, unit = "level", source = "from memory" }}
[line.drawn.reflects]
neutral = {{ code = "n", meaning = "from memory", level = {{}}, stage = {{}}, unit = "1", \
source = "from memory" }}
ash = {{ code = "B", meaning = "from memory", level = {{ blue = {ash} }}, \
stage = {{ blue = 1 }}, unit = "1", source = "from memory" }}
gold = {{ code = "g", meaning = "from memory", level = {{ gold = {gold}, copper = 0.1 }}, \
stage = {{ gold = 1 }}, unit = "1", source = "from memory" }}
"""


@st.composite
def lines(draw: st.DrawFn) -> Numbering:
    text = LINE.format(
        step=draw(st.sampled_from([-1, -0.5, 0, 0.5, 1])),
        spread=draw(st.floats(0.0, 1.0)),
        second=draw(st.floats(0.0, 1.0)),
        ash=draw(st.floats(0.0, 3.0)),
        gold=draw(st.floats(0.0, 3.0)),
    )
    return numberings(text)["drawn"]


@st.composite
def named(draw: st.DrawFn, numbering: Numbering, low: int = 1, high: int = 10) -> Named:
    words = [one.word for one in numbering.reflects]
    main = draw(st.sampled_from(words))
    return Named(draw(st.integers(low, high)), main, draw(st.sampled_from([None, *words])))


ANY = st.sampled_from(OURS).flatmap(lambda one: st.tuples(named(one), st.just(one)))


@given(ANY)
def test_names_go_out_and_back(both):
    shade, numbering = both
    text = write_name(shade, numbering)
    assert read_name(text, numbering) == shade
    assert write_name(read_name(text, numbering), numbering) == text
    assert read_name(f"  {text.lower()} ", numbering) == shade


@given(lines().flatmap(lambda one: st.tuples(named(one), st.just(one))))
def test_names_of_any_line_go_out_and_back(both):
    shade, numbering = both
    assert read_name(write_name(shade, numbering), numbering) == shade


@given(named(LETTERS))
def test_letters_go_to_numbers_and_back(shade):
    text = write_name(shade, LETTERS)
    assert translated(translated(text, LETTERS, DIGITS), DIGITS, LETTERS) == text


@given(ANY, SCALES)
def test_a_colour_is_called_by_its_own_name_first(both, scale):
    shade, numbering = both
    assume(frozenset((shade.main, shade.second)) not in OPPOSITES)
    if shade.depth < SCALE_ENDS[scale][0]:
        shade = Named(shade.depth + 2, shade.main, shade.second)
    colour = colour_of(shade, numbering, scale)
    found = names_of(colour, numbering, scale)
    first = found.near[0]
    assert first.difference <= 1e-6
    same = colour_of(read_name(first.name, numbering), numbering, scale)
    assert delta_e00(colour, same) <= 1e-6
    own = write_name(shade, numbering)
    # neutral after a reflect adds no dye: '.10' has the colour of '.1' and is called so
    plain = shade.second == "neutral" and write_name(Named(shade.depth, shade.main), numbering)
    assert {own, plain} & {first.name, *first.also}
    assert found.caution == ""


@given(ANY, SCALES)
def test_a_darker_depth_has_a_lower_lightness(both, scale):
    shade, numbering = both
    depth = min(max(shade.depth, int(SCALE_ENDS[scale][0])), 9)
    dark, light = (
        colour_of(Named(one, shade.main, shade.second), numbering, scale)
        for one in (depth, depth + 1)
    )
    assert dark[0] < light[0]


@given(
    st.tuples(st.floats(1, 100), st.floats(-60, 60), st.floats(-60, 60)),
    st.sampled_from(OURS),
    SCALES,
)
def test_names_of_any_colour_cover_the_draws(colour, numbering, scale):
    found = names_of(colour, numbering, scale)
    assert 0.8 <= sum(one.share for one in found.near) <= 1.0 + 1e-12
    assert all(one.share > 0 for one in found.near[1:])
    assert (found.near[0].difference > 10) == bool(found.caution)
    assert min(one.difference for one in found.near) == found.near[0].difference


@given(lines(), SCALES)
def test_any_line_names_its_colours(numbering, scale):
    low, high = SCALE_ENDS[scale]
    depth = next(d for d in range(1, 13) if low <= d + numbering.depth_step.value <= high)
    colour = colour_of(Named(depth, "gold", "ash"), numbering, scale)
    assert names_of(colour, numbering, scale).near[0].difference <= 1e-6


@given(st.text(max_size=12) | st.from_regex(r"[0-9]{1,3}[./,]?[0-9A-Za-z ]{0,3}"), ANY)
def test_any_text_is_a_name_or_refused(text, both):
    numbering = both[1]
    try:
        read_name(text, numbering)
    except OutOfRangeError as error:
        assert error.what.endswith(".")
        assert error.do.endswith(".")


@given(st.text(max_size=60), st.integers(0, 60))
def test_any_text_is_a_numbering_or_refused(text, place):
    pieces = re.split(r"\s", LINE.format(step=0, spread=0, second=1, ash=1, gold=1))
    pieces.insert(place, text)
    for one in (text, "\n".join(pieces), " ".join(pieces)):
        try:
            numberings(one)
        except StrandlineError as error:
            assert error.what.endswith(".")
            assert error.do.endswith(".")


VALUES = st.sampled_from(['""', "[]", "{}", "nan", "1e400", "true", "'x'", "[[1]]", "1979-05-27"])


@given(VALUES, st.integers(0, 40))
def test_any_odd_value_in_a_numbering_is_refused_or_read(value, place):
    text = LINE.format(step=0, spread=0, second=1, ash=1, gold=1)
    values = list(re.finditer(r'(?<== )("[^"]*"|[0-9.]+|\{\}|\[[^\]]*\])', text))
    found = values[place % len(values)]
    try:
        numberings(text[: found.start()] + value + text[found.end() :])
    except StrandlineError as error:
        assert error.what.endswith(".")
        assert error.do.endswith(".")
