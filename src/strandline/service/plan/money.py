"""The quote: minutes, product, the floor of a price, a deposit, and a year against a year of cover.

Floor of an hour = (rent + expenses + take-home) / (1 - tax share) / hours a month, with hours a
month = weekly hours x 4.33; product is added at cost. Where she has not said what she lives
from, there is no floor and the quote says so.
"""

from __future__ import annotations

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.consultation.model import Consultation
from strandline.service.plan.gloss_parts import GlossStep
from strandline.service.plan.model import Bowl, Quote, QuoteLine, YearCost
from strandline.service.practice.bench import Bench

WEEKS_PER_MONTH = 4.33
"""The trade's weeks in a month; common practice, no source."""
WEEKS_PER_YEAR = 365.25 / 7


def quote(
    c: Consultation,
    bench: Bench,
    bowls: list[Bowl],
    gloss: list[GlossStep],
    minutes: float,
    interval_weeks: float,
) -> Quote:
    """Price one visit and a year of them.

    Parameters
    ----------
    c : the consultation, with shelf prices and what she lives from
    bench : her deposit and gloss return
    bowls, gloss : what is mixed
    minutes : of the whole visit
    interval_weeks : weeks to the next visit of its kind, 0 where none is planned
    """
    lines = [*_lightener_lines(c, bowls), *_gloss_lines(c, gloss)]
    priced = [line.amount for line in lines if line.amount is not None]
    product = round(sum(priced), 2) if priced else None
    hourly = floor_of_hour(c)
    floor = None if hourly is None else round(hourly * minutes / 60 + (product or 0.0), 2)
    return Quote(
        currency=c.money.currency if c.money else "EUR",
        minutes=round(minutes),
        product=product,
        floor=floor,
        deposit=None if floor is None else round(floor * bench["deposit"] / 100, 2),
        lines=lines,
        year_blending=_year(minutes, interval_weeks, hourly, product),
        year_cover=_year_cover(c, hourly),
        law=f"(rent + expenses + take-home)/(1 - tax)/hours a month, {COMMON_PRACTICE}",
    )


def floor_of_hour(c: Consultation) -> float | None:
    """Give what an hour at the chair must bring, None where she has not said."""
    if c.money is None:
        return None
    m = c.money
    month = (m.rent + m.expenses + m.take_home) / (1 - m.tax_percent / 100)
    return month / (m.hours_per_week * WEEKS_PER_MONTH)


def cost_of(grams: float, price_per_kg: float | None) -> float | None:
    """Give what some grams cost, to the cent; None where no price is known."""
    return None if price_per_kg is None else round(grams * price_per_kg / 1000, 2)


def _lightener_lines(c: Consultation, bowls: list[Bowl]) -> list[QuoteLine]:
    lines = []
    prices = {bottle.vol: bottle.price_per_kg for bottle in c.shelf.developers}
    powder = sum(bowl.powder_grams * bowl.count for bowl in bowls)
    if powder and c.shelf.lightener:
        price = c.shelf.lightener.price_per_kg
        lines.append(
            QuoteLine(
                what=c.shelf.lightener.name, grams=round(powder), amount=cost_of(powder, price)
            )
        )
    used: dict[float, float] = {}
    for bowl in bowls:
        for part in bowl.poured:
            used[part.vol] = used.get(part.vol, 0.0) + part.grams * bowl.count
    lines += [
        QuoteLine(
            what=f"developer {vol:g} volume",
            grams=round(grams),
            amount=cost_of(grams, prices.get(vol)),
        )
        for vol, grams in sorted(used.items())
    ]
    return lines


def _gloss_lines(c: Consultation, gloss: list[GlossStep]) -> list[QuoteLine]:
    prices = {shade.name: shade.price_per_kg for shade in c.shelf.gloss}
    used: dict[str, float] = {}
    for step in gloss:
        filler = step.filler.parts if step.filler is not None else []
        for part in [*step.parts, *filler]:
            used[part.shade] = used.get(part.shade, 0.0) + part.grams
    return [
        QuoteLine(what=shade, grams=round(grams), amount=cost_of(grams, prices.get(shade)))
        for shade, grams in used.items()
    ]


def _year(
    minutes: float, interval_weeks: float, hourly: float | None, product: float | None
) -> YearCost:
    visits = WEEKS_PER_YEAR / interval_weeks if interval_weeks else 0.0
    hours = visits * minutes / 60
    amount = None if hourly is None else round(hours * hourly + visits * (product or 0.0))
    return YearCost(visits=round(visits, 1), hours=round(hours, 1), amount=amount)


def _year_cover(c: Consultation, hourly: float | None) -> YearCost | None:
    if c.cover is None:
        return None
    visits = WEEKS_PER_YEAR / c.cover.every_weeks
    hours = visits * c.cover.minutes / 60
    amount = None if c.cover.price is None else round(visits * c.cover.price)
    if amount is None and c.cover.kind == "salon" and hourly is not None:
        amount = round(hours * hourly)
    return YearCost(visits=round(visits, 1), hours=round(hours, 1), amount=amount)
