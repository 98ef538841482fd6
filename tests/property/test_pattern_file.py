"""Whatever pattern is written reads back as it was; whatever is read is a pattern or told."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from strandline.base.errors import StrandlineError
from strandline.service.placement.pattern import Pattern, Row, pattern, pattern_names
from strandline.service.placement.pattern_file import ALONG_HEAD, ROW_KEYS, ZONE_KEYS, read_pattern
from strandline.service.placement.pattern_text import pattern_text
from strandline.service.placement.takes import TAKES, usual

thicknesses = st.floats(0.5, 20)
combs = st.floats(0.5, 50)
shares = st.integers(200, 400).map(lambda n: n / 1000)
lengths = st.integers(50, 1000).map(lambda n: n / 1000)
lines = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40)
words = st.sampled_from(list(TAKES))


@st.composite
def zones(draw: st.DrawFn, zone: str) -> tuple[Row, ...]:
    name = zone.partition(" ")[0]
    ways = ("forward", "back") if name in ALONG_HEAD else ("left", "right")
    turn = draw(st.sampled_from(("", *ways))) if name != "side_hairlines" else ""
    degrees = draw(st.floats(5, 60)) if turn else 30.0
    spaced = draw(st.integers(1, 3))
    rows = []
    for number in range(spaced + draw(st.integers(0, 2))):
        start = usual(draw(words))
        thick, pitch = draw(thicknesses), 0.0
        together, every = False, 0
        if number >= spaced:
            every = draw(st.integers(1, 10))
        elif not (together := draw(st.booleans())):
            pitch = draw(st.floats(thick, 100))
        woven = start.kind != "slice"
        rows.append(
            Row(
                start.kind,
                start.grade,
                thick,
                pitch,
                draw(combs) if woven else 0.0,
                draw(combs) if woven else 0.0,
                draw(lines),
                share=1.0 if every else draw(shares),
                every=every,
                length_share=draw(lengths) if start.kind == "tip-out" else 1.0,
                back_to_back=together,
                diagonal=turn,
                diagonal_deg=degrees,
            )
        )
    return tuple(rows)


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    named = draw(st.lists(st.sampled_from(ZONE_KEYS), min_size=1, max_size=4, unique=True))
    fewest = draw(st.integers(1, 300))
    foils = draw(st.none() | st.integers(fewest, 300).map(lambda most: (fewest, most)))
    return Pattern(draw(lines), {zone: draw(zones(zone)) for zone in named}, foils)


@given(patterns())
@settings(deadline=None)
def test_what_is_written_reads_back_as_it_was(made: Pattern) -> None:
    assert read_pattern(pattern_text(made).encode(), "mine.toml") == made


WHOLE = {name: pattern_text(pattern(name)).encode() for name in pattern_names()}


def _told_or_read(raw: bytes) -> None:
    try:
        made = read_pattern(raw, "mine.toml")
    except StrandlineError as error:
        assert error.what
        assert error.do
        assert error.where.startswith("mine.toml")
    else:
        assert made.rows
        assert read_pattern(pattern_text(made).encode(), "mine.toml") == made


@given(
    st.sampled_from(sorted(WHOLE)), st.integers(0, 3000), st.binary(max_size=8), st.integers(0, 9)
)
@settings(deadline=None)
def test_a_file_with_a_slip_is_read_or_told(name: str, at: int, more: bytes, gone: int) -> None:
    raw = WHOLE[name]
    _told_or_read(raw[:at] + more + raw[at + gone :])


values = st.sampled_from(
    [
        "true",
        "-1",
        "0",
        "3",
        "7.5",
        "inf",
        "nan",
        "1e400",
        "[]",
        "{}",
        "''",
        "'slice'",
        "1979-05-27",
    ]
)


@given(st.dictionaries(st.sampled_from(ROW_KEYS), values, max_size=5))
@settings(deadline=None)
def test_any_row_is_read_or_told(row: dict[str, str]) -> None:
    said = "\n".join(f"{key} = {value}" for key, value in ({"take": "'slice'"} | row).items())
    _told_or_read(f"name = 'mine'\n[[crown]]\n{said}\n".encode())
