# mypy: disable-error-code="misc"
# Lambdas inside unpacked rows: mypy does not hand their type inward; each is a plain figure.
"""Checks of the record: bowls that add up, and a client who leaves nothing behind and comes back.

The client is of the demonstration: consents, a signed test, a consultation, a plan and a visit;
here a photo and a line that is no fact besides.
"""

from __future__ import annotations

import datetime as dt
import io
import itertools
import tempfile
import zipfile
from collections.abc import Mapping
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from strandline.base.draws import draws
from strandline.base.facts.fact import Fact
from strandline.base.facts.fold import fold
from strandline.base.facts.jsonl import read_lines
from strandline.base.sources import ARITHMETIC
from strandline.salon.evidence.check import Check

if TYPE_CHECKING:
    from strandline.salon.records.scribe import Scribe
    from strandline.salon.records.store import Store

HEAD = "tamsin"
LONG_AFTER = "2099-01-01"
"""A day on which law keeps nothing of hers any more."""
MIDDLE_GRAMS, SPREAD_GRAMS, LEAST_GRAMS = 30.0, 10.0, 1.0
"""Of the powder in a drawn bowl; it takes twice that of developer."""


def weighed() -> list[tuple[float, float, float]]:
    """Give bowls that are drawn, to a tenth of a gram: powder, developer, and what was left."""
    found = draws(("powder", "developer", "left"))
    middles = {"powder": MIDDLE_GRAMS, "developer": 2 * MIDDLE_GRAMS, "left": 0.0}
    grams = {
        name: [round(max(LEAST_GRAMS, middle + SPREAD_GRAMS * float(z)), 1) for z in found[name]]
        for name, middle in middles.items()
    }
    return list(zip(grams["powder"], grams["developer"], grams["left"], strict=True))


def off_balance() -> float:
    """Give the most by which mixed is not used and residue, over a visit of drawn bowls [g]."""
    facts, count = [], itertools.count(1)

    def tap(kind: str, **said: float | str) -> None:
        at, number = dt.datetime(2026, 12, 9, 9, tzinfo=dt.UTC), next(count)
        when = (at + dt.timedelta(seconds=number)).strftime("%Y-%m-%dT%H:%M:%SZ")
        facts.append(Fact(f"f{number}", "v", kind, 1, said, "Ada", "tablet", number, when, 60))

    for powder, developer, left in weighed():  # one name: each is a fresh bowl
        poured = {"developer_vol": 20.0, "developer_grams": developer, "powder_grams": powder}
        tap("bowl.mixed", bowl="main", **poured)
        tap("bowl.left", bowl="main", grams=left)
    return max(
        abs(powder + developer - left - (bowl.used_grams or 0.0))
        for bowl, (powder, developer, left) in zip(fold(facts).bowls, weighed(), strict=True)
    )


@cache
def there_and_back() -> Mapping[str, float]:
    """Export a client, erase her, bring her back, erase her again; count what is not as promised.

    Returns
    -------
    dict   `differ` members of her export that are not byte for byte the same once she is back;
           `unlisted` facts of hers left by the erasure that no law is named for; `photos` of hers
           left; `backups` that the erasure lists; `files` of the data folder that hold her name
           or number once law keeps nothing
    """
    from strandline.salon.records.demo import build  # noqa: PLC0415  # slow
    from strandline.salon.records.place import Place  # noqa: PLC0415
    from strandline.salon.records.store import open_store  # noqa: PLC0415

    with tempfile.TemporaryDirectory(prefix="strandline-evidence-") as made:
        folder = Path(made)
        data = folder / "data"
        with open_store(Place(data, data / "record.db")) as store:
            built = build(store, (HEAD,), visits=1)[0]
            return _there_and_back(store, folder, built.client, built.name)


