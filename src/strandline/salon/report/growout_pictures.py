"""Pictures of a plan's grow-out as files: sheets of weeks from four sides, and a film of weeks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from strandline.base.errors import OutOfRangeError, StoreError
from strandline.salon.report import picture_file
from strandline.salon.report.picture_file import write_whole
from strandline.salon.report.strands import Look
from strandline.service.growout.pictures.camera import LEAST_PX, MOST_PX, VIEWS
from strandline.service.growout.pictures.strip import (
    ANIMATED,
    Frame,
    animated_webp,
    sheet_png,
    side_by_side,
)
from strandline.service.growout.pictures.weeks import Dressed
from strandline.service.plan.assemble import Made
from strandline.service.plan.growing import (
    Others,
    dressed,
    figure,
    kept_name,
    light_from_level,
)

SIZE, SHEET_SIZE = 480, 320
FILM_VIEW = "front"
Views = dict[str, dict[str, list[float]]]


def check_size(size: int) -> None:
    """Refuse a size that no picture has.

    Raises
    ------
    OutOfRangeError   outside 64-4000 pixels
    """
    if not LEAST_PX <= size <= MOST_PX:
        raise OutOfRangeError(
            f"The pictures are {size} pixels wide; it must be {LEAST_PX}-{MOST_PX}.",
            f"Leave --size out for {SIZE}, or give 800 for one to print.",
            "--size",
        )


def check_folder(path: Path) -> None:
    """Refuse a folder for pictures that is a file, or that could not be made or written to.

    Raises
    ------
    StoreError   a file of that name, or a place that takes none
    """
    if path.exists() and not path.is_dir():
        raise StoreError(
            f"'{path}' is a file, not a folder.", "Name a folder for pictures.", "--pictures"
        )
    there = next(one for one in (path, *path.absolute().parents) if one.exists())
    picture_file.check_folder(there, path, "--pictures")


def week_sheets(
    made: Made, weeks: Sequence[float], size: int = SIZE, others: Others | None = None
) -> tuple[dict[str, bytes], Views]:
    """Draw a head week by week from four sides, in every way to keep its hair.

    Parameters
    ----------
    weeks : rising, 0-104
    size : of each picture, pixels, 64-4000
    others : plans of the same visit, a row for each

    Returns
    -------
    files : 'front.png' and so on to their bytes; a row for each way to keep the hair
    views : share of the hair seen that is light [1], by view, way and week
    """
    head, looks = figure(made, weeks), dressed(made, weeks, others)
    light = light_from_level(made)
    files: dict[str, bytes] = {}
    views: Views = {}
    for view in VIEWS:
        rows: dict[str, list[Frame]] = {name: [] for name in looks}
        views[view] = {name: [] for name in looks}
        for week in weeks:
            seen = head.seen(_any(looks), week, view, size)
            for name, look in looks.items():
                label = f"{name}, {_week(week)}"
                rows[name].append(Frame(label, head.picture(seen, look, week)))
                views[view][name].append(head.lighter_than(seen, look, week, light))
        files[f"{view}.png"] = sheet_png(list(rows.values()))
    return files, views


def heads(
    made: Made, weeks: Sequence[float], size: int = SHEET_SIZE
) -> dict[tuple[Look, int], bytes]:
    """Draw the head from the front for a sheet, each picture alone, as PNG.

    Returns
    -------
    by the look and the place of the week
    """
    named: dict[str, Look] = {kept_name(made): "as kept", "as planned": "planned"}
    found = front_heads(made, weeks, size)
    return {
        (named[name], list(weeks).index(week)): picture
        for (name, week), picture in found.items()
        if name in named
    }


def front_heads(
    made: Made, weeks: Sequence[float], size: int = SHEET_SIZE
) -> dict[tuple[str, float], bytes]:
    """Draw the head from the front in every way to keep its hair, each picture alone, as PNG.

    Returns
    -------
    by the name of the way and the week
    """
    head, looks = figure(made, weeks), dressed(made, weeks)
    out: dict[tuple[str, float], bytes] = {}
    for week in weeks:
        seen = head.seen(_any(looks), week, FILM_VIEW, size)
        for name, look in looks.items():
            out[name, week] = sheet_png([[Frame("", head.picture(seen, look, week))]])
    return out


def film(made: Made, size: int = SIZE, weeks: Iterable[float] = ANIMATED) -> bytes:
    """Give half a year as an animated WebP: every way to keep the hair, from the front."""
    at = [float(week) for week in weeks]
    head, looks = figure(made, at), dressed(made, at)
    frames = []
    for week in at:
        seen = head.seen(_any(looks), week, FILM_VIEW, size)
        both = [
            Frame(f"{name}, {_week(week)}", head.picture(seen, look, week))
            for name, look in looks.items()
        ]
        frames.append(side_by_side(both))
    return animated_webp(frames)


def write_pictures(files: Mapping[str, bytes], folder: Path) -> None:
    """Write pictures into a folder, made where it is missing; each whole or not at all.

    Raises
    ------
    StoreError   a file of that name, or a place that cannot be written
    """
    with _told(folder):
        folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_whole(folder / name, content)


@contextmanager
def _told(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise StoreError(
            f"The folder for pictures cannot be made: {error.strerror or error}.",
            "Name a folder that you may write to, with room on its disk.",
            str(folder),
        ) from None


def _any(looks: Mapping[str, Dressed]) -> Dressed:
    """Give one of the looks of a head: where its hair lies, and what was shed, is alike in all."""
    return next(iter(looks.values()))


def _week(week: float) -> str:
    return "on the day" if week == 0 else f"week {week:g}"
