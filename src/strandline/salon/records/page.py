"""A client's export as a page that any browser shows and prints, without a script."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

HEAD = """<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
body {{ font: 1rem/1.5 system-ui, sans-serif; max-width: 48rem; margin: 2rem auto }}
body {{ padding: 0 1rem }}
dt {{ font-weight: 600 }} dd {{ margin: 0 0 .5rem }} img {{ max-width: 100%; height: auto }}
pre {{ white-space: pre-wrap; overflow-wrap: anywhere }} section {{ break-inside: avoid-page }}
</style></head><body><main>
"""


def page(document: Mapping[str, Any]) -> str:
    """Write the page.

    Parameters
    ----------
    document : as `export.as_document` gives it; photos stand beside it in photos/
    """
    client = document["client"]
    name = client["name"] or "A client"
    parts = [HEAD.format(title=f"Record of {escape(name)}"), f"<h1>{escape(name)}</h1>\n"]
    parts.append(_section("Consents", [_consents(client["consents"])]))
    if client["health"]:
        parts.append(_section("Health answers", [_facts(client["health"])]))
    for title, key in (("Tests", "tests"), ("Reactions", "reactions"), ("Overrides", "overrides")):
        parts.append(_section(title, [_facts(one) for one in client[key]]))
    parts.append(_section("Notes", [f"<p>{escape(text)}</p>" for text in client["notes"]]))
    parts.append(_section("Visits", [_visit(visit) for visit in document["visits"]]))
    parts.append(_section("Plans", [_plan(plan) for plan in document["plans"]]))
    written = [f"<pre>{escape(text)}</pre>" for text in document["consultations"]]
    parts.append(_section("Consultations", written))
    parts.append(_section("Photos", [_photo(photo) for photo in client["photos"]]))
    parts.append(
        "<p>client.json holds the same as data; facts.jsonl holds every fact as it was "
        "recorded.</p>\n</main></body></html>\n"
    )
    return "".join(parts)


def _section(title: str, parts: Sequence[str]) -> str:
    inside = "\n".join(parts) if parts else "<p>None.</p>"
    return f"<section><h2>{escape(title)}</h2>\n{inside}\n</section>\n"


def _consents(consents: Mapping[str, bool]) -> str:
    return _facts({purpose: "yes" if given else "no" for purpose, given in consents.items()})


def _facts(said: Mapping[str, Any]) -> str:
    """Give a list of terms; what stands in `said` within another is laid open."""
    rows = []
    for name, value in said.items():
        if isinstance(value, Mapping):
            rows.append(f"<dd>{_facts(value)}</dd>")
        elif value is not None:
            rows.append(
                f"<dt>{escape(str(name).replace('_', ' '))}</dt><dd>{escape(str(value))}</dd>"
            )
    return f"<dl>{''.join(rows)}</dl>"


def _visit(visit: Mapping[str, Any]) -> str:
    parts = [f"<h3>{escape(str(visit['date'] or 'a day not said'))}</h3>"]
    many = ("sections", "bowls", "checks", "wipes", "rinses", "glosses", "changes", "feelings",
            "results", "tests", "notes")  # fmt: skip
    for name in many:
        if visit[name]:
            rows = "".join(f"<li>{_facts(one)}</li>" for one in visit[name])
            parts.append(f"<h4>{escape(name)}</h4><ul>{rows}</ul>")
    return "\n".join(parts)


def _plan(plan: Any) -> str:  # noqa: ANN401  # as it was kept
    if not isinstance(plan, Mapping):
        return f"<pre>{escape(str(plan))}</pre>"
    names = ("date", "verdict", "technique", "foil_count", "tone_why")
    return _facts({name: plan.get(name) for name in names})


def _photo(photo: Mapping[str, Any]) -> str:
    words = f"{photo.get('view', 'photo')}, {photo['taken_on']}"
    source = f"photos/{escape(str(photo['photo']))}.jpg"
    told = escape(words)
    return f'<figure><img src="{source}" alt="{told}"><figcaption>{told}</figcaption></figure>'
