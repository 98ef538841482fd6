"""Pages from templates."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from strandline.salon.records.scribe import token
from strandline.salon.web.words import between, catalogue, manner_of, minutes, span

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fastapi import Request

    from strandline.base.errors import StrandlineError

HERE = Path(__file__).parent
STATIC = HERE / "static"
MAIN = '<main id="main">'
"""Where the content of a page begins."""


@cache
def environment() -> Environment:
    """Give the templates; what is missing in one is an error, not an empty place."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    made.install_gettext_translations(catalogue(), newstyle=True)  # type: ignore[attr-defined]
    made.filters |= {"minutes": minutes, "span": span, "drawing": Markup}
    made.globals |= {"static": static, "between": between, "mark": token, "wrong": wrong}
    return made


def wrong(
    faults: Mapping[str, StrandlineError] | None,
    name: str,
    here: object = True,  # noqa: FBT002  # said in templates alone
) -> Markup:
    """Give the attributes that tie a field to what is wrong with it, none where nothing is.

    Parameters
    ----------
    here : whether the fault is of this form, where several have a field of that name
    """
    if not here or not faults or name not in faults:
        return Markup("")
    return Markup(' aria-invalid="true" aria-describedby="fault-{}"').format(name)


@cache
def static(name: str) -> str:
    """Give the address of a file that is served as it is, with its content's mark."""
    mark = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    return f"/static/{name}?v={mark}"


def show(
    request: Request,
    template: str,
    *,
    status: int = 200,
    **said: Any,  # noqa: ANN401
) -> HTMLResponse:
    """Make a page, or a part of one.

    Parameters
    ----------
    template : its file
    status : of HTTP
    said : what it shows
    """
    manner = manner_of(request.cookies)
    room = request.app.state.room
    text = environment().get_template(template).render(
        request=request, path=request.url.path, manner=manner, by=room.by, today=room.today,
        **said,
    )  # fmt: skip
    return HTMLResponse(_with_the_rest(text, said.get("faults")), status)


def _with_the_rest(text: str, faults: Mapping[str, StrandlineError] | None) -> str:
    """Tell what stands beside no field of the page at its top, so that nothing goes untold."""
    rest = [one for key, one in (faults or {}).items() if f'id="fault-{escape(key)}"' not in text]
    told = environment().get_template("untold.html").render(rest=rest) if rest else ""
    return text.replace(MAIN, MAIN + told, 1)


def show_error(request: Request, error: StrandlineError, status: int) -> HTMLResponse:
    """Make the page of an error: what is wrong, what to do."""
    return show(request, "error.html", status=status, error=error)
