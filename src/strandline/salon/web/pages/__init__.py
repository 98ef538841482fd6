"""Pages, one file each; a page's file holds its router."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fastapi import APIRouter


def routers() -> list[APIRouter]:
    """Give every page's routes."""
    from strandline.salon.web.pages import (  # noqa: PLC0415  # each brings what it needs
        client,
        clients,
        growout,
        plan,
        today,
    )

    return [one.router for one in (today, clients, client, plan, growout)]
