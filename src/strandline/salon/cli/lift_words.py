"""Lift of a piece of hair in figures, as lines for a terminal, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from strandline.base.draws import draws
from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range
from strandline.base.sources import COMMON_PRACTICE
from strandline.salon.cli.lift import AskedLift
from strandline.science.chemistry.developer import bowl_percent, percent_nominal
from strandline.science.chemistry.harm import permeability
from strandline.science.chemistry.lift import LIFT_DRAWS
from strandline.science.colour.spaces import hex_from_lab
from strandline.science.fibre import OLD_COLOUR_RESIDUE
from strandline.science.hair.stages import PALEST, underlying
from strandline.service.care.cautions import for_lightener
from strandline.service.care.finding import Finding, Step
from strandline.service.consultation.model import Band
from strandline.service.formulate.curves import Forecast, forecast, ground_of
from strandline.service.formulate.strengths import first_check_min
from strandline.service.practice.bench import default_bench

Floats = NDArray[np.float64]

WIDTH = 96
INDENT = " " * 10
TOLD_DARKER = 0.05
"""Stage by which hair may differ from what is said of it, unremarked."""
HARM_KNOWN = (
    "Harm is counted from baths of water, not from foil, powder and warmth on coloured hair. It "
    "compares plans and never says that hair holds: the stretch test, her limit and the label do."
)
KNOWN = (
    "Minutes are priors set on the trade's own figures, from memory; stages of lightened and white "
    "hair too. Ranges hold 80 % of 64 draws of product, client, day, foil, warmth and strength. "
    "They are wide until foils of this head are checked."
)


def found(asked: AskedLift) -> Forecast:
    """Compute what is asked, on the shared draws.

    Raises
    ------
    OutOfRangeError   an aim darker than where the hair starts, or a past that its level rules out
    """
    ground = ground_of(_band(asked), asked.level, asked.gray, first_cm=asked.first_cm)
    _refuse_darker(asked, float(ground.stages()[1][0]))
    return forecast(
        ground,
        asked.developer_vol,
        asked.aim_stage,
        asked.minutes,
        draws(LIFT_DRAWS),
        before_min=asked.before_min,
        fresh=() if asked.fresh_bowl_min is None else (asked.fresh_bowl_min,),
    )


def as_json(asked: AskedLift, answer: Forecast) -> dict[str, object]:
    """Give every figure with low, middle, high and unit; null stands for never."""
    first, every = checks_of(asked)
    return {
        "from": {
            "level": asked.level,
            "past": asked.past,
            "figure": asked.figure if asked.past != "virgin" else None,
            "years": asked.years,
            "gray_percent": round(100 * asked.gray, 6),
            "first_cm": asked.first_cm,
            "stage": round(answer.start_stage, 2),
        },
        "aim_stage": asked.aim_stage,
        "developer_vol": asked.developer_vol,
        "developer_percent": round(percent_nominal(asked.developer_vol), 6),
        "bowl_percent": _in_the_bowl(asked),
        "fresh_bowl_min": asked.fresh_bowl_min,
        "label_max_min": asked.label_max_min,
        "minutes": list(asked.minutes),
        "past_label": [_past_label(asked, minute) for minute in asked.minutes],
        "stage": _columns(answer.stage, "stage"),
        "level": _columns(answer.level, "natural level of the same lightness"),
        "colour": hex_from_lab(answer.lab),
        "underlying": [_called(one) or None for one in answer.stage[1]],
        "minutes_to_aim": _range(answer.minutes_to_aim, 1),
        "chance": {
            "value": round(answer.chance, 3),
            "before_min": asked.before_min,
            "before": "last minute asked" if asked.label_max_min is None else "label's maximum",
        },
        "stall": {**_range(answer.stall), "path_end": round(answer.path_end, 2)},
        "first_check_min": first,
        "check_every_min": list(every),
        "harm": {
            "before": {
                "dose": round(answer.dose_before, 2),
                "unit": "min at 6 %",
                "dye_enters_times_faster": round(float(permeability(answer.dose_before)), 2),
            },
            "dose": _columns(answer.dose, "min at 6 %, what it brought included"),
            "cystine_oxidised": _columns(answer.cystine, "1", 4),
            "at_aim": answer.at_aim
            and {
                "dose": _range(answer.at_aim[0], 1),
                "cystine_oxidised": _range(answer.at_aim[1], 4),
                "of_draws": round(answer.chance, 3),
            },
            "note": HARM_KNOWN,
        },
        "cautions": [finding.as_json() for finding in cautions_of(asked, answer)],
        "notes": notes_of(asked, answer),
        "known": KNOWN,
    }


def as_text(asked: AskedLift, answer: Forecast) -> str:
    """Write the figures for a terminal, each caution where its action is."""
    return "\n".join([*_lines(asked, answer), ""])


def checks_of(asked: AskedLift) -> tuple[float, tuple[float, float]]:
    """Give the first check from the hair's own start, and the minutes between those after it."""
    bench = default_bench()
    dark = asked.past == "permanent" and asked.figure <= bench["dark_cover_depth"]
    first = first_check_min(bench, dark=dark, gray=asked.gray)
    every = bench.numbers["check_every_min"]
    if asked.label_max_min is not None:
        first = min(first, asked.label_max_min)
    return first, (every.low or every.value, every.high or every.value)


