"""What `strandline hair` is given: figures, a colour, a spectrum, numberings."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from strandline.base.errors import OutOfRangeError, ReadError, StrandlineError
from strandline.salon.cli.given import figure
from strandline.salon.cli.main import UsageError
from strandline.science.colour.measured import columns_of, spectrum_of
from strandline.science.hair.naming.lines import numberings
from strandline.science.hair.naming.numbering import Numbering

Floats = NDArray[np.float64]

LARGEST_BYTES = 2_000_000


def colour(text: str) -> Floats:
    """Give a colour written as L,a,b, shape (3,).

    Raises
    ------
    OutOfRangeError   not three figures
    """
    parts = text.split(",")
    if len(parts) != 3:
        raise OutOfRangeError(
            f"'{text}' holds {len(parts)} figures; a colour is three.",
            "Write L*, a*, b* with commas between and points for decimals: 38.5,12.9,23.1",
            "--fit-lab",
        )
    return np.array([figure(part, "--fit-lab") for part in parts])


def spectrum(file: str, column: str | None) -> tuple[str, Floats]:
    """Read a column of a file of reflectance: its name, shape (81,).

    Raises
    ------
    UsageError   several columns and none named
    ReadError, OutOfRangeError   as `measured` tells them
    """
    columns = columns_of(_text(file, "a table", ".csv, a line for each wavelength"), file)
    _, *others = columns
    if column is None:
        if len(others) != 1:
            raise UsageError(
                f"The table has {len(others)} columns of reflectance.",
                f"Name one with --column: {', '.join(others)}.",
            )
        column = others[0]
    return column, spectrum_of(columns, column, file)


def lines(file: str | None, wanted: str | None) -> Mapping[str, Numbering]:
    """Give the numberings known, her own among them; one alone where it is named.

    Raises
    ------
    OutOfRangeError   none of that name
    ReadError, SourceError   a file that is no numbering, with its place
    """
    if file is None:
        known = numberings()
    else:
        try:
            known = numberings(_text(file, "a numbering", ".toml"))
        except StrandlineError as slip:
            place = f"{file}: {slip.where}" if slip.where else file
            raise type(slip)(slip.what, slip.do, place) from None
    if wanted is None:
        return known
    if wanted not in known:
        raise OutOfRangeError(
            f"There is no numbering '{wanted}'.", f"Name one of: {', '.join(known)}.", "--numbering"
        )
    return {wanted: known[wanted]}


def _text(file: str, kind: str, saved: str) -> str:
    try:
        with Path(file).open("rb") as opened:
            raw = opened.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise ReadError(
            f"The file cannot be read: {why}.", "Look at its name and folder.", file or "''"
        ) from None
    try:
        if len(raw) <= LARGEST_BYTES:
            return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    raise ReadError(
        f"The file is not {kind} in plain text, or it holds more than 2 MB.",
        f"Save it as {saved}, in UTF-8.",
        file,
    )
