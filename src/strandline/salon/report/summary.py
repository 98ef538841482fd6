"""The plan in words for a terminal: what to do, then why, then the figures behind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from strandline.salon.report.miss_words import filler_said, miss_said
from strandline.service.plan.model import ServicePlan, YearCost
from strandline.service.plan.parts import Figure

WIDTH = 96


def summary(plan: ServicePlan) -> str:
    """Write a plan that a person can work from.

    Parameters
    ----------
    plan : as made

    Returns
    -------
    text, at most `WIDTH` columns, ending with a new line
    """
    return "\n".join(_wrapped(_lines(plan))) + "\n"


def _lines(plan: ServicePlan) -> Iterator[str]:
    yield f"{plan.client} · {plan.date:%d %B %Y} · visit {plan.visit}"
    yield f"{plan.verdict.upper()}: {plan.technique_words}"
    for reason in plan.reasons:
        yield f"  {reason.weight}: {reason.what} {reason.do} [{reason.source}]"
    for text in plan.technique_reasons:
        if all(text != reason.what for reason in plan.reasons):
            yield f"  {text}"
    for reason in plan.refused:
        yield f"  not today: {reason.what} {reason.do}"
    if plan.verdict != "stop":
        yield from _work(plan)
        yield from _look(plan)
        yield from _return(plan)
    for caution in plan.cautions:
        yield f"  caution, {caution.step}: {caution.what} {caution.do}"
    if plan.defaults:
        yield ""
        yield "Taken because the file does not say: " + "; ".join(
            f"{one.field} = {one.taken}" for one in plan.defaults
        )


def _work(plan: ServicePlan) -> Iterator[str]:
    yield ""
    if plan.foil_count:
        low, high = plan.foil_range
        yield f"Foils    {plan.foil_count} (her range {low}-{high})" + _spaces(plan)
    if plan.expected_stage:
        yield f"Expect   stage {_range(plan.expected_stage)}, aim {plan.aim_stage:g}"
    yield from _carried(plan)
    for bowl in plan.bowls:
        poured = " + ".join(f"{p.grams:g} g of {p.vol:g} vol" for p in bowl.poured)
        yield (
            f"Bowl     {bowl.what}: {bowl.count} x ({poured} + {bowl.powder_grams:g} g powder), "
            f"{bowl.developer_vol:.4g} vol, {bowl.bowl_percent:g} % in the bowl, {bowl.serves}"
        )
    yield from _lift(plan)
    yield from (f"Leans    on the {one.what}: {one.words}" for one in plan.leans_on)
    if plan.clock:
        for g in plan.clock.groups:
            yield (
                f"Clock    foils {g.foils} ({g.section}): in at {g.start_min:g}, check "
                f"{g.first_check_min:g}, due {g.due_min:g}, latest {g.latest_min:g}, "
                f"{g.how} at {g.out_min:g}"
            )
        yield f"         whole visit {plan.quote.minutes:g} min"
    yield from _glosses(plan)
    yield from (f"Wears    {one.place}: {one.words}" for one in plan.wear)
    yield "Order    " + " -> ".join(plan.order)


def _glosses(plan: ServicePlan) -> Iterator[str]:
    for step in plan.gloss:
        parts = " + ".join(f"{p.grams:g} g {p.shade}" for p in step.parts if p.grams)
        mixed = (
            f"{parts} + {step.developer_grams:g} g of {step.developer_vol:g} vol"
            if parts
            else ("the same bowl")
        )
        yield (
            f"Gloss    {step.order}. {step.place}: {mixed}, look at {step.first_look_min:g}, "
            f"{step.minutes_low:g}-{step.minutes_high:g} min, {step.delta_e00:g} dE00 from the aim"
            + ("" if step.near_percent is None else f", {step.near_percent:g} % of strands near it")
        )
        if step.filler is not None:
            yield f"         {filler_said(step)}"
        if any(miss.place == step.place for miss in plan.gloss_misses):
            yield f"         Missed: {miss_said(plan, step)}"
        if step.shelf_said:
            yield f"         {step.shelf_said}"
        if step.bowls_said:
            yield f"         {step.bowls_said}"


def _spaces(plan: ServicePlan) -> str:
    """Say how far apart the foils of a named pattern lie."""
    if plan.pattern is None:
        return ""
    if plan.pattern.scaled_to is None:
        return ", spaces as the pattern has them"
    return f", spaces scaled to its {plan.pattern.scaled_to[0]}-{plan.pattern.scaled_to[1]}"


def _carried(plan: ServicePlan) -> Iterator[str]:
    """Say what earlier visits left under today's foils."""
    kept = plan.carried
    if kept is None:
        return
    yield (
        f"Carried  {_range(kept.hit_percent)} % of the hair taken was left out before; lightener "
        f"on light lengths: {_range(kept.overlap_grams)} g; new hair since "
        f"{kept.new_hair_percent:g} %"
    )
    if kept.overlap_cm is not None:
        edge = kept.hairline_overlap_cm
        more = f"; at the hairline {edge:g} cm past the old line" if edge is not None else ""
        yield f"         {_range(kept.overlap_cm)} cm of a light strand that is hit{more}"
    if not kept.old_colour:
        return
    said = ", ".join(
        f"visit {one.visit}{' planned' if one.planned else ''} {_range(one.percent)} %"
        for one in kept.old_colour
    )
    yield f"         still with old colour: {said}"


