"""The usual cautions, each at the step where its action is."""

from __future__ import annotations

from strandline.base.sources import COMMON_PRACTICE
from strandline.service.care.finding import Finding


def for_colour() -> list[Finding]:
    """Give what holds for any colour service."""
    return [
        Finding(
            "caution",
            "Colour can cause a severe allergic reaction.",
            "Gloves, changed between clients; a clear alert test is never proof that it is safe.",
            "fda",
            "before",
        ),
        Finding(
            "caution",
            "Burning, swelling, heat or pain.",
            "Rinse at once, whatever the clock says.",
            COMMON_PRACTICE,
            "gloss",
        ),
    ]


def for_lightener(label_max_min: float, strongest_vol: float) -> list[Finding]:
    """Give what holds where lightener is mixed, with this label's time and this bowl."""
    return [
        Finding(
            "caution",
            "Persulfate powder harms the airways.",
            "Weigh gently with a window or fan running; nitrile gloves; lid on.",
            "hse",
            "mixing",
        ),
        Finding(
            "caution",
            f"The strongest bowl here is {strongest_vol:.4g} volume; 40 volume is never used with "
            "powder, and nothing over 20 at the scalp.",
            "Keep the ready mix within the law and the label.",
            "eu1223",
            "mixing",
        ),
        Finding(
            "caution",
            f"No foil stays past the label's {label_max_min:g} min from its own start.",
            "Wipe or rinse it then, wherever it stands.",
            "fda",
            "foils",
        ),
        Finding(
            "caution",
            "Foil under a dryer or in the sun can burn the scalp through its full depth.",
            "No heat on foils; leave room at the skin; ask how it feels at every check.",
            "peters2000",
            "foils",
        ),
        Finding(
            "caution",
            "Pain, heat or burning.",
            "Rinse that foil at once, whatever the clock says; harm goes on after pain stops.",
            "peters2000",
            "foils",
        ),
        Finding(
            "caution",
            "Lightening again the same day.",
            "Only after a stretch test that holds: 10 volume, 15 min at most.",
            COMMON_PRACTICE,
            "rinse",
        ),
    ]