def _there_and_back(store: Store, folder: Path, client: str, name: str) -> Mapping[str, float]:
    from strandline.salon.records.backup import back_up  # noqa: PLC0415  # slow
    from strandline.salon.records.erase import erase, retire  # noqa: PLC0415
    from strandline.salon.records.export import bring_back, export_client  # noqa: PLC0415
    from strandline.salon.records.photos import kept_photos  # noqa: PLC0415
    from strandline.salon.records.scribe import Scribe  # noqa: PLC0415

    scribe = Scribe("Ada", "desk")
    streams = _more(store, scribe, client, name)
    back_up(store, folder / "backup.zip")
    first = export_client(store, client, folder / "first.zip").path
    done = erase(store, scribe, client)
    unlisted = _facts_in(store, streams) - len(done.kept)
    photos = len(list(kept_photos(store.place.folder)))
    bring_back(store, first)
    again = export_client(store, client, folder / "again.zip").path
    erase(store, scribe, client)
    retire(store, LONG_AFTER)
    return {
        "differ": _differ(first, again),
        "unlisted": unlisted,
        "photos": photos,
        "backups": len(done.backups),
        "files": _holding(store.place.folder, (name, *name.split(), client)),
    }


def _more(store: Store, scribe: Scribe, client: str, name: str) -> list[str]:
    """Add a photo and a line that is no fact to what is hers; give all her streams."""
    from PIL import Image  # noqa: PLC0415  # slow
    from sqlalchemy import select  # noqa: PLC0415

    from strandline.salon.records.append import append  # noqa: PLC0415
    from strandline.salon.records.keep import take_photo, write  # noqa: PLC0415
    from strandline.salon.records.look import head_today, visit_facts  # noqa: PLC0415
    from strandline.salon.records.tables import STREAM  # noqa: PLC0415

    write(store, scribe, client, "consent.given", {"purpose": "photo", "signature": name})
    picture = io.BytesIO()
    Image.new("RGB", (8, 6), (120, 90, 70)).save(picture, "PNG")
    take_photo(store, scribe, client, picture.getvalue())
    visit = head_today(store, client).visits[0].stream
    append(store, visit_facts(store, visit or ""), read_lines(f"a line of {name}\n").unread)
    with store.reading() as found:
        return list(found.scalars(select(STREAM.c.name).where(STREAM.c.client == client)))


def _facts_in(store: Store, streams: list[str]) -> int:
    from sqlalchemy import func, select  # noqa: PLC0415  # slow

    from strandline.salon.records.tables import FACT  # noqa: PLC0415

    count = select(func.count()).select_from(FACT).where(FACT.c.stream.in_(streams))
    with store.reading() as found:
        return int(found.scalar(count) or 0)


def _differ(first: Path, again: Path) -> int:
    """Count the members of two archives that are not the same, but for their lists."""
    with zipfile.ZipFile(first) as one, zipfile.ZipFile(again) as two:
        found = [{name: some.read(name) for name in some.namelist()} for some in (one, two)]
    names = ({*found[0], *found[1]}) - {"manifest.json"}
    return sum(found[0].get(name) != found[1].get(name) for name in names)


def _holding(folder: Path, needles: tuple[str, ...]) -> int:
    """Count the files below a folder whose bytes hold one of some words, in either case."""
    words = [needle.lower().encode() for needle in needles]
    files = [path.read_bytes().lower() for path in folder.rglob("*") if path.is_file()]
    return sum(any(word in raw for word in words) for raw in files)


CHECKS: tuple[Check, ...] = (
    Check("Bowls of a visit: mixed less used and residue", "identity", ARITHMETIC, 0.0,
          off_balance, 1e-9, unit="g", locator="64 bowls drawn, weighed to 0.1 g"),
    *(Check(name, "identity", ARITHMETIC, expected,
            partial(lambda what: there_and_back()[what], what), locator=locator)
      for name, what, expected, locator in (
          ("Exported, erased, brought back: members of her export that differ", "differ", 0.0,
           "byte for byte"),
          ("Erased: facts of hers that are left and not listed with a law", "unlisted", 0.0,
           "consents, tests, consultation, plan, visit"),
          ("Erased: photos of hers that are left", "photos", 0.0, "one was taken"),
          ("Erased: backups that hold her still, listed", "backups", 1.0, "one was made before"),
          ("Erased, and law keeps nothing more: files that hold her name or number", "files", 0.0,
           "every byte of the data folder"))),
)  # fmt: skip
