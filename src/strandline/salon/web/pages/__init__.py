"""Pages, one file each; a page's file holds its router, and being here is enough to be served."""

from __future__ import annotations

import importlib
import pkgutil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fastapi import APIRouter


def routers() -> list[APIRouter]:
    """Give every page's routes, by the names of their files."""
    names = sorted(found.name for found in pkgutil.iter_modules(__path__))
    return [importlib.import_module(f"{__name__}.{name}").router for name in names]
