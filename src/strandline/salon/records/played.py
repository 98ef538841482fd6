"""A visit played from its plan: what the chair would have recorded had all gone as planned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Said = tuple[float, str, dict[str, Any]]
"""Minutes from the start, kind, payload."""
FINISH_MIN = 20.0
"""From the last rinse to the end: drying and judging; common practice, no source."""


def played(plan: Mapping[str, Any], client: str, token: str) -> list[Said]:
    """Give the facts of a visit that follows a plan, in time.

    Parameters
    ----------
    plan : plan.json
    client : her name
    token : of the plan in the record
    """
    said: list[Said] = [
        (0.0, "visit.started", {"date": plan["date"], "client": client, "plan": token})
    ]
    clock = plan["clock"]
    end = float(plan["quote"]["minutes"])
    if clock:
        said += list(_foils(plan))
        said.append((clock["rinse_min"], "rinsed", {}))
    start = clock["rinse_min"] + 5 if clock else 5.0
    for step in sorted(plan["gloss"], key=lambda one: one["order"]):
        recipe = ", ".join(f"{part['shade']} {part['grams']:g} g" for part in step["parts"])
        said.append((start, "gloss.applied", {"place": step["place"], "recipe": recipe[:200]}))
        seen = {"place": step["place"], "turned": "there"}
        said.append((start + step["minutes_low"], "gloss.seen", seen))
        start += max(step["alone_min"], 1.0)
    last = max(end, start + FINISH_MIN)
    said.append((last - FINISH_MIN, "rinsed", {}))
    stage = plan["expected_stage"]["middle"] if plan["expected_stage"] else None
    result: dict[str, Any] = {"area": "whole", "evenness": "even"}
    if stage is not None:
        result["stage"] = round(stage * 2) / 2
    said.append((last - 5, "result.seen", result))
    said.append((last, "visit.ended", {"outcome": "finished"}))
    return sorted(said, key=lambda one: one[0])


def _foils(plan: Mapping[str, Any]) -> Iterator[Said]:
    clock = plan["clock"]
    for bowl in plan["bowls"]:
        mixed = {
            "bowl": bowl["name"],
            "developer_vol": bowl["developer_vol"],
            "developer_grams": bowl["developer_grams"],
            "powder_grams": bowl["powder_grams"],
        }
        groups = [group["start_min"] for group in clock["groups"] if group["bowl"] == bowl["name"]]
        yield (max(0.0, min(groups, default=0.0) - 3), "bowl.mixed", mixed)
        yield (clock["rinse_min"], "bowl.left", {"bowl": bowl["name"], "amount": "some"})
    for group in clock["groups"]:
        first, _, last = group["foils"].partition("-")
        name = {"section": group["section"][:60], "first_foil": int(first)}
        placed = {**name, "last_foil": int(last or first), "bowl": group["bowl"]}
        yield (group["start_min"], "section.begun", name)
        yield (group["placed_min"], "section.placed", placed)
        if group["how"] == "wipe":
            foils = list(range(int(first), int(last or first) + 1))
            yield (group["out_min"], "wiped", {"foils": foils})