def notes_of(asked: AskedLift, answer: Forecast) -> list[str]:
    """Give what the figures rest on for this hair, a sentence each."""
    out = []
    bench = default_bench()
    bare = asked.past in ("virgin", "lightened")
    if bare and 0 < asked.gray < 1:
        out.append("Figures are of the pigmented hair; the white among it needs no lightener.")
    if asked.past == "virgin" and 100 * asked.gray >= bench["white_needs_none"]:
        start = bench.numbers["rootward_mm"]
        out.append(
            f"Regrowth this white wants no lightener: start {start.low:g} to {start.high:g} mm "
            "rootward of the old line."
        )
    if asked.past == "permanent":
        years = "years not said, so taken as built up" if asked.years is None else "by its years"
        out.append(
            f"Colour that is built up stalls: up to {100 * OLD_COLOUR_RESIDUE:.0f} % of it is "
            f"taken to stay, {years}, from memory."
        )
    if answer.path_end < asked.aim_stage:
        out.append(f"No bowl and no time pass stage {answer.path_end:.1f}: aim there, or less.")
    elif answer.minutes_to_aim.middle > asked.before_min:
        out.append(
            f"More than half of the draws do not reach the aim before {asked.before_min:g} min: a "
            "nearer aim, or another visit."
        )
    return out


def cautions_of(asked: AskedLift, answer: Forecast) -> list[Finding]:
    """Give the cautions of lightener, those of this bowl and this hair first."""
    bench, vol, label = default_bench(), asked.developer_vol, asked.label_max_min
    own = []
    if label is None:
        own.append(
            _caution(
                "The label's maximum is not given; it is required before lightening and has no "
                "default.",
                "Read it off the label, and give it as --label-max-min.",
                "foils",
            )
        )
    elif asked.minutes[-1] > label:
        own.append(
            _caution(
                f"The minutes asked run past the label's {label:g} min.",
                "Rinse by then, wherever the hair stands; later rows are only for comparison.",
                "foils",
            )
        )
    if vol > bench["scalp_max_vol"]:
        where = "This is hair at the scalp" if asked.first_cm else "Not for hair at the scalp"
        own.append(
            _caution(
                f"{where}: {vol:g} volume is over {bench['scalp_max_vol']:g}.",
                f"Keep it to dark old colour from {bench['dark_from_cm']:g} cm out.",
                "mixing",
            )
        )
    if vol > bench["powder_max_vol"]:
        own.append(
            _caution(
                f"{vol:g} volume is over the {bench['powder_max_vol']:g} that goes with powder.",
                "Mix it weaker; the label may allow less still.",
                "mixing",
            )
        )
    if answer.dose_before > 0:
        own.append(
            _caution(
                "This hair was lightened before and keeps what that cost it.",
                "Stretch test first; stop short of old blonde, and check from the start.",
                "before",
            )
        )
    soonest, (first, _) = answer.minutes_to_aim.low, checks_of(asked)
    if soonest < first:
        own.append(
            _caution(
                f"The aim may be there at {soonest:.0f} min, before the usual first check.",
                f"Look by then, and every {bench['check_near_end_min']:g} min after.",
                "foils",
            )
        )
    usual = for_lightener(label or 0.0, vol)
    if label is None:
        usual = [finding for finding in usual if "past the label" not in finding.what]
    return [*own, *usual]


