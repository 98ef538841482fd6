"""When a client sees her line, learned from the days on which she came back.

The line on such a day is the shown growth of the plan that she left with. The log of what she sees
is normal about the number of practice; each return is a reading of it, moved by diaries and habit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from strandline.base.errors import OutOfRangeError
from strandline.base.quantities import Range
from strandline.base.sources import Number, numbers, toml_beside

LEAST = 1.0
"""Lines below this, in dE00 cm, were seen by nobody: who came so early came for another reason."""
TENTH = 1.2816
"""A tenth of a normal lies so many sd below its middle."""


@cache
def constants() -> dict[str, Number]:
    """Load the numbers of `line_seen.toml`."""
    return numbers(toml_beside(__package__, "line_seen.toml"), "line_seen.toml")


def line_seen(begins: float, lines: Sequence[float]) -> Range:
    """Give the shown growth at which a client sees her line.

    Parameters
    ----------
    begins : the number of practice, or the colourist's own, dE00 cm, above 0
    lines : shown growth on each day she came back, dE00 cm; those below `LEAST` are left out

    Returns
    -------
    Range   10th, 50th, 90th percentile, dE00 cm

    Raises
    ------
    OutOfRangeError   a beginning that is not above 0, a line that is not a number

    Notes
    -----
    Conjugate normal in the log: the mean of n returns of sd s_r weighs n / s_r^2 against 1 / s_0^2.
    """
    number = {name: one.value for name, one in constants().items()}
    if not begins > 0 or not all(math.isfinite(line) for line in lines):
        raise OutOfRangeError(
            f"Learning of a line begins at {begins:g} dE00 cm with {len(list(lines))} returns; it "
            "must begin above 0, and each line must be a number.",
            "Leave line_threshold out, or give about 20.",
        )
    most = number["return_most"]
    read = [min(max(math.log(line / begins), -most), most) for line in lines if line >= LEAST]
    prior = 1 / number["line_spread"] ** 2
    weight = len(read) / number["return_sd"] ** 2
    mean = sum(read) / number["return_sd"] ** 2 / (prior + weight)
    spread = TENTH / math.sqrt(prior + weight)
    low, middle, high = (begins * math.exp(mean + step) for step in (-spread, 0.0, spread))
    return Range(low, middle, high, "dE00 cm", "log-normal; returns of the client, pooled")
