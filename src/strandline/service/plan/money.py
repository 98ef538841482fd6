"""The quote: minutes, product, the floor of a price, a deposit, and a year against a year of cover.

Floor of an hour = (rent + expenses + take-home) / (1 - tax share) / hours a month, with hours a
month = weekly hours x 4.33; product is added at cost. Where she has not said what she lives
from, there is no floor and the quote says so.
"""

from __future__ import annotations

from collections.abc import Sequence

from strandline.base.sources import COMMON_PRACTICE
from strandline.science.chemistry.developer import alligation
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.shelf import Developer
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

    Returns
    -------
    Quote   a line for each product that is mixed; one without a price is named and not reckoned.
        A strength that no bottle has costs what it takes of the two next to it
    """
    lines = [*_powder_lines(c, bowls), *_developer_lines(c, bowls, gloss), *_shade_lines(c, gloss)]
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


def product_of_foils(c: Consultation, bowls: list[Bowl]) -> float:
    """Give what is mixed for foils takes, in her currency; what has no price is not reckoned."""
    lines = [*_powder_lines(c, bowls), *_developer_lines(c, bowls, [])]
    return sum(line.amount or 0.0 for line in lines)


def _powder_lines(c: Consultation, bowls: list[Bowl]) -> list[QuoteLine]:
    powder = sum(bowl.powder_grams * bowl.count for bowl in bowls)
    lightener = c.shelf.lightener
    if not powder or lightener is None:
        return []
    return [_line(lightener.name, powder, lightener.price_per_kg)]


def _developer_lines(c: Consultation, bowls: list[Bowl], gloss: list[GlossStep]) -> list[QuoteLine]:
    """Give each developer once: poured into lightener, and with the glosses and their fillers."""
    used: dict[float, float] = {}
    for bowl in bowls:
        for part in bowl.poured:
            used[part.vol] = used.get(part.vol, 0.0) + part.grams * bowl.count
    for step in gloss:
        for one in (step, step.filler):
            if one is not None and one.developer_grams:
                vol = one.developer_vol
                used[vol] = used.get(vol, 0.0) + one.developer_grams
    return [
        _line(f"developer {vol:g} volume", grams, _developer_price(c.shelf.developers, vol))
        for vol, grams in sorted(used.items())
    ]


def _developer_price(bottles: Sequence[Developer], vol: float) -> float | None:
    """Give the price of a strength per kg: its bottle's, else of the two next to it, mixed.

    None where neither is known.
    """
    weak = max((one for one in bottles if one.vol <= vol), key=_vol, default=None)
    strong = min((one for one in bottles if one.vol >= vol), key=_vol, default=None)
    if weak is None or strong is None:
        return None
    if weak.vol == strong.vol:
        return weak.price_per_kg
    if weak.price_per_kg is None or strong.price_per_kg is None:
        return None
    of_strong, of_weak = alligation(strong.vol, weak.vol, vol)
    cost = of_strong * strong.price_per_kg + of_weak * weak.price_per_kg
    return cost / (of_strong + of_weak)


def _vol(bottle: Developer) -> float:
    return bottle.vol


def _shade_lines(c: Consultation, gloss: list[GlossStep]) -> list[QuoteLine]:
    prices = {shade.name: shade.price_per_kg for shade in c.shelf.gloss}
    used: dict[str, float] = {}
    for step in gloss:
        filler = step.filler.parts if step.filler is not None else []
        for part in [*step.parts, *filler]:
            used[part.shade] = used.get(part.shade, 0.0) + part.grams
    return [_line(shade, grams, prices.get(shade)) for shade, grams in used.items()]


def _line(what: str, grams: float, price_per_kg: float | None) -> QuoteLine:
    return QuoteLine(what=what, grams=round(grams), amount=cost_of(grams, price_per_kg))


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
