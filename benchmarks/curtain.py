"""Trace the curtain anew and rewrite `base/data/traced`; needs the extra `stills`.

python benchmarks/curtain.py          all of it, about 25 minutes on two busy cores
python benchmarks/curtain.py report   what the stored figures say, at once
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from strandline.salon.stills import study
from strandline.salon.stills.curtain import DIAMETER_MM, PITCH_MM, Packing, block_fibres
from strandline.salon.stills.trace import Shot, trace_mix, trace_pure, version
from strandline.science.colour.spaces import lab_from_reflectance, lch_from_lab
from strandline.science.colour.spectra import WAVELENGTHS_NM

Floats = NDArray[np.float64]

PURE = Packing(across=160, through=45, length_mm=16.0)
PURE_SHOT = Shot(width_mm=1.8, height_mm=1.0, pixels=(60, 34), samples=96)
MIXED = Packing(across=580, through=45, length_mm=12.0, step_mm=2.0)
MIXED_SHOT = Shot(width_mm=48.0, height_mm=1.0, pixels=(480, 10), samples=20)
SEED = 1
SEEDS = (1, 2, 3)
CLUMPS_MM = (0.3, 2.0)
SIGMAS = (*np.geomspace(0.02, 5.0, 26).tolist(), study.BLACKEST)
LINKS = ("weak", "matched")


def main(words: Sequence[str]) -> int:
    """Trace if asked; print the report."""
    if "trace" in words:
        start = time.perf_counter()
        for step in (check_curtain, write_albedo, write_levels, write_mixes):
            step()
            print(f"{step.__name__}: {time.perf_counter() - start:.0f} s since the start")
            study.stored_albedo.cache_clear()
    report_levels()
    report_mixes()
    return 0


def check_curtain() -> None:
    """Print the white furnace, and what a curtain of twice the depth and size changes."""
    shot = Shot(1.8, 1.0, (60, 34), 48)
    furnace = trace_pure([0.0], PURE, shot, SEED)
    print(f"white furnace {furnace.reflectance[0]:.4f} +- {furnace.noise[0]:.4f}")
    palest = study.weak_absorption([10.0], [680.0])[0]
    for name, packing in (
        ("as traced", PURE),
        ("twice as deep", Packing(PURE.across, 2 * PURE.through, PURE.length_mm)),
        ("twice as wide and long", Packing(2 * PURE.across, PURE.through, 2 * PURE.length_mm)),
    ):
        one = trace_pure(palest, packing, shot, SEED)
        print(f"palest hair, {name}: {one.reflectance[0]:.4f} +- {one.noise[0]:.4f}")


def write_albedo() -> None:
    """Trace reflectance against absorption."""
    traced = trace_pure(SIGMAS, PURE, PURE_SHOT, SEED)
    rows = zip(SIGMAS, traced.reflectance, traced.noise, strict=True)
    lines = [f"{sigma:.5g},{value:.7f},{noise:.5f}" for sigma, value, noise in rows]
    about = "Reflectance of a curtain of hair against the absorption sigma of its fibres, a radius."
    last = "The last row is so black that only the surface sends light back."
    write("curtain_albedo", (about, last), PURE, PURE_SHOT, "sigma,reflectance,noise", lines)


def write_levels() -> None:
    """Trace natural levels 1 to 10 with the absorption of the weak limit."""
    sigma = study.weak_absorption(study.LEVELS, study.LEVEL_NM)
    traced = trace_pure(sigma.ravel(), PURE, PURE_SHOT, SEED)
    table = traced.reflectance.reshape(sigma.shape).T
    lines = [
        ",".join([str(nm), *(f"{value:.7f}" for value in row)])
        for nm, row in zip(study.LEVEL_NM, table, strict=True)
    ]
    about = "Traced reflectance of natural levels, sigma = 2 (K/S)/k^2 of the tress model."
    noise = f"Noise of one figure {traced.noise.min():.5f} (dark) to {traced.noise.max():.5f}."
    header = ",".join(["wavelength_nm", *(f"level_{level}" for level in study.LEVELS)])
    write("curtain_levels", (about, noise), PURE, PURE_SHOT, header, lines)


def write_mixes() -> None:
    """Trace white among level 4: by both links, natural and in clumps."""
    lines = []
    for link in LINKS:
        sigma = mix_absorption(link)
        means = [(1.0 - share) * sigma[0] + share * sigma[1] for share in study.SHARES]
        surface = np.full_like(sigma[0], study.BLACKEST)
        shares = (0.0, 1.0, 0.0, *study.SHARES)
        names = ("pigmented", "white", "surface", *["intimate"] * len(means))
        pure = trace_pure(
            np.concatenate([*sigma, surface, *means]), MIXED, MIXED_SHOT, SEED
        ).reflectance.reshape(len(names), -1)
        for name, share, row in zip(names, shares, pure, strict=True):
            lines.append(_line(link, name, share, (SEED, 0.0, share), row))
        for pattern, block, seeds in patterns(link):
            for share in study.SHARES:
                for seed in seeds:
                    shot = replace(MIXED_SHOT, seed=seed)
                    traced, run, seen = trace_mix(sigma, share, block, MIXED, shot, seed)
                    drawn = (seed, run, seen)
                    lines.append(_line(link, pattern, share, drawn, traced.reflectance))
    about = "Traced reflectance of white hair among level 4, and of what it is mixed from."
    words = (
        about,
        "link: weak, sigma = 2 (K/S)/k^2; matched, the pigment refitted to the level's lightness.",
        "intimate: every fibre with the mean sigma. run_mm: mean run of white as drawn.",
        "seen: share of white among the fibres seen in the window.",
    )
    header = ",".join(["link,pattern,share,seed,run_mm,seen", *(f"r{nm}" for nm in study.MIX_NM)])
    write("curtain_mix", words, MIXED, MIXED_SHOT, header, lines)


def mix_absorption(link: str) -> Floats:
    """Fibre absorption of level 4 and of white by a link, shape (2, W)."""
    sigma = study.weak_absorption([4.0, 10.0], study.MIX_NM)
    if link == "matched":
        sigma[0] = study.matched_absorption(study.stored_albedo(), study.MIX_NM)[3]
    return sigma


def patterns(link: str) -> Iterable[tuple[str, int, tuple[int, ...]]]:
    """Give name, block and seeds of what is traced; clumps of the second link once each."""
    yield "natural", 1, SEEDS
    for clump in CLUMPS_MM:
        yield f"clump_{clump:g}mm", block_fibres(clump), SEEDS if link == "weak" else SEEDS[:1]


def write(
    name: str,
    words: Sequence[str],
    packing: Packing,
    shot: Shot,
    header: str,
    lines: Sequence[str],
) -> None:
    """Write a table under a heading that says how it was made."""
    fibres = f"{packing.across} fibres in each of {packing.through} rows, {packing.length_mm:g} mm"
    window = f"{shot.width_mm:g} x {shot.height_mm:g} mm"
    pixels = f"{shot.pixels[0]} x {shot.pixels[1]} pixels, {shot.samples} paths a pixel"
    head = [
        *words,
        f"Made by strandline.salon.stills with Mitsuba {version()}, hair material (mitsuba3).",
        f"Curtain: {fibres}; diameter {DIAMETER_MM:g} mm, pitch {PITCH_MM:g} mm.",
        f"Window {window}, {pixels}; curtain and lot from the seed, {SEED} if unsaid.",
        "Even light from everywhere, eye along the normal, surface included.",
        "Rewritten by: python benchmarks/curtain.py trace",
    ]
    text = "".join(f"# {line}\n" for line in head) + "\n".join([header, *lines]) + "\n"
    path = Path(str(files("strandline.base"))) / "data" / "traced" / f"{name}.csv"
    path.write_text(text, "utf-8")


def report_levels() -> None:
    """Print lightness, chroma and hue by three links against the model's."""
    albedo = study.stored_albedo()
    traced = study.stored_level_reflectance()
    own = lch_from_lab(study.model_lab())
    found = {
        "weak, surface as traced": lab_from_reflectance(traced),
        "weak, surface exchanged": lab_from_reflectance(
            study.with_surface_of_a_tress(traced, albedo.surface)
        ),
        "matched lightness": albedo.lab_of(study.matched_absorption(albedo, WAVELENGTHS_NM)),
    }
    print(f"surface {albedo.surface:.4f}")
    for name, lab in found.items():
        print(name)
        for level, (model, seen) in enumerate(zip(own, lch_from_lab(lab), strict=True), 1):
            turn = (seen[2] - model[2] + 180.0) % 360.0 - 180.0
            print(
                f"  {level:2d}  L* {model[0]:6.2f} {seen[0]:6.2f}  C* {model[1]:6.2f} "
                f"{seen[1]:6.2f}  hue {model[2]:6.1f} {turn:+6.1f}"
            )


