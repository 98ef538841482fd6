"""The one list of outside checks that tests and the table share."""

from __future__ import annotations

from collections.abc import Iterator

from strandline.salon.evidence.check import Check, Result


def all_checks() -> tuple[Check, ...]:
    """Give every check, subject by subject; those that need a library only where it is."""
    from strandline.salon.evidence import (  # noqa: PLC0415 - slow
        care,
        chair,
        gloss,
        gloss_filler,
        grown,
        head,
        lightening,
        lights,
        measured_hair,
        optics,
        record,
        reference,
        seeing,
        strands,
        traced,
    )

    subjects = [
        optics,
        lights,
        measured_hair,
        traced,
        lightening,
        chair,
        care,
        record,
        gloss,
        gloss_filler,
        head,
        strands,
        seeing,
        grown,
    ]
    if reference.installed():
        subjects.insert(1, reference)
    return tuple(check for subject in subjects for check in subject.CHECKS)


def results() -> Iterator[Result]:
    """Compute every check now."""
    for check in all_checks():
        yield check.result()


def unexpected(result: Result) -> bool:
    """Say whether a result is not what is known of it: fails unexplained, or holds unexpectedly."""
    return result.holds == bool(result.check.failing)
