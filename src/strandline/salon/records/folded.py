"""What the facts of a client, a product or the practice say, whatever order they came in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from strandline.base.facts.fact import Fact
from strandline.base.facts.sort_out import Sorted, sort_out
from strandline.salon.records.kinds import HEALTH, PURPOSES, RECORD_KINDS, RECORD_UPCASTERS


def standing(facts: Iterable[Fact]) -> Sorted:
    """Sort out the facts of one stream of the record: old kinds through upcasters, slips left."""
    return sort_out(facts, RECORD_UPCASTERS, RECORD_KINDS)


@dataclass(frozen=True, slots=True)
class Test:
    """A signed test."""

    __test__ = False

    fact: str
    said: Mapping[str, Any]

    def counts_on(self, day: str, line: str | None = None) -> bool:
        """Tell whether it has not expired on a day, and was of this line where one is named."""
        same = line is None or self.said.get("line") in (None, line)
        return self.said["expires_on"] >= day and same


@dataclass(frozen=True, slots=True)
class ClientRecord:
    """A client as her own stream says.

    Parameters
    ----------
    name, born, contact : as written last, None where never
    consents : by purpose, True where given and not withdrawn since
    tests, reactions, overrides, notes : each as said, in order
    health : her last answer to each question of her safety; empty where she took consent back
    photos : by digest, as said, without those removed
    foils_on, gloss_on : dates of return as agreed last
    flagged : how many facts could not be understood
    conflicts : how many ids say two things
    """

    stream: str
    name: str | None
    born: str | None
    contact: str | None
    consents: Mapping[str, bool]
    tests: tuple[Test, ...]
    reactions: tuple[Mapping[str, Any], ...]
    overrides: tuple[Mapping[str, Any], ...]
    health: Mapping[str, str]
    photos: Mapping[str, Mapping[str, Any]]
    notes: tuple[str, ...]
    foils_on: str | None
    gloss_on: str | None
    flagged: int
    conflicts: int


def fold_client(facts: Iterable[Fact]) -> ClientRecord:
    """Fold a client's stream."""
    found = standing(facts)
    last: dict[str, Mapping[str, Any]] = {}
    consents = dict.fromkeys(PURPOSES, False)
    photos: dict[str, Mapping[str, Any]] = {}
    many: dict[str, list[Mapping[str, Any]]] = {}
    tests = []
    health: dict[str, str] = {}
    for fact in found.standing:
        said = fact.payload
        last[fact.kind] = said
        many.setdefault(fact.kind, []).append(said)
        if fact.kind in ("consent.given", "consent.withdrawn"):
            consents[said["purpose"]] = fact.kind == "consent.given"
            if said["purpose"] == "health" and not consents["health"]:
                health = {}
        elif fact.kind == "health.answered":
            health |= {name: said[name] for name in (*HEALTH, "told") if name in said}
        elif fact.kind == "photo.added":
            photos[said["photo"]] = said
        elif fact.kind == "photo.removed":
            photos.pop(said["photo"], None)
        elif fact.kind == "test.signed":
            tests.append(Test(fact.id, said))
    named, back = last.get("client.named", {}), last.get("client.return", {})
    return ClientRecord(
        stream=found.stream,
        name=named.get("name"),
        born=named.get("born"),
        contact=named.get("contact"),
        consents=consents,
        tests=tuple(tests),
        reactions=tuple(many.get("reaction.seen", ())),
        overrides=tuple(many.get("gate.overridden", ())),
        health=health,
        photos=photos,
        notes=tuple(said["text"] for said in many.get("note", ())),
        foils_on=back.get("foils_on"),
        gloss_on=back.get("gloss_on"),
        flagged=len(found.flags),
        conflicts=len(found.conflicts),
    )


@dataclass(frozen=True, slots=True)
class ProductRecord:
    """A product as its own stream says; grams.

    Parameters
    ----------
    said : as described last
    lots : as received, in order
    grams : on the shelf: the last count and all that came or went after it
    reserved : by plan's token
    calibration : what visits taught of it, JSON, None where nothing
    """

    stream: str
    said: Mapping[str, Any]
    lots: tuple[Mapping[str, Any], ...]
    grams: float
    reserved: Mapping[str, float]
    calibration: str | None

    @property
    def free(self) -> float:
        """Give what no plan needs."""
        return self.grams - sum(self.reserved.values())


def fold_product(facts: Iterable[Fact]) -> ProductRecord:
    """Fold a product's stream.

    Notes
    -----
    A count puts an end to what came and went before it. A visit's later word replaces its earlier
    one where both came after the count; the plan it followed needs nothing any more.
    """
    found = standing(facts)
    said: Mapping[str, Any] = {}
    lots, counted, came = [], 0.0, 0.0
    taken: dict[str, float] = {}
    reserved: dict[str, float] = {}
    done: set[str] = set()
    calibration = None
    for fact in found.standing:
        payload = fact.payload
        if fact.kind == "product.described":
            said = payload
        elif fact.kind == "lot.received":
            lots.append(payload)
            came += payload["grams"]
        elif fact.kind == "stock.counted":
            counted, came, taken = payload["grams"], 0.0, {}
        elif fact.kind == "stock.taken":
            taken[payload["visit"]] = payload["grams"]
            done.add(payload.get("plan", ""))
        elif fact.kind == "stock.reserved":
            reserved[payload["plan"]] = payload["grams"]
        elif fact.kind == "product.calibrated":
            calibration = payload["text"]
    return ProductRecord(
        stream=found.stream,
        said=said,
        lots=tuple(lots),
        grams=counted + came - sum(taken.values()),
        reserved={plan: grams for plan, grams in reserved.items() if grams and plan not in done},
        calibration=calibration,
    )


@dataclass(frozen=True, slots=True)
class PracticeRecord:
    """The practice: her own values, the region whose rules hold, what visits taught, her costs."""

    values: Mapping[str, float]
    region: str | None
    learned: str | None
    costs: Mapping[str, Any]


def fold_practice(facts: Iterable[Fact]) -> PracticeRecord:
    """Fold the practice's stream; the first region said stands."""
    values: dict[str, float] = {}
    costs: Mapping[str, Any] = {}
    region = learned = None
    for fact in standing(facts).standing:
        if fact.kind == "practice.valued":
            values[fact.payload["name"]] = fact.payload["value"]
        elif fact.kind == "practice.settled":
            region = region or fact.payload["region"]
        elif fact.kind == "practice.learned":
            learned = fact.payload["text"]
        elif fact.kind == "practice.costed":
            costs = fact.payload
    return PracticeRecord(values, region, learned, costs)