def report_mixes() -> None:
    """Print weights of the area mix and what m0 they give."""
    for link, by_tress in (("weak", False), ("matched", False), ("matched", True)):
        print(f"{link} absorption, intimate mix {'by K/S' if by_tress else 'of fibres'}")
        fit = study.stored_mix_fit(link, by_tress=by_tress)
        for one in fit.mixes:
            law = one.run_mm / (one.run_mm + fit.m0_mm)
            alone = one.run_mm * (1.0 - one.weight) / one.weight
            print(
                f"  {one.pattern:12s} {one.share:.2f} seed {one.seed}  run {one.run_mm:7.3f} mm  "
                f"w {one.weight:.4f}  law {law:.4f}  its own m0 {alone:.3f} mm"
            )
        patterns = dict.fromkeys(one.pattern for one in fit.mixes)
        missed = ", ".join(f"{name} {fit.missed(name):.3f}" for name in patterns)
        print(f"  m0 {fit.m0_mm:.4f} +- {fit.error_mm:.4f} mm; rms of w missed: {missed}")


def _line(
    link: str, pattern: str, share: float, drawn: tuple[int, float, float], row: Floats
) -> str:
    seed, run, seen = drawn
    values = [f"{one:.7f}" for one in row]
    return ",".join(
        [link, pattern, f"{share:.2f}", str(seed), f"{run:.4f}", f"{seen:.4f}", *values]
    )


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
