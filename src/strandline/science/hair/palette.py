"""A palette of hair: states whose colours an eye cannot part, merged and coloured once.

A head of a million points holds far fewer colours. `merged` gives a short list of states and an
index into it, within a stated colour difference; `lab_chunked` colours states a few rows at a time.

How the bound holds. The colour of a state depends on thirteen coordinates: pigment left by
lightening, its slope, progress as e = exp(-x/2), the white base, old colour left, its progress in
the same form, and seven dyes. Each is put on a scale u on which a step of one moves the colour by
at most one dE00, whatever the other twelve are: du/dz >= sup |d dE00/dz|. Along a path that moves
one coordinate after another the differences add, so a state is within sum |du_i| of another.
Coordinates are cut into cells of width 2 h_i with sum h_i <= tolerance, and the entry of a cell is
the middle of its members, at most h_i away in each coordinate. Equal h_i make the cells fewest.
A coordinate at exact zero, or without effect (the slope where there is no pigment), differs in
nothing and spends nothing: states are first parted by which of their amounts are zero, and by the
residue of their old colour.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError
from strandline.science.colour.spaces import lab_from_xyz
from strandline.science.colour.spectra import WAVELENGTHS_NM, WEIGHTS, WHITE_XYZ
from strandline.science.fibre import (
    DYES,
    Fibre,
    natural_left,
    old_colour_left,
)
from strandline.science.hair.pigment import SPECULAR, base, constants, dye_bands
from strandline.science.hair.reading import MOST_SLOPE

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

TOLERANCE = 0.05
"""Largest dE00 of a state from its entry; an eye parts about 1 (common practice, no source)."""
LEAST_TOLERANCE, MOST_TOLERANCE = 1e-6, 0.5
MOST_PROGRESS = 100.0

# Scales, computed from the model and not measured on hair: the steepest d dE00/dz that a search
# over all other coordinates finds (amounts 0-1100, slopes 0-.02, progress 0-30, specular .0116), a
# curve over it and a margin: the search reaches .80-.94 of each curve. The margin also covers what
# a middle taken in z lacks in u. Tests search again; a changed `pigment.toml` has to pass them.
_AMOUNT = (18.2, 0.06, 8.3, 8.0)  # u = p ln(1 + c/q) - r ln(1 + c/s)
_SLOPE = 2500.0  # u = p g, g in 1/nm
_PROGRESS = (12.2, 17.2)  # u = p e + q e^3
_OLD_PROGRESS = (12.2, 5.2)  # the same for old colour
_WHITE = 4.5  # u = p w
_DYE_SLOPE = (44.0, 41.0, 51.0, 51.0, 31.5, 38.5, 63.0)  # p of u = p q ln(1 + A/q), as `DYES`
_DYE_BEND = (0.4, 1.2, 0.6, 0.62, 0.8, 0.66, 0.61)  # its q
_FEW = 16
_MANY_KINDS = 64
_GLANCE = 1000
_STRIP = 256
_MOST_KEY = 2**62


@dataclass(frozen=True, slots=True)
class Palette:
    """States merged to those that differ, and where each stretch of hair finds its own.

    Parameters
    ----------
    states : P states    the entries
    index : shape (N,)   entry of each of the N states that were merged, 0 to P - 1
    """

    states: Fibre
    index: Indices


def merged(fibre: Fibre, tolerance: float = TOLERANCE) -> Palette:
    """Merge states whose colours lie within a tolerance of one entry.

    Parameters
    ----------
    fibre : N states         slopes 0-0.02 1/nm, progress 0-100
    tolerance : float        largest dE00 of a state from its entry, 0.000001-0.5

    Returns
    -------
    a palette of P states, P <= N; as few as there are distinct states or fewer

    Raises
    ------
    OutOfRangeError   a tolerance, slope or progress outside the ranges above

    Notes
    -----
    The derivation stands at the head of this module. Exact zero is kept apart from small amounts.
    Porosity and dose do not colour: an entry has those of its first member, so the palette is for
    looking, not for treating further. A coordinate of at most 16 values is told apart value by
    value and spends nothing. Valid for CIELAB under D65, 10 degrees, and a specular part of the
    45/0 geometry or more. Not valid for a dye, base or slope of lightening other than the model's.

    References
    ----------
    sharma2005: the difference; strandline_fit: the model.
    """
    _refuse_outside(fibre, tolerance)
    rows, kinds = _coordinates(fibre), _kinds(fibre)
    moving = {i: row for i, row in enumerate(rows) if np.ptp(row) > 0} if len(fibre) else {}
    index = np.empty(len(fibre), dtype=np.intp)
    first = [index[:0]]
    spread: list[tuple[int, slice, Floats, Floats]] = []
    count = 0
    for members in _blocks(kinds):
        block = {i: row[members] for i, row in moving.items()}
        own = {i: z for i, z in block.items() if np.ptp(z) > 0}
        cell, by_cell, starts = _cells(own, kinds[members], tolerance)
        index[members] = cell + count
        first.append(members[np.minimum.reduceat(by_cell, starts)])
        here = slice(count, count + starts.size)
        count += starts.size
        for i, z in own.items():
            by = z[by_cell]
            least, most = (end.reduceat(by, starts) for end in (np.minimum, np.maximum))
            spread.append((i, here, least, most))
    firsts = np.concatenate(first)
    low = rows[:, firsts]
    high = low.copy()
    for i, here, least, most in spread:
        low[i, here], high[i, here] = least, most
    return Palette(_middle(fibre.take(firsts), low, high), index)


def lab_chunked(fibre: Fibre, specular: float = SPECULAR, rows: int = 4096) -> Floats:
    """CIELAB of N states, some rows at a time, so that spectra stay in cache.

    Parameters
    ----------
    fibre : N states
    specular : float   part of the light that the surface reflects [1], 0-1
    rows : int         states coloured together, 1 or more

    Returns
    -------
    shape (N, 3)   equal to `lab` to 1e-9

    Raises
    ------
    OutOfRangeError   fewer than one row at a time

    Notes
    -----
    The equations of `absorption` and `reflectance_from_ks`, with base and dyes in one matrix
    product and two buffers used again; old colour is left out where there is none.
    """
    if rows < 1:
        raise OutOfRangeError(
            f"Colours are asked for {rows} rows at a time; it must be 1 or more.",
            "Leave the number out to take the usual one.",
        )
    spectra = np.empty((2, min(rows, len(fibre)), WAVELENGTHS_NM.size))
    parts, gone = _mix(), _base_gone(fibre)
    shares = np.column_stack([np.ones_like(gone), gone, gone * fibre.white_base, fibre.dyes])
    pigments = [natural_left(fibre)]
    if np.any(fibre.old_amount > 0):
        pigments.append(old_colour_left(fibre))
    xyz = np.empty((len(fibre), 3))
    for start in range(0, len(fibre), rows):
        some = slice(start, start + rows)
        ks, term = spectra[:, : len(gone[some])]
        _product(shares[some], parts, ks)
        for amount, slope in pigments:
            if np.any(amount[some] > 0):
                np.multiply(slope[some, None], 550.0 - WAVELENGTHS_NM, out=term)
                np.exp(term, out=term)
                term *= amount[some, None]
                ks += term
        np.add(ks, 2.0, out=term)
        term *= ks
        np.sqrt(term, out=term)
        term += ks
        term += 1.0
        np.reciprocal(term, out=term)
        _product(term, WEIGHTS, xyz[some])
    return lab_from_xyz(specular * WHITE_XYZ + (1.0 - specular) * xyz)


def _refuse_outside(fibre: Fibre, tolerance: float) -> None:
    if not LEAST_TOLERANCE <= tolerance <= MOST_TOLERANCE:
        raise OutOfRangeError(
            f"A palette is asked for within {tolerance:g} dE00; it must be {LEAST_TOLERANCE:g}-"
            f"{MOST_TOLERANCE:g}.",
            f"Choose {TOLERANCE:g} where no eye shall tell the difference.",
        )
    for name, unit, most in (
        ("slope", " 1/nm", MOST_SLOPE),
        ("progress", "", MOST_PROGRESS),
        ("old_progress", "", MOST_PROGRESS),
    ):
        found = np.max(getattr(fibre, name), initial=0.0)
        if found > most:
            raise OutOfRangeError(
                f"'{name}' reaches {found:g}{unit}; a palette holds 0-{most:g}{unit}.",
                "Check the reading, or colour these states one by one with `lab_chunked`.",
            )


def _product(left: Floats, right: Floats, out: Floats) -> None:
    """Matrix product in strips: small ones stay on one thread, and threads cost more than these."""
    for start in range(0, len(left), _STRIP):
        some = slice(start, start + _STRIP)
        np.matmul(left[some], right, out=out[some])


def _mix() -> Floats:
    """K/S of white hair, what any and what white hair gains by lightening, dyes: (3 + D, 81)."""
    start, end, white = base(np.array([0.0, np.inf, np.inf]), np.array([0.0, 0.0, 1.0]))
    return np.vstack([start, end - start, white - end, dye_bands()])


def _base_gone(fibre: Fibre) -> Floats:
    """Share of the way from white base to end base that is gone, shape (N,); see `absorption`."""
    seen = np.where(
        fibre.old_amount > 0, np.maximum(fibre.progress, fibre.old_progress), fibre.progress
    )
    return np.asarray(-np.expm1(-seen / constants()["optics"]["base_progress"].value))


def _kinds(fibre: Fibre) -> NDArray[np.uint32]:
    """Which amounts of a state are not zero, a bit each, and which residue, shape (N,)."""
    old = fibre.old_amount > 0
    lit = [fibre.amount > 0, fibre.progress > 0, fibre.white_base > 0, old]
    lit += [old & (fibre.old_progress > 0), *(fibre.dyes.T > 0)]
    kinds = np.zeros(len(fibre), dtype=np.uint32)
    for bit, some in enumerate(lit):
        kinds |= some.astype(np.uint32) << np.uint32(bit)
    if len(fibre) == 0 or np.ptp(fibre.residue) == 0:
        return kinds
    _, which = np.unique(np.where(old, fibre.residue, 0.0), return_inverse=True)
    return np.asarray(kinds + (which.astype(np.uint32) << np.uint32(len(lit))))


def _coordinates(fibre: Fibre) -> Floats:
    """Give what the colour depends on, shape (6 + D, N); constant where it has no effect."""
    rows = np.empty((6 + len(DYES), len(fibre)))
    rows[0] = natural_left(fibre)[0]
    rows[1] = np.where(fibre.amount > 0, fibre.slope, 0.0)
    rows[2] = np.exp(-fibre.progress / 2.0)
    rows[3] = fibre.white_base
    rows[4] = old_colour_left(fibre)[0]
    rows[5] = np.where(fibre.old_amount > 0, np.exp(-fibre.old_progress / 2.0), 1.0)
    rows[6:] = fibre.dyes.T
    return rows


def _scaled(i: int, z: Floats) -> Floats:
    """Coordinate i on its scale in dE00."""
    if i in (0, 4):
        p, q, r, s = _AMOUNT
        return np.asarray(p * np.log1p(z / q) - r * np.log1p(z / s))
    if i in (2, 5):
        p, q = _PROGRESS if i == 2 else _OLD_PROGRESS
        return np.asarray(z * (p + q * z * z))
    if i in (1, 3):
        return np.asarray(z * (_SLOPE if i == 1 else _WHITE))
    p, q = _DYE_SLOPE[i - 6], _DYE_BEND[i - 6]
    return np.asarray(p * q * np.log1p(z / q))


def _blocks(kinds: NDArray[np.uint32]) -> list[Indices]:
    """Give the states of each kind together, or all at once where the kinds are many."""
    order = np.argsort(kinds, kind="stable")
    cuts = np.flatnonzero(np.diff(kinds[order])) + 1
    if cuts.size >= _MANY_KINDS:
        return [np.arange(kinds.size)]
    return np.split(order, cuts) if kinds.size else []


def _cells(
    own: dict[int, Floats], kinds: NDArray[np.uint32], tolerance: float
) -> tuple[Indices, Indices, Indices]:
    """Cut n states into P cells; see `_grouped` for what comes back."""
    key = kinds.astype(np.int64)
    size = int(np.max(key)) + 1
    for part, many in _parts(own, tolerance):
        if size * many > _MOST_KEY:
            key, _, starts = _grouped(key)
            size = starts.size
        key = key * many + part
        size *= many
    return _grouped(key)


def _parts(own: dict[int, Floats], tolerance: float) -> Iterator[tuple[NDArray[np.int64], int]]:
    """Give each coordinate as whole numbers, and how many there may be."""
    scaled: list[Floats] = []
    for i, z in own.items():
        values = np.unique(z[:_GLANCE])
        values = np.unique(z) if values.size <= _FEW else values
        if values.size > _FEW:
            scaled.append(_scaled(i, z))
        else:
            yield np.searchsorted(values, z).astype(np.int64), values.size
    spans = [(float(np.min(u)), float(np.ptp(u))) for u in scaled]
    half = _half_width([span / 2.0 for _, span in spans], tolerance)
    for u, (least, span) in zip(scaled, spans, strict=True):
        if span > 2.0 * half:
            many = int(np.ceil(span / (2.0 * half)))
            cell = ((u - least) * (many / span)).astype(np.int64)
            yield np.minimum(cell, many - 1), many


def _half_width(spans: list[float], tolerance: float) -> float:
    """Half width of cells: what narrow coordinates leave, shared by the wide ones alike.

    A coordinate whose half span is below the share is one cell and spends its half span alone.
    """
    left, wide = tolerance, sorted(spans)
    while wide and wide[0] <= left / len(wide):
        left -= wide.pop(0)
    return left / len(wide) if wide else tolerance


def _grouped(key: NDArray[np.int64]) -> tuple[Indices, Indices, Indices]:
    """Group like keys: the cell of each, (n,); their order by cell, (n,); cell starts, (P,)."""
    by_cell = np.argsort(key)
    ordered = key[by_cell]
    new = np.empty(key.size, dtype=bool)
    new[:1] = True
    np.not_equal(ordered[1:], ordered[:-1], out=new[1:])
    cell = np.empty(key.size, dtype=np.intp)
    cell[by_cell] = np.cumsum(new) - 1
    return cell, by_cell, np.flatnonzero(new)


def _middle(entries: Fibre, low: Floats, high: Floats) -> Fibre:
    """Put entries in the middle of their members; where those agree an entry stays as it is."""
    spread = low < high
    middle = (low + high) / 2.0
    e, old_e = middle[2], middle[5]
    amount = middle[0] / e**2
    old_amount = middle[4] / ((1.0 - entries.residue) * old_e**2 + entries.residue)
    old_moves = (spread[4] | spread[5]) & (old_amount > 0)  # a trace must not round to none
    return entries.with_(
        amount=np.where(spread[0] | spread[2], amount, entries.amount),
        slope=np.where(spread[1], middle[1], entries.slope),
        progress=np.where(spread[2], -2.0 * np.log(e), entries.progress),
        white_base=np.where(spread[3], middle[3], entries.white_base),
        old_amount=np.where(old_moves, old_amount, entries.old_amount),
        old_progress=np.where(spread[5], -2.0 * np.log(old_e), entries.old_progress),
        dyes=np.where(spread[6:].T, middle[6:].T, entries.dyes),
    )
