"""The gloss of today: which places, on which ground, towards which tone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.choose.technique import Technique
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.reading import HeadReading
from strandline.service.consultation.shelf import GlossShade
from strandline.service.consultation.words import ChairLight
from strandline.service.formulate.gloss import GlossOn, grams_of
from strandline.service.formulate.kinds import Kinds
from strandline.service.formulate.lowlights import clear_violet, lowlight
from strandline.service.formulate.one_or_two import LEAST_BOWL_G
from strandline.service.formulate.shadow import root_shadow, shadow_reach_cm
from strandline.service.formulate.solver import let_go_said
from strandline.service.formulate.strengths import Dose, expected_stage
from strandline.service.formulate.toner import toner
from strandline.service.formulate.tones import WISHES, Tone, carried, tone_for, tones
from strandline.service.placement.foil import FoilMap
from strandline.service.plan.gloss_parts import Filler, GlossGround, GlossPart, GlossStep, WearPart
from strandline.service.plan.model import Reason
from strandline.service.plan.placing import LIGHTENER_KINDS, Placed
from strandline.service.plan.tonable import BEFORE, kinds_between, tonable
from strandline.service.plan.under_lights import light_note, under_lights
from strandline.service.plan.wearing import wear_told
from strandline.service.practice.bench import Bench


@dataclass(frozen=True)
class Toned:
    """What glossing plans.

    Parameters
    ----------
    steps : in order
    family : the tone in one word, empty where nothing is glossed
    why : where it is not the tone wished for
    refused : a tone that this lift does not carry
    on : the glosses themselves, for the grow-out
    wear : how they are worn at home
    """

    steps: list[GlossStep]
    family: str
    why: str
    refused: list[Reason]
    on: list[GlossOn]
    wear: list[WearPart] = field(default_factory=list)


def gloss_today(
    c: Consultation,
    head: HeadReading,
    technique: Technique,
    placed: Placed | None,
    doses: Sequence[Dose],
    bench: Bench,
) -> Toned:
    """Formulate every gloss of the visit, in its order."""
    shades = on_shelf(c)
    if technique.kind == "none":
        return Toned([], "", "", [], [])
    if technique.kind == "lowlights":
        return _with_depth(c, head, placed, shades, bench)
    taken = placed.foils.taken_share(*LIGHTENER_KINDS) if placed is not None else 0.0
    hair = tonable(head, doses, taken, from_cm=shadow_reach_cm(head, bench))
    if technique.kind == "gloss":
        stage = head.lightened_stage or 0.0
        tone, why = carried(tones()["violet-neutral"], stage), ""
        if c.aim.tone not in ("neutral", "natural"):
            tone, why = tone_for(c.aim.tone, stage)
    else:
        stage = expected_stage(doses).middle
        tone, why = tone_for(c.aim.tone, stage)
    toned = toner(hair, tone, head, shades, bench)
    on = [root_shadow(head, shades, bench, after_it=toned), *toned]
    if placed is not None and _lowlight_grams(placed.foils) > 0:
        grams = _lowlight_grams(placed.foils)
        on.insert(0, lowlight(head, grams, shades, bench, _light(head)))
    steps = gloss_steps(on, c.salon.light)
    refused = _refused_tone(c, tone, why)
    return Toned(steps, tone.name, why, refused, on, wear_told(c, steps, bench))


def on_shelf(c: Consultation) -> list[GlossShade]:
    """Give the gloss shades that are not used up."""
    return [shade for shade in c.shelf.gloss if shade.grams > 0]


def _with_depth(
    c: Consultation,
    head: HeadReading,
    placed: Placed | None,
    shades: list[GlossShade],
    bench: Bench,
) -> Toned:
    light = head.share_with("lightened") > 0
    grams = _lowlight_grams(placed.foils) if placed else 0.0
    on = [lowlight(head, grams, shades, bench, _light(head) if light else None)]
    if not light:
        on.append(clear_violet(head, shades, bench, tones()["violet-neutral"]))
    else:
        tone = carried(tones()["soft beige"], head.lightened_stage or 0.0)
        on += toner(tonable(head, (), 0.0, from_cm=0.0), tone, head, shades, bench)
    steps = gloss_steps(on, c.salon.light)
    return Toned(steps, "neutral-ash", "", [], on, wear_told(c, steps, bench))


def _light(head: HeadReading) -> Kinds | None:
    """Give the kinds of strands of the hair that is light before; None where there is none."""
    kinds = kinds_between(head, (), 0.0, 0.0, head.length_cm)
    names = [name for name, _ in kinds.parts()]
    if BEFORE in names:
        return kinds.of(BEFORE)
    return None


def _lowlight_grams(foils: FoilMap) -> float:
    return sum(foil.colour_grams for foil in foils)


def _refused_tone(c: Consultation, tone: Tone, why: str) -> list[Reason]:
    if not why:
        return []
    return [
        Reason(
            what=f"{WISHES[c.aim.tone].capitalize()} ({c.aim.tone}) today.",
            do=f"{why} {tone.name.capitalize()} today; the wish at a later visit.",
            source=COMMON_PRACTICE,
            weight="hold",
            step="gloss",
            about="aim.tone",
        )
    ]


def gloss_steps(on: Sequence[GlossOn], chair: ChairLight) -> list[GlossStep]:
    """Write glosses down as steps of a plan, in their order, seen under the chair's lamps too."""
    return [
        GlossStep(
            place=gloss.place,
            order=order,
            from_cm=round(gloss.from_cm, 1),
            to_cm=round(gloss.to_cm, 1),
            kind=gloss.recipe.shades[0].kind,
            parts=[
                GlossPart(shade=shade.name, parts=part, grams=grams)
                for shade, part, grams in zip(
                    gloss.recipe.shades,
                    gloss.recipe.parts,
                    gloss.grams() or [0.0] * len(gloss.recipe.parts),
                    strict=True,
                )
            ],
            developer_vol=max(shade.developer_vol for shade in gloss.recipe.shades),
            developer_grams=round(
                sum(gloss.grams()) * max(shade.ratio for shade in gloss.recipe.shades)
            ),
            first_look_min=gloss.first_look_min,
            minutes_low=gloss.minutes[0],
            minutes_high=gloss.minutes[1],
            best_min=gloss.recipe.minutes,
            alone_min=round(gloss.alone_min, 1),
            ground_lab=gloss.ground_lab,
            aim_lab=_rounded(gloss.aim_lab),
            lab=gloss.recipe.lab,
            delta_e00=round(gloss.recipe.delta_e00, 1),
            depth=round(gloss.depth, 1),
            why=" ".join([gloss.why, *let_go_said(gloss.recipe.let_go)]),
            miss=gloss.miss,
            lights=under_lights(gloss.recipe.spectrum, chair),
            light_note=light_note(gloss.recipe.spectrum, chair),
            wear_lab=_rounded(gloss.wear_lab) if gloss.wear_lab is not None else None,
            near_percent=round(100 * gloss.recipe.near),
            filler=_filler(gloss),
            grounds=_grounds(gloss),
            shelf_said=gloss.shelf,
            bowls_said=gloss.bowls.said() if gloss.bowls is not None else "",
        )
        for order, gloss in enumerate(on, 1)
    ]


