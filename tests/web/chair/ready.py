"""Noor on the demonstration's day with all that a visit needs: a region, a test, today's plan."""

from __future__ import annotations

import datetime as dt

from strandline.salon.records.behind import behind_next
from strandline.salon.records.gates import set_region
from strandline.salon.records.keep import keep_plan, sign_test
from strandline.salon.records.look import head_today, the_client


def plan_today(room):
    """Plan Noor's visit for today and give the plan's stream."""
    client = the_client(room.store, "Noor")
    made = room.plans.made(behind_next(room.store, client, room.today), room.today)
    known = head_today(room.store, client).plan_of(room.today)
    text = made.plan.model_dump_json()
    return keep_plan(room.store, room.scribe, client, text, over=known).stream


def sign_alert(room, days=4):
    """Keep a clear alert test that was put on some days ago."""
    client = the_client(room.store, "Noor")
    on = (room.today - dt.timedelta(days=days)).isoformat()
    said = {"client": "Noor Tamarsky", "test": "alert", "result": "clear", "applied_on": on,
            "applied_at": "10:00", "read_on": on, "signature": "N. T."}  # fmt: skip
    sign_test(room.store, room.scribe, client, said)


def make_ready(room):
    """Set the region and sign the test."""
    set_region(room.store, room.scribe, "EU")
    sign_alert(room)
