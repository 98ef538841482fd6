"""A client's files taken into the record: her consultation, a plan, what the chair recorded."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from strandline.base.facts.fold import Visit, fold
from strandline.base.facts.jsonl import Reading
from strandline.salon.records.append import Taken, append
from strandline.salon.records.keep import add_client, keep_plan, write, write_consultation
from strandline.salon.records.look import Document, clients, document, head_today
from strandline.salon.records.readings import searchable
from strandline.salon.records.scribe import Scribe
from strandline.salon.records.shelf import glossed_by, products, take, taken_by
from strandline.salon.records.wall import ConsentError

if TYPE_CHECKING:
    from strandline.salon.records.store import Store

NEEDED = ("record", "health")
"""Consents without which nothing of a client is kept: a consultation holds health answers."""


@dataclass(frozen=True, slots=True)
class Intake:
    """What was taken in.

    Parameters
    ----------
    client : her stream
    new_client : whether she was not here
    consultation, plan : whether each was new
    visit : what became of the facts, None where none were given
    not_on_shelf : products that were used and are not on the shelf
    """

    client: str
    new_client: bool
    consultation: bool
    plan: bool
    visit: Taken | None
    not_on_shelf: tuple[str, ...]


def take_in(  # a client's files
    store: Store,
    scribe: Scribe,
    name: str,
    consultation: str,
    *,
    plan: str | None = None,
    visit: Reading | None = None,
    signed: str | None = None,
) -> Intake:
    """Take a client's files in; what is here already is left, so that it may be done again.

    Parameters
    ----------
    name : as her consultation says it
    consultation, plan : the text of each
    visit : the facts of a visit, lines that are none among them
    signed : her signature, where she consents now

    Raises
    ------
    ConsentError   she has not consented to being kept with her health answers
    ReadError      a plan that is none
    """
    same = [row for row in clients(store, name) if searchable(row.name) == searchable(name)]
    if not same and not signed:
        raise _asks(name)
    client = same[0].client if same else add_client(store, scribe, name)
    consents = head_today(store, client).client.consents
    for purpose in NEEDED:
        if consents[purpose]:
            continue
        if not signed:
            raise _asks(name)
        write(store, scribe, client, "consent.given", {"purpose": purpose, "signature": signed})
    head = head_today(store, client)
    new_text = consultation not in [one.text for one in head.consultations]
    if new_text:
        write_consultation(store, scribe, client, consultation)
    plans = {one.text: one.stream for one in head.plans}
    new_plan = plan is not None and plan not in plans
    if plan is not None and new_plan:
        plans[plan], _ = keep_plan(store, scribe, client, plan)
    taken: Taken | None = None
    missing: tuple[str, ...] = ()
    if visit is not None:
        taken = append(store, visit.facts, visit.unread, client=client)
        followed = document(store, plans[plan]) if plan is not None else None
        missing = take_off(store, scribe, fold(visit.facts, visit.unread), followed)
    return Intake(client, not same, new_text, new_plan, taken, missing)


def take_off(store: Store, scribe: Scribe, said: Visit, plan: Document | None) -> tuple[str, ...]:
    """Take what an ended visit mixed off the shelf; an open one takes nothing yet.

    Parameters
    ----------
    said : the visit, folded
    plan : that it followed, whose recipes say what a gloss that was laid took; the developer of
        its line where that stands on the shelf

    Returns
    -------
    names of what was used and is not on the shelf
    """
    if said.ended is None:
        return ()
    with store.reading() as connection:
        here = [product.said for product in products(connection)]
    powder = next((one["name"] for one in here if one.get("sort") == "lightener"), "lightener")
    bottles = [
        float(one["name"].split()[1]) for one in here
        if one.get("sort") == "developer" and one["name"].startswith("developer ")
    ]  # fmt: skip
    used = taken_by(said, powder, bottles)
    if plan is not None:
        names = {one["name"] for one in here}
        for name, grams in glossed_by(said, json.loads(plan.text)).items():
            if name in names or not name.startswith("developer "):
                used[name] = used.get(name, 0.0) + grams
    stream = plan.stream if plan is not None else None
    return tuple(take(store, scribe, said.stream, used, plan=stream))


def _asks(name: str) -> ConsentError:
    return ConsentError(
        f"{name:.80} has not consented to being kept with her health answers.",
        'Ask her, then say how she signed: --signed "HER NAME".',
    )