def _caution(what: str, do: str, step: Step) -> Finding:
    return Finding("caution", what, do, COMMON_PRACTICE, step)


def _lines(asked: AskedLift, answer: Forecast) -> Iterator[str]:
    vol, said = asked.developer_vol, cautions_of(asked, answer)
    yield f"LIFT      {_title(asked)}"
    yield f"{INDENT}reads as stage {answer.start_stage:.1f} before it starts"
    yield from _told(said, "before")
    yield ""
    percent, bowl = percent_nominal(vol), _in_the_bowl(asked)
    yield f"BOWL      {vol:g} volume, {percent:.2f} % by the label"
    if bowl is not None:
        yield f"{INDENT}at least {bowl:.2f} % in the bowl, powder 1 to {asked.powder_ratio:g}"
    if asked.fresh_bowl_min is not None:
        yield f"{INDENT}renewed at {asked.fresh_bowl_min:g} min, the old paste wiped off"
    yield from _told(said, "mixing")
    yield ""
    last = "the last minute asked" if asked.label_max_min is None else "the label's maximum"
    yield f"AIM       stage {asked.aim_stage:g}, {_called(asked.aim_stage)}"
    yield f"{INDENT}minutes to it {_shown(_ends(answer.minutes_to_aim), 0)}"
    yield f"{INDENT}chance {100 * answer.chance:.0f} % before {asked.before_min:g} min, {last}"
    yield f"STALL     this bowl comes to rest at stage {_shown(_ends(answer.stall), 1)}"
    if answer.path_end < PALEST:
        yield f"{INDENT}no bowl passes stage {answer.path_end:.1f}"
    for note in notes_of(asked, answer):
        yield from textwrap.wrap(note, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)
    yield ""
    yield "MINUTES   stage                natural level         colour"
    yield from _rows(asked, answer)
    yield ""
    first, (low, high) = checks_of(asked)
    yield f"CHECK     first at {first:g} min from its own start, then every {low:g} to {high:g}"
    yield from _told(said, "foils")
    yield ""
    yield from _harm_lines(asked, answer)
    yield from _told(said, "rinse")
    yield ""
    yield from textwrap.wrap(KNOWN, WIDTH)


def _rows(asked: AskedLift, answer: Forecast) -> Iterator[str]:
    colours = hex_from_lab(answer.lab)
    for i, minute in enumerate(asked.minutes):
        stage, level = _shown(answer.stage[:, i], 1), _shown(answer.level[:, i], 1)
        name = "PAST THE LABEL" if _past_label(asked, minute) else _called(answer.stage[1, i])
        yield f"{minute:>7g}   {stage:<20} {level:<21} {colours[i]}  {name}".rstrip()


def _harm_lines(asked: AskedLift, answer: Forecast) -> Iterator[str]:
    lead = "HARM      "
    if answer.dose_before > 0:
        faster = float(permeability(answer.dose_before))
        yield (
            f"{lead}it brings {answer.dose_before:.0f} min at 6 % with it, and takes dye up "
            f"{faster:.1f} times as fast as sound hair"
        )
        lead = INDENT
    if answer.at_aim is not None:
        dose, cystine = (_ends(one) for one in answer.at_aim)
        yield f"{lead}at the aim {_shown(dose, 0)} min at 6 %, of the draws that reach it in time"
        yield f"{INDENT}cystine oxidised {_shown(100 * cystine, 0)} %"
    else:
        yield f"{lead}no draw reaches the aim before {asked.before_min:g} min"
    yield "MINUTES   min at 6 %           cystine oxidised, %"
    for i, minute in enumerate(asked.minutes):
        dose, cystine = answer.dose[:, i], 100 * answer.cystine[:, i]
        yield f"{minute:>7g}   {_shown(dose, 0):<20} {_shown(cystine, 0)}"
    yield from textwrap.wrap(HARM_KNOWN, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)