def _lift(plan: ServicePlan) -> Iterator[str]:
    for s in plan.strengths:
        yield (
            f"Lift     {s.bowl}, {s.band} ({s.from_cm:g}-{s.to_cm:g} cm), foils {s.foils}: out at "
            f"{s.due_min:g} min, stage {_range(s.stage_when_due)} ({s.underlying})"
        )
    if plan.strengths:
        worst = max(plan.strengths, key=lambda one: one.cystine_oxidised.middle or 0.0)
        yield (
            f"Harm     cystine oxidised at most {_range(worst.cystine_oxidised)} %, in "
            f"{worst.band}: counted from baths, it compares plans and never says that hair holds"
        )
    if plan.first_check_min is not None:
        yield (
            f"Check    first at {plan.first_check_min:g} min of a foil's own start, "
            f"then every {plan.check_every_min:g}"
        )


def _look(plan: ServicePlan) -> Iterator[str]:
    grown = plan.growout
    if not grown.weeks:
        return
    yield ""
    yield f"Grow-out {grown.sentence}"
    if grown.old_line:
        said = ", ".join(
            f"{one.way} {one.step_de00:.0f} dE00 at {one.at_cm:g} cm"
            + (" (planned)" if one.planned else "")
            for one in grown.old_line
        )
        yield f"Old line on the hair left out: {said}"
    yield "week     " + "".join(f"{week.week:>9g}" for week in grown.weeks)
    yield "line now " + "".join(f"{week.as_kept.line:>9.0f}" for week in grown.weeks) + "  dE00 cm"
    yield "line plan" + "".join(f"{week.planned.line:>9.0f}" for week in grown.weeks) + "  dE00 cm"


def _return(plan: ServicePlan) -> Iterator[str]:
    after = plan.next_visit
    yield ""
    if after.foils_from:
        yield (
            f"Return   gloss {after.gloss_from} to {after.gloss_to}; next visit {after.foils_from} "
            f"to {after.foils_to} ({plan.interval_weeks:g} weeks)"
        )
    if after.visits.high and after.visits.high > 1:
        yield f"Visits   {_range(after.visits)} to the whole wish, this one among them"
    money = plan.quote
    if money.floor is not None:
        yield (
            f"Quote    floor {money.floor:.0f} {money.currency}, deposit {money.deposit:.0f}, "
            f"product {money.product or 0:.2f}"
        )
    else:
        yield "Quote    no floor: enter [money] (rent, expenses, take-home, tax, hours)"
    if money.year_cover is not None and money.year_blending.visits:
        of_cover = _year(money.year_cover, money.currency)
        yield f"Year     of this {_year(money.year_blending, money.currency)}; of cover {of_cover}"


def _year(year: YearCost, currency: str) -> str:
    amount = "" if year.amount is None else f", {year.amount:.0f} {currency}"
    return f"{year.visits:.2g} visits, {year.hours:.2g} h{amount}"


def _range(figure: Figure) -> str:
    low, middle, high = (
        "never" if x is None else f"{x:g}" for x in (figure.low, figure.middle, figure.high)
    )
    return middle if low == middle == high else f"{middle} ({low} to {high})"


def _wrapped(lines: Iterable[str]) -> Iterator[str]:
    import textwrap  # noqa: PLC0415 - only where a plan is printed

    for line in lines:
        if len(line) <= WIDTH:
            yield line
            continue
        indent = " " * 9 if line[:1] != " " else "    "
        yield from textwrap.wrap(
            line, WIDTH, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False
        )
