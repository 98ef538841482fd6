"""A gloss that missed: the steps back, from what was seen of its tone."""

from __future__ import annotations

from collections.abc import Iterator

from strandline.base.facts.visit import Gloss, Visit
from strandline.service.anew.after import rinsed_at, stretch_test
from strandline.service.anew.model import Step
from strandline.service.anew.standing import left_alone
from strandline.service.anew.toning import gloss_of_visit
from strandline.service.formulate.ladder import Rung, ladder
from strandline.service.formulate.misses import Miss, miss_in_words, misses
from strandline.service.plan.assemble import Made
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.missed import landed_of

TONED = ("mids", "ends")
"""What the steps back are computed for: places that a toner goes on."""


def steps_back(made: Made, visit: Visit) -> list[Step]:
    """Give what to do about glosses that missed.

    Parameters
    ----------
    made : the plan that is followed
    visit : what was seen of its glosses, and of its areas after them

    Returns
    -------
    steps, in order, each with what it comes to; none where nothing missed
    """
    out = []
    for gloss in visit.glosses:
        miss = _missed(gloss, visit)
        steps = gloss_of_visit(made, visit)
        step = _step_of(gloss.place, steps)
        if miss is None or step is None:
            continue
        landed = landed_of(step, made.consultation, _why_not(made, visit), steps)
        rungs = ladder(landed, miss)
        out += list(_told(gloss, miss, rungs))
    return out


def _missed(gloss: Gloss, visit: Visit) -> Miss | None:
    """Give the miss of a gloss: what was last said of its tone, or of an area after its rinse."""
    words = [gloss.tone or ""]
    if gloss.rinsed is not None:
        words += [result.tone or "" for result in visit.results if result.time >= gloss.rinsed]
    named = next((miss for miss in map(miss_in_words, words) if miss is not None), None)
    if gloss.turned == "past" and named is None:
        return misses()["deep"]
    if gloss.rinsed is None and gloss.turned in ("not yet", "nearly"):
        return None
    return named


def _step_of(place: str, steps: list[GlossStep]) -> GlossStep | None:
    name = place.split(",", maxsplit=1)[0]
    if name not in TONED:
        return None
    own = [step for step in steps if step.place == place]
    return next(iter(own or [step for step in steps if step.place.startswith(name)]), None)


def _why_not(made: Made, visit: Visit) -> str:
    """Say why nothing is lightened again; empty where only the stretch test is wanted."""
    since = rinsed_at(visit)
    held = stretch_test(visit, since) if since is not None else "none"
    if held in ("doubtful", "failed"):
        return f"The stretch test was {held}."
    return left_alone(made, visit)


def _told(gloss: Gloss, miss: Miss, rungs: tuple[Rung, ...]) -> Iterator[Step]:
    if gloss.rinsed is None:
        yield Step(at=None, what=f"Rinse {gloss.place} now.", why=f"It is {miss.said}.")
    for rung in rungs[1:]:
        yield Step(
            at=None,
            what=f"{gloss.place[0].upper()}{gloss.place[1:]}, {miss.said}: {_first(rung.what)}",
            why=f"About {rung.away:g} dE00 from the aim then; stop as soon as it is there.",
            caution=rung.gate,
        )


def _first(what: str) -> str:
    return what[0].lower() + what[1:]
