"""How fast points of hair become colours, three ways, and the palette route on a whole head.

Run it alone or by `./dev bench`. Times are medians of runs in one process, and so are the ratios
between them; they say nothing about another machine. The exit code is 1 where a colour of the
palette route lies farther from its own than the stated tolerance, never for a time.
"""

from __future__ import annotations

import statistics
import sys
import time
import warnings
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spectra import WAVELENGTHS_NM
from strandline.science.fibre import DYES, NATURAL_SLOPE, Fibre, natural, stack
from strandline.science.hair.levels import amount_of_level
from strandline.science.hair.palette import TOLERANCE, lab_chunked, merged
from strandline.science.hair.pigment import lab, reflectance

Floats = NDArray[np.float64]

POINTS = 1_000_000
STRANDS = 24_000
SEGMENTS = 42
SLOW_PART = 10
RUNS = 3
FAST_RUNS = 9


@dataclass(frozen=True)
class Head:
    """A head as strands cut into intervals of one past, and segments that point into them.

    Parameters
    ----------
    states : M states           one for each interval of each strand
    interval : shape (points,)  which of them a segment of a strand belongs to
    """

    states: Fibre
    interval: NDArray[np.intp]


def invented_head(strands: int, segments: int = SEGMENTS, seed: int = 1) -> Head:
    """Make an invented head: white among level 4, foils, old cover at its lengths.

    Notes
    -----
    Every strand has an amount of its own (lognormal about its level), two strands of five are
    white. Of three strands in ten each lies in one of sixty foils, lightened as that foil was and
    toned. Old cover, over half of the strands, begins below the regrowth and fades in two steps.
    The figures are invented.
    """
    rng = np.random.default_rng(seed)
    level = rng.choice([3.5, 4.0, 4.5], strands)
    amount = amount_of_level(level) * np.exp(rng.normal(0.0, 0.25, strands))
    white = rng.random(strands) < 0.4
    foil = np.where(rng.random(strands) < 0.3, rng.integers(0, 60, strands), -1)
    progress = 2.6 + rng.normal(0.0, 0.15, 60)
    covered = rng.random(strands) < 0.5

    grown = natural(np.where(white, 0.0, amount), NATURAL_SLOPE, white=white.astype(float))
    lifted = np.where(foil >= 0, progress[foil], 0.0)
    toner = np.zeros((strands, len(DYES)))
    toner[:, DYES.index("violet")] = np.where(foil >= 0, 0.12, 0.0)
    toner[:, DYES.index("depth")] = np.where(foil >= 0, 0.05, 0.0)
    parts = [grown]
    for cover, toned in ((0.0, 1.0), (9.0, 0.8), (6.5, 0.6)):
        old = np.where(covered, cover, 0.0)
        parts.append(
            grown.with_(
                progress=lifted,
                old_amount=old,
                old_progress=np.where(old > 0, 0.8 * lifted, 0.0),
                dyes=toner * toned,
            )
        )
    ends = np.array([0.08, 0.35, 0.7, 1.0])
    along = np.searchsorted(ends, (np.arange(segments) + 0.5) / segments)
    interval = along[None, :] * strands + np.arange(strands)[:, None]
    return Head(stack(parts), interval.ravel().astype(np.intp))


def timed(run: Callable[[], object], runs: int) -> float:
    """Median time of some runs, s."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        run()
        took.append(time.perf_counter() - start)
    return statistics.median(took)


def by_colour_science(spectra: Floats) -> Floats:
    """CIELAB of reflectances of ours by a general library, shape (N, 81) to (N, 3)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of each optional library that is not there
        import colour  # noqa: PLC0415 - slow to import

    shape = colour.SpectralShape(380, 780, 5)
    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(shape)
    light = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    settings = {"method": "Integration", "cmfs": observer, "illuminant": light, "shape": shape}
    white = colour.msds_to_XYZ(np.ones((1, WAVELENGTHS_NM.size)), **settings)[0] / 100.0
    xyz = colour.msds_to_XYZ(spectra, **settings) / 100.0
    return np.asarray(colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(white)))


