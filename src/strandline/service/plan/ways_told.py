"""What each of several plans buys and costs, where its foils lie and why, and how it differs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from strandline.science.head.zones import NAMES
from strandline.service.choose.course import Hair
from strandline.service.choose.kinds import NAMES as KINDS
from strandline.service.choose.tables import Weighed
from strandline.service.choose.wish import constants
from strandline.service.placement.places import ZONE_WORDS
from strandline.service.placement.takes import take_word
from strandline.service.plan.assemble import Made
from strandline.service.plan.choices import Choices
from strandline.service.plan.course import course_of, hair_of, stage_visits, visits_alike
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.placing import LIGHTENER_KINDS
from strandline.service.plan.ways_model import Foretold, KindName, Way, Ways, ZoneTaken
from strandline.service.plan.weighing_up import Whole
from strandline.service.plan.wont_fit import binds_words, contradictions, not_reached
from strandline.service.schedule.search import Stop, never

LAW = "the best choice of each zone by a table whose figures add up, proven; then the whole plan"
GLOSS: KindName = "gloss alone"
LEFT = "Left for another visit."


def told(
    stands: Made,
    choices: Choices | None,
    wholes: Sequence[Whole],
    made: Mapping[str, Made],
    most: Whole | None,
    stop: Stop = never,
) -> Ways:
    """Put the ways together.

    Parameters
    ----------
    stands : the plan by her rules
    choices : of its foils; None where it has none
    wholes : the kinds with foils, the one that spares most first
    made : the whole plan of each kind by its name
    most : what one visit could meet at most, whatever it takes
    stop : asked as the work goes
    """
    c, plan = stands.consultation, stands.plan
    little = 100 * constants()["old_left_ok"].value
    by_name = {whole.pick.name: whole for whole in wholes}
    binds = binds_words(stands, choices, by_name.get("thorough"), most, stop)
    hair = hair_of(stands, choices, most) if choices and most else None
    ways: list[Way] = []
    for name in KINDS:
        if name in made and _fits(made[name].plan, stands):
            whole = by_name.get(name)
            before = ways[-1] if ways else None
            way = way_of(name, made[name], hair, whole, before)
            limited = binds if name == "thorough" else []
            ways.append(way.model_copy(update={"binds": limited}))
    return Ways(
        client=plan.client,
        date=plan.date,
        visit=plan.visit,
        verdict=plan.verdict,
        currency=plan.quote.currency,
        hours=c.limits.hours,
        helper=c.limits.helper,
        limits=list(_limits_said(stands)),
        stands_foils=plan.foil_count,
        stands_minutes=plan.quote.minutes,
        stands_money=plan.quote.floor,
        ways=ways,
        reasons=[*plan.reasons, *plan.refused],
        contradicts=contradictions(stands, choices, ways, most, made[GLOSS].plan) if made else [],
        not_reached=not_reached(stands, choices, by_name.get("thorough"), most),
        binds=binds,
        course=course_of(stands, choices, most, _like_it(ways), stop) if choices and most else None,
        little_old_percent=little if plan.next_visit.old_share_before > 0 else None,
        law=LAW,
    )


def _like_it(ways: Sequence[Way]) -> int | None:
    return next((way.visits for way in reversed(ways) if way.foils), None)


def _fits(plan: ServicePlan, stands: Made) -> bool:
    limits = stands.consultation.limits
    over = limits.money is not None and (plan.quote.floor or 0.0) > limits.money
    return plan.quote.minutes <= limits.hours * 60 and not over


def _limits_said(stands: Made) -> Iterator[str]:
    limits = stands.consultation.limits
    yield f"{limits.hours:g} h {'with help' if limits.helper else 'alone'}"
    if limits.money is not None:
        yield f"{limits.money:g} {stands.plan.quote.currency}"
    if limits.foils is not None:
        yield f"{limits.foils} foils"
    if limits.oxidised_percent is not None:
        yield f"{limits.oxidised_percent:g} % of cystine oxidised in a foil"
    if stands.consultation.aim.visits is not None:
        visits = stands.consultation.aim.visits
        yield "1 visit" if visits == 1 else f"{visits} visits"


def way_of(
    name: KindName,
    made: Made,
    hair: Hair | None,
    whole: Whole | None,
    before: Way | None,
) -> Way:
    """Tell one way from its whole plan.

    Parameters
    ----------
    name, made : of the way
    hair, whole : the head over visits, and the choice; None without foils
    before : the way that spares more, which it is set against
    """
    plan = made.plan
    weeks = {week.week: week.planned for week in plan.growout.weeks}
    sums = whole.pick.sums if whole else None
    way = Way(
        name=name,
        words="",
        foils=plan.foil_count,
        minutes=plan.quote.minutes,
        money=plan.quote.floor,
        wish_percent=round(100 * sums.met) if sums else 0.0,
        light_percent=_taken(made, LIGHTENER_KINDS),
        dark_percent=_taken(made, ("lowlight weave",)),
        line_week_8=weeks[8].line,
        line_seen_week=plan.growout.planned_passes_week.middle,
        oxidised_percent=max((s.cystine_oxidised.middle or 0.0 for s in plan.strengths), default=0),
        strongest_vol=max((s.poured_vol for s in plan.strengths), default=0.0),
        return_weeks=plan.interval_weeks,
        visits=visits_alike(hair, whole, stage_visits(made)) if hair and whole else None,
        old_percent=round(100 * (plan.next_visit.old_share_after.middle or 0.0)),
        year_money=plan.quote.year_blending.amount,
        year_hours=plan.quote.year_blending.hours,
        taken=taken_of(made, whole.pick.chosen) if whole else [],
        binds=[],
        picture=plan.growout.picture,
        foretold=_foretold(made, whole) if whole else [],
        plan=plan,
    )
    return way.model_copy(update={"words": differs(way, before)})


def _taken(made: Made, kinds: Sequence[str]) -> float:
    if made.foils is None:
        return 0.0
    return round(100 * made.foils.taken_share(*kinds), 1)  # type: ignore[arg-type]


def _foretold(made: Made, whole: Whole) -> list[Foretold]:
    sums, plan = whole.pick.sums, made.plan
    out = [
        Foretold(what="minutes", table=whole.taken.minutes, plan=plan.quote.minutes),
        Foretold(what="foils", table=sums.foils, plan=plan.foil_count),
        Foretold(
            what="light", table=round(100 * sums.light, 1), plan=_taken(made, LIGHTENER_KINDS)
        ),
    ]
    if whole.taken.money is not None and plan.quote.floor is not None:
        out.append(Foretold(what="money", table=whole.taken.money, plan=plan.quote.floor))
    return out


def taken_of(made: Made, chosen: Mapping[str, Weighed]) -> list[ZoneTaken]:
    """Tell what each zone takes, from the laid foils themselves, in the order of work."""
    bowl_of = {row.number: row.bowl for row in made.plan.foils}
    out = []
    for zone in NAMES:
        if zone not in chosen:
            continue
        one = chosen[zone]
        inside = [foil for foil in made.foils or () if foil.zone == zone]
        words = one.option.words
        if inside and not words:
            words = ", ".join(dict.fromkeys(take_word(f.kind, f.grade) for f in inside))
        out.append(
            ZoneTaken(
                zone=ZONE_WORDS[zone],
                words=words if inside else "",
                foils=len(inside),
                bowl=", ".join(dict.fromkeys(bowl_of[foil.number] for foil in inside)),
                why=inside[0].reason if inside else LEFT,
            )
        )
    return out


def differs(way: Way, before: Way | None) -> str:
    """Say in a sentence how a way differs from the one that spares more."""
    wish = f"{way.wish_percent:.0f} % of the wish"
    if way.name == "gloss alone":
        return "Tone and shine only: no foils, nothing lightened, and any line stays as it is."
    if way.name == "gentle":
        weak = " from the weak bowl" if {row.bowl for row in way.plan.foils} == {"weak"} else ""
        return (
            f"{way.foils} foils{weak}, where hair shows most: the fewest for a change that is "
            f"seen, {wish}."
        )
    if way.name == "balanced":
        return f"{way.foils} foils: the most for its time, {wish}{_more(way, before)}."
    whole = " over the whole head" if all(one.foils for one in way.taken) else ""
    return f"{way.foils} foils{whole}: as much as one visit does, {wish}{_more(way, before)}."


def _more(way: Way, before: Way | None) -> str:
    """Say what a way takes more than the one before it, where both have foils."""
    if before is None or not before.foils:
        return f", {way.minutes / 60:.1f} h"
    hours = _against(round(way.minutes / 60, 1) - round(before.minutes / 60, 1), "h", 1)
    if way.money is None or before.money is None:
        return f"; {hours} than {before.name}"
    money = _against(way.money - before.money, way.plan.quote.currency, 0)
    return f"; {hours} and {money} than {before.name}"


def _against(change: float, unit: str, places: int) -> str:
    return f"{abs(change):.{places}f} {unit} {'less' if change < 0 else 'more'}"
