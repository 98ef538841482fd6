"""The app put together: the wall, the pages, the files that are served as they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from strandline import __version__
from strandline.base.errors import OutOfRangeError, ReadError, StrandlineError
from strandline.salon.web.pages import routers
from strandline.salon.web.show import STATIC, show_error
from strandline.salon.web.wall import Wall, status_of
from strandline.salon.web.words import _

if TYPE_CHECKING:
    from strandline.salon.web.room import Room


def create_app(room: Room) -> FastAPI:
    """Make the app.

    Parameters
    ----------
    room : the record, who writes, the clock

    Returns
    -------
    FastAPI   an ASGI app for one process on this machine
    """
    app = FastAPI(
        title="Strandline",
        version=__version__,
        description="Plans, chairs and records of one practice, on this machine alone.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.room = room
    app.add_middleware(GZipMiddleware, minimum_size=1000)
    app.add_middleware(Wall)
    for router in routers():
        app.include_router(router)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_exception_handler(StrandlineError, _mendable)
    app.add_exception_handler(RequestValidationError, _unfit)
    app.add_exception_handler(HTTPException, _plain)
    return app


def _tell(request: Request, error: StrandlineError, status: int) -> Response:
    """Answer an error: as JSON where JSON was asked for, else as a page."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": error.as_json()}, status)
    return show_error(request, error, status)


async def _mendable(request: Request, error: Exception) -> Response:
    if not isinstance(error, StrandlineError):
        raise error
    return _tell(request, error, status_of(error))


async def _unfit(request: Request, error: Exception) -> Response:
    if not isinstance(error, RequestValidationError):
        raise error
    first = error.errors()[0]
    where = ".".join(str(part) for part in first["loc"][1:])
    told = OutOfRangeError(
        _("What was sent does not fit: %(what)s.") % {"what": first["msg"]}, _("Correct it."), where
    )
    return _tell(request, told, 422)


async def _plain(request: Request, error: Exception) -> Response:
    if not isinstance(error, HTTPException):
        raise error
    if error.status_code == 404:
        told: StrandlineError = ReadError(
            _("There is no such page."), _("Go back, or begin from today."), request.url.path[:80]
        )
    else:
        told = ReadError(
            f"{error.detail}.", _("Go back and try another way."), request.url.path[:80]
        )
    return _tell(request, told, error.status_code)
