"""`strandline mix`: a developer strength from the bottles at hand, to weigh and to pour.

Imports the standard library alone, so that it answers at once.
"""

from __future__ import annotations

import argparse
import json
import sys

from strandline.base.errors import OutOfRangeError
from strandline.science.chemistry.developer import Mix, Share, mix, percent_nominal

WORTH_A_WORD = 0.05
"""Share by which poured parts may miss the target unremarked; common practice, no source."""
MOST_AT_SCALP_VOL = 20.0
MOST_WITH_POWDER_VOL = 30.0
"""Strengths of practice; common practice, no source."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "--target-vol", required=True, metavar="VOL", help="strength wanted, in volume: 12"
    )
    parser.add_argument(
        "--stock-vol",
        required=True,
        metavar="VOL,VOL",
        help="bottles at hand, in volume, with commas between: 20,5",
    )
    parser.add_argument("--grams", required=True, metavar="G", help="developer wanted, in grams")
    parser.add_argument(
        "--powder-ratio", metavar="R", help="parts of developer to one of powder, by weight: 2"
    )
    parser.add_argument(
        "--json",
        action="store_true",
        help="print JSON; percent_nominal and percent_exact are of the target, bowl_percent is of "
        "what is poured",
    )


def run(args: argparse.Namespace) -> int:
    """Mix, and print what to weigh and what to pour.

    Raises
    ------
    OutOfRangeError    a value that is no number above 0
    UnreachableError   a target that the bottles cannot mix to
    LegalLimitError    a target over 12 % by the label
    """
    made = mix(
        _number(args.target_vol, "--target-vol"),
        [_number(word, "--stock-vol") for word in args.stock_vol.split(",")],
        _number(args.grams, "--grams"),
        None if args.powder_ratio is None else _number(args.powder_ratio, "--powder-ratio"),
    )
    if args.json:
        json.dump(_as_json(made), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(_as_text(made))
    return 0


_ASKED = {
    "--target-vol": ("strength wanted", "volume", 100),
    "--stock-vol": ("bottle", "volume", 100),
    "--grams": ("developer wanted", "g", 100_000),
    "--powder-ratio": ("ratio of developer to powder", "parts to one", 100),
}
"""What each option is called, its unit, and the most that makes sense."""


def _number(text: str, where: str) -> float:
    thing, unit, most = _ASKED[where]
    bounds = f"it must be a number above 0 and at most {most} {unit}"
    try:
        value = float(text)
    except ValueError:
        raise OutOfRangeError(
            f"The {thing} is '{text.strip()}'; {bounds}.",
            "Write figures alone, with a point for the decimals.",
            where,
        ) from None
    if not 0 < value <= most:
        raise OutOfRangeError(
            f"The {thing} is {value:g} {unit}; {bounds}.",
            "Look at the figure and at its unit again.",
            where,
        )
    return value


def _as_json(made: Mix) -> dict[str, object]:
    return {
        "target_vol": made.target_vol,
        "parts": [{"vol": share.vol, "grams": round(share.grams, 6)} for share in made.parts],
        "poured": [
            {"vol": share.vol, "parts": share.parts, "grams": round(share.grams, 6)}
            for share in made.poured
        ],
        "poured_vol": round(made.poured_vol, 6),
        "percent_nominal": round(made.percent_nominal, 6),
        "percent_exact": round(made.percent_exact, 6),
        "powder_grams": None if made.powder_grams is None else round(made.powder_grams, 6),
        "bowl_percent": None if made.bowl_percent is None else round(made.bowl_percent, 6),
        "notes": _notes(made),
    }


def _as_text(made: Mix) -> str:
    grams = sum(share.grams for share in made.poured)
    poured_percent = percent_nominal(made.poured_vol)
    lines = [
        f"WANTED  {made.target_vol:g} volume, {grams:g} g",
        f"        {made.percent_nominal:.2f} % by the label, {made.percent_exact:.2f} % by its gas",
        "",
        f"POUR    {_ratio(made.poured)}",
        *(_line(share) for share in made.poured),
        f"        gives {made.poured_vol:g} volume, {poured_percent:.2f} % by the label",
        "",
        "EXACT   on the scale",
        *(_line(share) for share in made.parts),
    ]
    if made.powder_grams is not None and made.bowl_percent is not None:
        ratio = grams / made.powder_grams
        lines += [
            "",
            f"POWDER  {_grams(made.powder_grams)}, 1 part to {ratio:g} of developer",
            f"        at least {made.bowl_percent:.2f} % in the bowl, from what is poured",
        ]
    return "\n".join([*lines, "", *_notes(made), ""])


def _line(share: Share) -> str:
    return f"        {share.vol:>5g} volume  {_grams(share.grams):>9}"


def _grams(grams: float) -> str:
    return f"{grams:.1f} g" if grams >= 1 else f"{grams:.2g} g"


def _ratio(poured: tuple[Share, ...]) -> str:
    if len(poured) == 1:
        return f"{poured[0].vol:g} volume alone"
    strong, weak = poured
    return f"{strong.parts:g} : {weak.parts:g}  of {strong.vol:g} and {weak.vol:g} volume"


def _notes(made: Mix) -> list[str]:
    notes = []
    away = made.poured_vol - made.target_vol
    if abs(away) > WORTH_A_WORD * made.target_vol:
        share = 100 * abs(away) / made.target_vol
        side, then = ("stronger", "check sooner") if away > 0 else ("weaker", "expect it slower")
        notes.append(
            f"Poured parts come out {abs(away):.2g} volume ({share:.0f} %) {side} than wanted: "
            f"{then}, or weigh the exact mix."
        )
    if made.powder_grams is not None:
        notes.append("Powder dust harms the airways: mix it where air moves, nobody breathes it.")
        if made.poured_vol > MOST_WITH_POWDER_VOL:
            notes.append("Usual practice mixes no more than 30 volume with powder.")
        if made.poured_vol > MOST_AT_SCALP_VOL:
            notes.append("Usual practice keeps anything over 20 volume off the scalp.")
    notes.append("Gloves on; the product's label comes first.")
    return notes
