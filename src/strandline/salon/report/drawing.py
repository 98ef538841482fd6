"""The foil map of a plan, with the figures that belong beside it."""

from __future__ import annotations

from strandline.salon.report.foil_map import foil_map_svg
from strandline.salon.report.palette import LIGHT, Palette
from strandline.service.placement.place import place
from strandline.service.plan.assemble import Made
from strandline.service.plan.kept_maps import KeptMaps, kept_maps
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.placing import zones_of


def draw_plan_map(made: Made) -> str:
    """Draw the foils of a plan; a head without foils where it has none.

    Parameters
    ----------
    made : the plan, today's foils and last visit's
    """
    plan = made.plan
    foils = made.foils if made.foils is not None else place(zones_of(plan.scalp), {})
    return _draw(plan, KeptMaps(foils, made.ghosts, made.older), LIGHT)


def draw_kept_map(plan: ServicePlan, palette: Palette = LIGHT) -> str:
    """Draw the foils of a plan as it was kept.

    Parameters
    ----------
    plan : as it was read back
    palette : paper by day or by night
    """
    return _draw(plan, kept_maps(plan), palette)


def _draw(plan: ServicePlan, maps: KeptMaps, palette: Palette) -> str:
    foils = maps.foils
    grams = sum(row.lightener_grams for row in plan.foils)
    colour = sum(row.colour_grams for row in plan.foils)
    facts = [("lightener in foils", f"{grams:.0f} g")] if grams else []
    if colour:
        facts.append(("lowlight colour", f"{colour:.0f} g"))
    if plan.foils:
        facts.append(("of the hair in foils", f"{foils.taken_share():.0%}"))
    if plan.carried:
        for one in plan.carried.old_colour:
            if one.planned and one.visit == plan.visit:
                left = one.percent
                words = f"{left.middle:.0f}% ({left.low:.0f}-{left.high:.0f})"
                facts.append(("old colour left after", words))
        facts.append(("lightener on light hair", f"{plan.carried.overlap_grams.middle:.0f} g"))
    return foil_map_svg(
        foils,
        ghosts=maps.ghosts,
        older=maps.older,
        title=plan.client,
        subtitle=f"{plan.date:%d %B %Y} · visit {plan.visit} · {plan.technique_words}",
        facts=facts,
        parting_cm=plan.scalp.parting_cm,
        palette=palette,
    )
