"""Where figures come from: every check against what stands outside, computed while one looks."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from functools import cache

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, StreamingResponse
from starlette.concurrency import run_in_threadpool

from strandline.base.sources import cite
from strandline.salon.evidence.check import Check, Result
from strandline.salon.evidence.table import all_checks
from strandline.salon.web.show import show

router = APIRouter()
KINDS = ("standard", "measured", "identity", "practice", "regression")


@cache
def checks() -> tuple[Check, ...]:
    """Give every check by kind, in the order of the table."""
    return tuple(sorted(all_checks(), key=lambda one: KINDS.index(one.kind)))


@cache
def result_of(number: int) -> Result:
    """Compute a check, once while the server runs."""
    return checks()[number].result()


@router.get("/evidence", response_class=HTMLResponse)
def table(request: Request) -> HTMLResponse:
    """Show the table; what is computed comes row by row."""
    rows = list(enumerate(checks()))
    groups = [(kind, [row for row in rows if row[1].kind == kind]) for kind in KINDS]
    return show(request, "evidence.html", groups=groups, count=len(rows), shown=shown, cite=cite)


@router.get("/evidence/run")
async def run(request: Request) -> StreamingResponse:
    """Compute check after check as server-sent events; it stops when nobody listens."""

    async def events() -> AsyncIterator[str]:
        for number in range(len(checks())):
            if await request.is_disconnected():
                return
            found = await run_in_threadpool(result_of, number)
            said = {"n": number, "computed": shown(found.computed), "holds": found.holds}
            yield f"data: {json.dumps(said)}\n\n"
        yield "event: done\ndata: {}\n\n"

    return StreamingResponse(events(), media_type="text/event-stream")


def shown(value: float | str) -> str:
    """Write a figure of the table."""
    return value if isinstance(value, str) else f"{value:.5g}"