def palette_route(head: Head) -> NDArray[np.float32]:
    """CIELAB of every segment through the palette, shape (points, 3), single precision."""
    palette = merged(head.states)
    colours = lab_chunked(palette.states).astype(np.float32)
    return np.take(colours, palette.index[head.interval], axis=0)


def browser_route(head: Head) -> tuple[NDArray[np.float32], NDArray[np.uint32]]:
    """Colours of the palette and the entry of every segment, as a page draws from them."""
    palette = merged(head.states)
    colours = lab_chunked(palette.states).astype(np.float32)
    return colours, palette.index.astype(np.uint32)[head.interval]


def line(what: str, seconds: float, against: float, points: int) -> None:
    """Print a row of the table."""
    each = 1e6 * seconds / points
    print(f"  {what:<52}{1e3 * seconds:10.1f} ms{each:9.3f} us{against / seconds:9.1f} x")


def points_to_lab() -> None:
    """Measure a million unlike points from K/S to CIELAB."""
    rng = np.random.default_rng(2)
    points = natural(np.exp(rng.normal(2.5, 1.0, POINTS)), NATURAL_SLOPE).with_(
        progress=rng.uniform(0.0, 4.0, POINTS)
    )
    some = points.take(np.arange(POINTS // SLOW_PART))
    spectra = reflectance(some)
    apart = np.max(np.abs(by_colour_science(spectra) - lab_chunked(some)))
    whole = timed(lambda: lab(points), RUNS)
    print(f"{POINTS:,} points x {WAVELENGTHS_NM.size} wavelengths, K/S to CIELAB")
    line("numpy, whole arrays", whole, whole, POINTS)
    line("ours, 4096 rows at a time", timed(lambda: lab_chunked(points), RUNS), whole, POINTS)
    general = SLOW_PART * timed(lambda: by_colour_science(spectra), RUNS)
    line("colour-science, from reflectance made by us (a)", general, whole, POINTS)
    print(f"  (a) integration and CIELAB alone, K/S not counted; a tenth of rows x {SLOW_PART};")
    print(f"      its CIELAB and ours differ by at most {apart:.1e}\n")


def head_by_palette() -> bool:
    """Measure the palette route on a head; say whether its colours keep the tolerance."""
    head = invented_head(STRANDS)
    points = head.states.take(head.interval)
    whole = timed(lambda: lab(points), RUNS)
    routed = timed(lambda: palette_route(head), FAST_RUNS)
    browser = timed(lambda: browser_route(head), FAST_RUNS)
    merging = timed(lambda: merged(head.states), FAST_RUNS)
    palette = merged(head.states)
    colouring = timed(lambda: lab_chunked(palette.states), FAST_RUNS)
    away = delta_e00(lab_chunked(points), palette_route(head).astype(float))
    n = len(points)
    print(f"A head of {STRANDS:,} strands, {n:,} segments, {len(head.states):,} strand-intervals")
    line("numpy, whole arrays", whole, whole, n)
    line("palette: merge, colour, gather CIELAB", routed, whole, n)
    line("palette: merge, colour, gather the index alone", browser, whole, n)
    print(f"  of it merging {1e3 * merging:.1f} ms, colouring {1e3 * colouring:.1f} ms")
    kept = bool(np.max(away) <= TOLERANCE)
    print(
        f"  {len(palette.states):,} states in the palette; dE00 from whole arrays at most "
        f"{np.max(away):.4f}, mean {np.mean(away):.4f}; allowed {TOLERANCE:g}: "
        f"{'kept' if kept else 'FAILED'}"
    )
    return kept


def main() -> int:
    """Measure both and give the exit code."""
    points_to_lab()
    return 0 if head_by_palette() else 1


if __name__ == "__main__":
    sys.exit(main())
