"""What a plan is asked for: a consultation, its day, and what came before."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from strandline.service.consultation.model import Consultation
    from strandline.service.learning.pooled import Pooled
    from strandline.service.plan.earlier import Earlier


@dataclass(frozen=True)
class Asked:
    """What a plan is made from, whether files or the record hold it.

    Parameters
    ----------
    day : of the visit
    earlier : the visit before, None where there was none
    pooled : what visits taught, None where nothing is known
    """

    consultation: Consultation
    day: dt.date
    earlier: Earlier | None = None
    pooled: Pooled | None = None
