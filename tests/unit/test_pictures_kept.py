"""Pictures as files: nothing lost, nothing half written."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from strandline.base.errors import OutOfRangeError, StoreError
from strandline.salon.report.picture_file import write_whole
from strandline.service.growout.pictures.strip import (
    ANIMATED,
    Frame,
    animated_webp,
    sheet_png,
    side_by_side,
)


def picture(value, size=96):
    rng = np.random.default_rng(value)
    return rng.integers(0, 255, (size, size, 3)).astype(np.uint8)


def test_a_strip_holds_its_pictures_side_by_side_with_a_label_under_each():
    frames = [Frame(f"week {week}", picture(week)) for week in (0, 4, 8, 12, 16)]
    shown = np.asarray(Image.open(io.BytesIO(sheet_png([frames]))))
    assert shown.shape[1] == 5 * 96
    bars = shown[96:]
    assert bars.shape[0] >= 14
    for k, frame in enumerate(frames):
        assert (shown[:96, 96 * k : 96 * (k + 1)] == frame.picture).all()
        bar = bars[:, 96 * k : 96 * (k + 1)].astype(int)
        assert bar.max() - bar.min() > 60
        assert (bar[:, :4] == bar[0, 0]).all()
    assert sheet_png([frames]) == sheet_png([frames])


def test_half_a_year_is_shown_week_by_week_and_never_flashes():
    content = animated_webp([Frame(f"week {week}", picture(week, 64)) for week in ANIMATED])
    with Image.open(io.BytesIO(content)) as shown:
        assert (shown.format, shown.n_frames) == ("WEBP", 27)
        lasts = []
        for frame in range(27):
            shown.seek(frame)
            shown.load()
            lasts.append(shown.info["duration"])
    assert min(lasts) >= 100
    assert lasts[-1] > lasts[0]


def test_rows_of_weeks_stand_one_under_another_and_must_be_alike():
    rows = [[Frame("a", picture(1)), Frame("b", picture(2))]] * 3
    one = Image.open(io.BytesIO(sheet_png(rows[:1])))
    sheet = Image.open(io.BytesIO(sheet_png(rows)))
    assert sheet.size == (one.width, 3 * one.height)
    with pytest.raises(OutOfRangeError, match="not of one length"):
        sheet_png([rows[0], rows[0][:1]])
    both = side_by_side(rows[0])
    assert (both.label, both.picture.shape[:2]) == ("", (one.height, one.width))


def test_pictures_that_are_no_strip_are_refused():
    with pytest.raises(OutOfRangeError, match="pictures of 0 sizes"):
        sheet_png([[]])
    with pytest.raises(OutOfRangeError, match="pictures of 2 sizes"):
        sheet_png([[Frame("a", picture(1)), Frame("b", picture(2, 64))]])
    with pytest.raises(OutOfRangeError, match="too large"):
        sheet_png([[Frame("a", np.zeros((64, 4000, 3), dtype=np.uint8))] * 5])
    with pytest.raises(OutOfRangeError, match="1 pictures of 220 ms"):
        animated_webp([Frame("a", picture(1))])
    with pytest.raises(OutOfRangeError, match="pictures of 20 ms"):
        animated_webp([Frame("a", picture(1))] * 2, 20)


def test_a_file_is_written_whole_over_what_is_there(tmp_path):
    path = tmp_path / "strip.png"
    for content in (b"old", b"new and longer"):
        write_whole(path, content)
        assert path.read_bytes() == content
    assert [one.name for one in tmp_path.iterdir()] == ["strip.png"]


def test_a_place_that_cannot_be_written_is_told_and_nothing_is_left(tmp_path):
    with pytest.raises(StoreError, match="The file cannot be written"):
        write_whole(tmp_path / "missing" / "strip.png", b"new")
    (tmp_path / "folder").mkdir()
    with pytest.raises(StoreError, match="Name a file in a folder") as error:
        write_whole(tmp_path / "folder", b"new")
    assert error.value.where.endswith("folder")
    assert [one.name for one in tmp_path.iterdir()] == ["folder"]


def test_a_write_that_breaks_off_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "strip.png"
    write_whole(path, b"old")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(StoreError, match="No space left"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["strip.png"]
