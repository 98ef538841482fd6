"""A measured spectrum as a file gives it: read, looked at, put on the grid, or refused."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, ReadError
from strandline.science.colour.spectra import on_grid

Floats = NDArray[np.float64]

NEEDED_NM = (400.0, 700.0)
"""Range that a reading must cover: what instruments of the trade measure."""
WIDEST_STEP_NM = 20.0
"""Widest distance between two wavelengths that interpolation bridges (astm_e308)."""
_PERCENT_FROM = 1.5


def columns_of(text: str, where: str = "") -> dict[str, list[str]]:
    """Read a table with a header: column to cells, in the order of the file.

    Parameters
    ----------
    text : lines with commas, semicolons or tabs between cells, '#' begins a comment
    where : the file's name, for errors

    Raises
    ------
    ReadError   no header, no rows, a row of another length
    """
    lines = [line for line in text.splitlines() if line.strip() and line.lstrip()[0] != "#"]
    if len(lines) < 2:
        raise ReadError(
            "The file holds no table of reflectance.",
            "It wants a line of column names, then a line for each wavelength.",
            where,
        )
    between = max(",;\t", key=lines[0].count)
    try:
        rows = [
            [cell.strip() for cell in row]
            for row in csv.reader(lines, delimiter=between, strict=True)
        ]
    except csv.Error as slip:
        raise ReadError(
            f"The file does not read as a table: {slip}.",
            "Look for a quotation mark that is not closed, or a cell that holds a whole file.",
            where,
        ) from None
    header = rows[0]
    if len(rows) < 2:
        raise ReadError(
            "The file holds a header and no rows.",
            "It wants a line for each wavelength beneath the column names.",
            where,
        )
    for number, row in enumerate(rows[1:], start=2):
        if len(row) != len(header):
            raise ReadError(
                f"Row {number} of the table has {len(row)} cells; the header has {len(header)}.",
                "Give every row one cell for each column, with a point for decimals.",
                where,
            )
    if len(header) < 2:
        raise ReadError(
            "The table has a single column.",
            "It wants the wavelength first, then a column of reflectance, with commas between.",
            where,
        )
    if len(set(header)) != len(header):
        raise ReadError(
            "Two columns of the table share a name.", "Give each column its own name.", where
        )
    return {name: [row[i] for row in rows[1:]] for i, name in enumerate(header)}


def spectrum_of(columns: Mapping[str, Sequence[str]], name: str, where: str = "") -> Floats:
    """Give a column as a reflectance factor on the grid.

    Parameters
    ----------
    columns : of `columns_of`; the first holds the wavelengths in nm
    name : the column wanted
    where : the file's name, for errors

    Returns
    -------
    shape (81,)   [1], 0-1; outside what was measured the nearest value stands

    Raises
    ------
    ReadError         no such column; a cell that is empty or no number
    OutOfRangeError   values below 0, above 1 or in percent; wavelengths that fall, leap, are not
                      in nm, or do not cover 400-700 nm

    References
    ----------
    astm_e308: ASTM E308.
    """
    first, *others = columns
    if name not in others:
        raise ReadError(
            f"The table has no column '{name}'.", f"Name one of: {', '.join(others)}.", where
        )
    nm, values = _numbers(columns, first, where), _numbers(columns, name, where)
    _refuse_wavelengths(nm, where)
    _refuse_values(nm, values, name, where)
    return on_grid(nm, values)


def _numbers(columns: Mapping[str, Sequence[str]], name: str, where: str) -> Floats:
    out = []
    for number, cell in enumerate(columns[name], start=1):
        try:
            value = float(cell)
        except ValueError:
            value = float("nan")
        if not np.isfinite(value):
            said = f"is '{cell}', not a number" if cell else "is empty"
            do = "A spectrum has no gaps: measure again, or leave out the whole row."
            if "," in cell:
                do = "Write decimals with a point."
            raise ReadError(f"Row {number} of '{name}' {said}.", do, where)
        out.append(value)
    return np.array(out)


def _refuse_wavelengths(nm: Floats, where: str) -> None:
    low, high = NEEDED_NM
    steps = np.diff(nm)
    if np.any(steps <= 0):
        at = int(np.argmax(steps <= 0))
        raise OutOfRangeError(
            f"The wavelengths do not rise: {nm[at]:g} nm is followed by {nm[at + 1]:g} nm.",
            "Sort the rows by wavelength and leave doubles out.",
            where,
        )
    if np.max(nm) < 10.0:
        raise OutOfRangeError(
            f"The wavelengths run {nm[0]:g} to {nm[-1]:g}; they must be in nanometres.",
            "Multiply micrometres by 1000.",
            where,
        )
    if nm[0] > low or nm[-1] < high:
        raise OutOfRangeError(
            f"The spectrum runs {nm[0]:g}-{nm[-1]:g} nm; it must cover {low:g}-{high:g} nm.",
            "Measure the whole visible range; its colour cannot be told from a part.",
            where,
        )
    if np.max(steps) > WIDEST_STEP_NM:
        at = int(np.argmax(steps))
        raise OutOfRangeError(
            f"Nothing was measured between {nm[at]:g} and {nm[at + 1]:g} nm; a step is at most "
            f"{WIDEST_STEP_NM:g} nm.",
            "Give the rows that are missing.",
            where,
        )


def _refuse_values(nm: Floats, values: Floats, name: str, where: str) -> None:
    most, least = float(values.max()), float(values.min())
    if most > _PERCENT_FROM:
        raise OutOfRangeError(
            f"'{name}' runs {least:g} to {most:g}; a reflectance factor is 0-1.",
            "It looks like percent: divide by 100.",
            where,
        )
    if most <= 0.0:
        raise OutOfRangeError(
            f"'{name}' is 0 at every wavelength; no hair gives back nothing.",
            "Measure again.",
            where,
        )
    if least < 0.0:
        raise OutOfRangeError(
            f"'{name}' is {least:g} at {nm[int(values.argmin())]:g} nm; it must be 0-1.",
            "Set the meter's black again and measure anew.",
            where,
        )
    if most > 1.0:
        raise OutOfRangeError(
            f"'{name}' is {most:g} at {nm[int(values.argmax())]:g} nm; it must be 0-1.",
            "Set the meter's white again; no hair gives back more light than falls on it.",
            where,
        )
