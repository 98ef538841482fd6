"""The exception tree: one sentence on what is wrong, one on what to do."""

from __future__ import annotations


class StrandlineError(Exception):
    """Anything the person can mend; shown as two sentences, exit code 2.

    Parameters
    ----------
    what : str   what is wrong: the thing, its value, unit and range
    do : str     what to do about it
    where : str  the field, line or file it stands in, empty where there is none
    """

    code = "error"

    def __init__(self, what: str, do: str, where: str = "") -> None:
        super().__init__(what, do, where)
        self.what = what
        self.do = do
        self.where = where

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.what} {self.do}"

    def as_json(self) -> dict[str, str]:
        """Give the one JSON shape of every error: code, where, what, do."""
        return {"code": self.code, "where": self.where, "what": self.what, "do": self.do}


class OutOfRangeError(StrandlineError):
    """A value outside the range for which a law or a field is defined."""

    code = "out_of_range"


class UnreachableError(StrandlineError):
    """Something asked for that no mix, time or product at hand can give."""

    code = "unreachable"


class LegalLimitError(StrandlineError):
    """A limit set by law; it cannot be overridden."""

    code = "legal_limit"


class ReadError(StrandlineError):
    """A file that cannot be read as what it should be."""

    code = "unreadable"


class SourceError(StrandlineError):
    """A number, table or fact without the source it must carry."""

    code = "no_source"


class StoreError(StrandlineError):
    """Something that could not be written where it was wanted."""

    code = "not_written"


class StoppedError(StrandlineError):
    """Long work that was told to stop before it was done."""

    code = "stopped"
