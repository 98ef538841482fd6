"""Pages, one file each; a page's file holds its router."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fastapi import APIRouter


def routers() -> list[APIRouter]:
    """Give every page's routes."""
    from strandline.salon.web.pages import (  # noqa: PLC0415  # each brings what it needs
        after,
        client,
        clients,
        evidence,
        growout,
        plan,
        practice,
        shelf,
        today,
    )

    rooms = (today, clients, client, plan, growout, after, shelf, practice, evidence)
    return [one.router for one in rooms]
