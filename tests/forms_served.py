"""The forms of a served page: what a browser would send of them, what stands beside them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class Control:
    """A field of a form.

    Parameters
    ----------
    name, type : as served; type is 'select', 'textarea', 'button' or an input's own
    value : as served
    sent : whether a browser sends it as the form stands
    words : ids of what is said beside it
    """

    name: str
    type: str
    value: str = ""
    sent: bool = True
    words: tuple[str, ...] = ()


@dataclass
class Form:
    """A form as it is served."""

    method: str
    action: str
    multipart: bool
    controls: list[Control] = field(default_factory=list)

    @property
    def shape(self) -> tuple[str, ...]:
        """Give what it asks for, alike for forms that differ only in whose they are."""
        parts = ["*" if any(one.isdigit() for one in part) else part for part in self.parts]
        return (self.method, "/".join(parts), *sorted({one.name for one in self.fields}))

    @property
    def parts(self) -> list[str]:
        return self.action.partition("?")[0].split("/")

    @property
    def fields(self) -> list[Control]:
        """Give what it sends, one of each name."""
        return list({one.name: one for one in self.controls if one.name}.values())

    def filled(self) -> list[tuple[str, str]]:
        """Give what a browser sends where nothing is changed; the last button is pressed."""
        buttons = [one for one in self.controls if one.type == "button" and one.name]
        sent = [one for one in self.controls if one.name and one.type != "button" and one.sent]
        return [(one.name, one.value) for one in (*sent, *buttons[-1:])]


class Served(HTMLParser):
    """A page read: its forms, its links, the ids and words of what is told to be wrong."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Form] = []
        self.links: list[str] = []
        self.faults: list[str] = []
        self.told: list[str] = []
        self.described: set[str] = set()
        self.text = text
        self._open: Form | None = None
        self._select: Control | None = None
        self._telling = 0
        self._writing: Control | None = None
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        words = tuple(said.get("aria-describedby", "").split())
        self.described.update(words)
        if self._telling:
            self._telling += tag not in ("br", "img", "input")
        elif said.get("role") == "alert" or "fault" in said.get("class", "").split():
            self._telling, self.told = 1, [*self.told, ""]
            self.faults.append(said.get("id", ""))
        if tag == "a" and said.get("href", "").startswith("/"):
            self.links.append(said["href"].partition("#")[0])
        if tag == "form":
            multipart = said.get("enctype") == "multipart/form-data"
            self._open = Form(said.get("method", "get"), said.get("action", ""), multipart)
            self.forms.append(self._open)
        if self._open is not None and tag in ("input", "select", "textarea", "button"):
            self._control(tag, said, words)
        elif tag == "option" and self._select and ("selected" in said or not self._select.sent):
            self._select.value, self._select.sent = said.get("value", ""), True

    def _control(self, tag: str, said: dict[str, str], words: tuple[str, ...]) -> None:
        kind = said.get("type", "text") if tag == "input" else tag
        made = Control(said.get("name", ""), kind, said.get("value", ""), words=words)
        if kind in ("checkbox", "radio"):
            made.sent = "checked" in said
            made.value = said.get("value", "on")
        if kind == "select":
            made.sent, self._select = False, made
        if kind == "textarea":
            self._writing = made
        self._open.controls.append(made)

    def handle_endtag(self, tag: str) -> None:
        if self._telling:
            self._telling -= 1
        if tag == "form":
            self._open = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea":
            self._writing = None

    def handle_data(self, data: str) -> None:
        if self._telling:
            self.told[-1] += data
        if self._writing is not None:
            self._writing.value += data