def _told(said: Sequence[Finding], step: str) -> Iterator[str]:
    for finding in said:
        if finding.step == step:
            words = f"! {finding.what} {finding.do}"
            yield from textwrap.wrap(
                words, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT + "  "
            )


def _title(asked: AskedLift) -> str:
    past = {
        "virgin": "virgin",
        "permanent": f"permanent colour {asked.figure:g}",
        "lightened": f"lightened to stage {asked.figure:g}",
        "direct": f"direct colour {asked.figure:g}",
    }[asked.past]
    years = f" for {asked.years:g} years" if asked.years is not None else ""
    gray = f", {100 * asked.gray:g} % white" if asked.gray else ""
    warm = ", the first centimetre" if asked.first_cm else ""
    return f"natural level {asked.level:g}, {past}{years}{gray}{warm}"


BUILT_UP_YEARS = 8.0
"""Years of cover that are taken where none are said: built up; from memory."""


def _band(asked: AskedLift) -> Band | None:
    if asked.past == "virgin":
        return None
    name = "stage" if asked.past == "lightened" else "depth"
    years = BUILT_UP_YEARS if asked.years is None else asked.years
    return Band.model_validate(
        {"from_cm": 0, "to_cm": 1, "past": asked.past, name: asked.figure, "years": years}
    )


def _refuse_darker(asked: AskedLift, start: float) -> None:
    if asked.past == "lightened" and start > asked.figure + TOLD_DARKER:
        raise OutOfRangeError(
            f"The hair is said to be lightened to stage {asked.figure:g}, but before any lightener "
            f"it reads as {start:.1f}.",
            "Look at its level and its stage again.",
            "--past",
        )
    if asked.aim_stage < start - TOLD_DARKER:
        raise OutOfRangeError(
            f"The aim, stage {asked.aim_stage:g}, is darker than where it starts, stage "
            f"{start:.1f}.",
            "Lightener makes nothing darker: aim lighter, or tone it deeper.",
            "--aim-stage",
        )


def _in_the_bowl(asked: AskedLift) -> float | None:
    if asked.powder_ratio is None:
        return None
    percent = percent_nominal(asked.developer_vol)
    return round(bowl_percent(percent, asked.powder_ratio), 6)


def _past_label(asked: AskedLift, minute: float) -> bool:
    return asked.label_max_min is not None and minute > asked.label_max_min


def _called(stage: float) -> str:
    """Give the colour a stage is called by; the palest where it is paler, '' below the chart."""
    return underlying(min(stage, PALEST))[0] if stage >= 1.0 else ""


def _columns(rows: Floats, unit: str, digits: int = 2) -> dict[str, object]:
    low, middle, high = ([round(float(one), digits) for one in row] for row in rows)
    return {"low": low, "middle": middle, "high": high, "unit": unit}


def _range(value: Range, digits: int = 2) -> dict[str, object]:
    ends = {"low": value.low, "middle": value.middle, "high": value.high}
    return {
        **{end: round(one, digits) if np.isfinite(one) else None for end, one in ends.items()},
        "unit": value.unit,
    }


def _ends(value: Range) -> Floats:
    return np.array([value.low, value.middle, value.high])


def _shown(ends: Floats, digits: int) -> str:
    """Write low, middle, high, shape (3,); infinite is never, and one figure alone where alike."""
    low, middle, high = (
        f"{float(one):.{digits}f}" if np.isfinite(one) else "never" for one in ends
    )
    return middle if low == middle == high else f"{middle} ({low} to {high})"
