"""The page on lightening: the path, the rate, what checks and visits teach, what it costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from strandline.base.sources import Number
from strandline.salon.cli.docs.lightening_head import one_head
from strandline.salon.cli.docs.pages import constants_table, filled, table_lines
from strandline.salon.evidence.check import Result
from strandline.salon.evidence.lightening import CHECKS, PATH_PROGRESS, virgin
from strandline.salon.evidence.practice_run import LABEL_MIN, SEEN_FROM, Run, over, practices
from strandline.salon.evidence.practice_truth import (
    CLIENTS,
    FOILS,
    MODEL,
    OUTSIDE,
    PRODUCTS,
    SECTIONS,
    TURNING,
    World,
)
from strandline.science.chemistry import harm, lift
from strandline.science.chemistry.peroxide import perhydroxyl_share
from strandline.science.colour.spaces import lch_from_lab
from strandline.science.fibre import (
    LIGHTENED_SLOPE,
    NATURAL_SLOPE,
    OLD_COLOUR_RESIDUE,
    SLOPE_PROGRESS,
)
from strandline.science.hair.levels import lightened, stage_of
from strandline.science.hair.pigment import constants as of_pigment
from strandline.science.hair.pigment import lab
from strandline.science.hair.wet import wet_levels
from strandline.service.learning.belief import prior
from strandline.service.learning.due import Z90
from strandline.service.learning.starting import NAMES
from strandline.service.learning.starting import constants as of_learning

Floats = NDArray[np.float64]

WORLDS = (MODEL, OUTSIDE, TURNING)
SHOWN_PRACTICES = 12
AIM_INSIDE, AIM_OUTSIDE, AIM_ERROR = (0.75, 0.85), 0.65, 0.5
FIRST = slice(0, 20)
FEW_VISITS, MANY_VISITS = 3, 60


def lightening_page() -> str:
    """Give the page: its words from `lightening.txt`, its tables from the code."""
    results = [
        check.result() for check in CHECKS if check.kind in ("measured", "practice", "regression")
    ]
    tables: dict[str, Iterable[str]] = {
        "path": _path(),
        "lift": _constants(lift.constants()),
        "learning": _constants(of_learning()),
        "harm": _constants(harm.constants()),
        "unknowns": _unknowns(),
        "capped": _by_world(partial(Run.coverage, capped=True), _percent),
        "uncapped": _by_world(partial(Run.coverage, capped=False), _percent),
        "visits": _by_world(partial(Run.coverage_of_visits, capped=False), _percent),
        "error": _by_world(Run.error, "{:.2f}".format),
        "error_first": _by_world(partial(Run.error, visits=FIRST), "{:.2f}".format),
        "aims": _aims(),
        "rows": _rows(results),
        "failing": (f"- {one.check.name}: {one.check.failing}." for one in _failing(results)),
        **{name: [words] for name, words in _words(results).items()},
    }
    return filled("lightening.txt", tables)


def _constants(known: dict[str, Number]) -> Iterator[str]:
    return constants_table((name.replace("_", " "), one) for name, one in known.items())


def _path() -> Iterator[str]:
    fibre = virgin(5.0).take(np.zeros(len(PATH_PROGRESS), dtype=np.intp))
    lighter = lightened(fibre, np.array(PATH_PROGRESS))
    lch, stage = lch_from_lab(lab(lighter)), np.asarray(stage_of(lighter))
    rows = (
        ("L\\*", *(f"{one:.0f}" for one in lch[:, 0])),
        ("chroma", *(f"{one:.0f}" for one in lch[:, 1])),
        ("hue", *(f"{one:.0f}" for one in lch[:, 2])),
        ("stage", *(f"{one:.1f}" for one in stage)),
    )
    return table_lines(("x", *(f"{one:g}" for one in PATH_PROGRESS)), rows)


def _unknowns() -> Iterator[str]:
    head = one_head()
    rows = [
        (name.replace("_", " "), *(f"{belief.of(name)[0]:+.2f} ({belief.of(name)[1]:.2f})"
         for belief in (head.before, head.after)), f"{head.truth[name]:+.2f}")
        for name in NAMES if name in head.truth
    ]  # fmt: skip
    means = [head.log_rate(belief) for belief in (head.before, head.after)]
    told = (f"{mean:+.2f} ({sd:.2f})" for mean, sd in means)
    rows.append(("**log rate of another foil**", *told, f"{head.true_eta:+.2f}"))
    return table_lines(("unknown", "before: mean (sd)", "after two checks", "true"), rows)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _by_world(figure: Callable[[Run], Floats], form: Callable[[float], str]) -> Iterator[str]:
    def row(world: World) -> tuple[str, ...]:
        figures = over(practices(world, SHOWN_PRACTICES), figure)
        cells = ([form(float(one)) for one in column] for column in figures.T)
        return (world.name, *(f"{mean} ({least} to {most})" for mean, least, most in cells))

    return table_lines(("world", *SEEN_FROM), map(row, WORLDS))


def _aims() -> Iterator[str]:
    def row(world: World) -> tuple[str, ...]:
        runs = practices(world, SHOWN_PRACTICES)
        capped, whole = (
            float(over(runs, partial(Run.coverage, capped=c))[0, 3]) for c in (True, False)
        )
        error = over(runs, Run.error)[0]
        low, high = AIM_INSIDE if world is MODEL else (AIM_OUTSIDE, 1.0)
        of_alone, of_before = (float(error[3] / error[at]) for at in (0, 1))
        return (
            world.name,
            *(f"{_percent(one)}: {_met(low <= one <= high)}" for one in (capped, whole)),
            *(f"{one:.2f}: {_met(one < AIM_ERROR)}" for one in (of_alone, of_before)),
        )

    head = (
        "after two checks", "inside, capped", "inside, uncapped",
        "error over that of the starting numbers", "error over that before a check",
    )  # fmt: skip
    return table_lines(head, map(row, WORLDS))


def _met(held: bool) -> str:  # noqa: FBT001  # one word of one table
    return "met" if held else "**missed**"


def _failing(results: list[Result]) -> list[Result]:
    return [one for one in results if not one.holds]


def _rows(results: list[Result]) -> Iterator[str]:
    rows = (
        (one.check.name, one.check.kind, f"`{one.check.source}`" if one.check.kind == "measured"
         else one.check.source, "yes" if one.check.fitted else "no",
         "yes" if one.holds else "**no**")
        for one in results
    )  # fmt: skip
    return table_lines(("row", "kind", "from", "set a constant", "holds"), rows)


def _words(results: list[Result]) -> dict[str, str]:
    known, learning = lift.constants(), of_learning()
    spread = float(np.sqrt(sum(known[one].spread ** 2 for one in ("product", "client", "day",
                                                                  "foil"))))  # fmt: skip
    nu, scale = learning["student_nu"].value, learning["reading_sd"].value
    worth = scale * float(np.sqrt((nu + 3.0) / (nu + 1.0)))
    runs = practices(MODEL, SHOWN_PRACTICES)
    run, left = runs[0], float(np.mean([one.sd[:, 1].mean() for one in runs]))
    worst = min(runs, key=lambda one: one.coverage(capped=False)[3])
    visits: dict[str, str] = {}
    for name, count in (("three", FEW_VISITS), ("sixty", MANY_VISITS)):
        product, learnt = run.product_after(count)
        visits |= {
            f"{name}_visits": str(count),
            f"{name}_says": learnt.sentence,
            f"{name}_mean": f"{learnt.mean:+.2f}",
            f"{name}_sd": f"{learnt.sd:.2f}",
            f"{name}_true": f"{run.truth_of(product):+.2f}",
        }
    return {
        **visits,
        "label": f"{LABEL_MIN:g}",
        "left_sd": f"{left:.2f}",
        "best_ratio": f"{1.0 / np.sqrt(1.0 + 2.0 * (left / worth) ** 2):.2f}",
        "worth": f"{worth:.2f}",
        "never": _percent(float(np.mean([np.isinf(one.true).mean() for one in runs]))),
        "worst": _percent(worst.coverage(capped=False)[3]),
        "worst_bias": f"{worst.practice.bias:.1f}",
        "wet": f"{wet_levels().value:g}",
        "wet_spread": f"{wet_levels().spread:g}",
        "g0": f"{NATURAL_SLOPE:g}",
        "g1": f"{LIGHTENED_SLOPE:g}",
        "xg": f"{SLOPE_PROGRESS:g}",
        "xb": f"{of_pigment()['optics']['base_progress'].value:g}",
        "rho": f"{OLD_COLOUR_RESIDUE:g}",
        "prior_sd": f"{spread:.2f}",
        "prior_factor": f"{np.exp(Z90 * spread):.1f}",
        "reading_sd": f"{learning['reading_sd'].value:g}",
        "nu": f"{learning['student_nu'].value:g}",
        "hoo_10": f"{100 * float(perhydroxyl_share(10.0)):.2f}",
        "hoo_105": f"{100 * float(perhydroxyl_share(10.5)):.2f}",
        "warm_5": f"{known['q10'].value ** 0.5:.2f}",
        "n_products": str(len(PRODUCTS)),
        "n_clients": str(CLIENTS),
        "n_foils": str(FOILS),
        "n_sections": str(SECTIONS),
        "n_practices": str(SHOWN_PRACTICES),
        "aim_inside": f"{100 * AIM_INSIDE[0]:.0f} to {100 * AIM_INSIDE[1]:.0f} %",
        "aim_outside": f"{100 * AIM_OUTSIDE:.0f} %",
        "product_sd": f"{prior().of('product')[1]:g}",
        "harm_over_lift": f"{harm.constants()['harm_over_lift'].value:g}",
        "n_rows": str(len(results)),
        "n_fitted": str(sum(one.check.fitted for one in results)),
        "n_failing": str(len(_failing(results))),
    }