FILLER_PART = 0.5
"""Of what the colour over it takes, a filler takes so much; common practice, no source."""


def _filler(gloss: GlossOn) -> Filler | None:
    """Write down the filler under a gloss, with its grams."""
    first = gloss.first
    if first is None:
        return None
    mixed = max(LEAST_BOWL_G, gloss.mixed_grams * FILLER_PART)
    grams = grams_of(first, mixed)
    return Filler(
        parts=[
            GlossPart(shade=shade.name, parts=part, grams=gram)
            for shade, part, gram in zip(first.shades, first.parts, grams, strict=True)
        ],
        developer_vol=max(shade.developer_vol for shade in first.shades),
        developer_grams=round(sum(grams) * max(shade.ratio for shade in first.shades)),
        minutes=first.minutes,
        lab=first.lab,
    )


def _grounds(gloss: GlossOn) -> list[GlossGround]:
    """Write down what one bowl leaves on each ground it meets, and a bowl of its own."""
    if gloss.bowls is None:
        return []
    return [
        GlossGround(
            name=one.name,
            share=round(one.share, 3),
            one_delta_e00=round(one.one, 1),
            one_near_percent=round(100 * one.near),
            own_delta_e00=round(one.own, 1),
            own_near_percent=round(100 * one.own_near),
            own_parts=[
                GlossPart(shade=shade.name, parts=part, grams=0.0)
                for shade, part in zip(one.recipe.shades, one.recipe.parts, strict=True)
            ],
            own_minutes=one.recipe.minutes,
        )
        for one in gloss.bowls.grounds
    ]


def _rounded(lab: tuple[float, float, float]) -> tuple[float, float, float]:
    return (round(lab[0], 1), round(lab[1], 1), round(lab[2], 1))
