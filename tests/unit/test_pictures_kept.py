"""Pictures and strands as bytes and files: nothing lost, nothing half written."""

from __future__ import annotations

import dataclasses
import io
import json
import struct

import numpy as np
import pytest
from PIL import Image

from strandline.base.errors import OutOfRangeError, ReadError, StoreError
from strandline.salon.report.picture_file import write_whole
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.pictures.export import NO_STATE, exported, packed, unpacked
from strandline.service.growout.pictures.fall import fall
from strandline.service.growout.pictures.strip import (
    ANIMATED,
    Frame,
    animated_webp,
    sheet_png,
    side_by_side,
)
from strandline.service.growout.pictures.style import HairStyle


@pytest.fixture(scope="module")
def strands():
    zones = cut_zones()
    grown = {zone.key: Grown(223, 0.4, 70, 367) for zone in zones}
    return derive(zones, grown, key_of("pictures"), 1000)


@pytest.fixture(scope="module")
def fallen(strands):
    return fall(cut_zones().scalp, strands, HairStyle(25.0, 1.1))


@pytest.fixture(scope="module")
def state(fallen):
    found = np.arange(len(fallen.paths) * fallen.pieces, dtype=np.int32) % 300
    found = found.reshape(len(fallen.paths), fallen.pieces)
    found[:, -3:] = -1
    return found


def picture(value, size=96):
    rng = np.random.default_rng(value)
    return rng.integers(0, 255, (size, size, 3)).astype(np.uint8)


def test_strands_come_back_as_they_went(fallen, state, strands):
    one = exported(fallen, state, strands.growth_um_per_day, 84.0)
    again = unpacked(packed(one))
    for field in ("position", "state", "birthday"):
        assert np.array_equal(getattr(one, field), getattr(again, field))
    assert again.step_cm == one.step_cm
    assert again.paths == pytest.approx(fallen.paths, abs=one.step_cm)
    assert one.step_cm < 0.002
    assert (again.state[:, :-4] == state[:, :-3]).all()
    assert (again.state[:, -4:] == NO_STATE).all()


def test_a_birthday_is_the_day_its_stretch_left_the_scalp(fallen, state, strands):
    one = exported(fallen, state, strands.growth_um_per_day, 84.0)
    assert (one.birthday[:, 0] == 84).all()
    age = 84 - one.birthday[:, -1].astype(float)
    assert age * strands.growth_um_per_day * 1e-4 == pytest.approx(fallen.length_cm, abs=0.03)
    assert (np.diff(one.birthday, axis=1) <= 0).all()


def test_the_bytes_are_little_endian_behind_their_header(fallen, state, strands):
    content = packed(exported(fallen, state, strands.growth_um_per_day, 0.0))
    (size,) = struct.unpack("<I", content[:4])
    header = json.loads(content[4 : 4 + size])
    assert (size + 4) % 8 == 0
    count, vertices = len(fallen.paths), fallen.pieces + 1
    for name, width in (("position", 6), ("state", 2), ("birthday", 2)):
        array = header["arrays"][name]
        assert array["type"].startswith("<")
        assert array["shape"][:2] == [count, vertices]
        assert array["offset"] % 8 == 0
        assert 4 + size + array["offset"] + count * vertices * width <= len(content)
    at = 4 + size + header["arrays"]["position"]["offset"]
    first = struct.unpack_from("<3h", content, at)
    root = np.array(first) * header["step_cm"] + header["middle_cm"]
    assert root == pytest.approx(fallen.paths[0, 0], abs=header["step_cm"])
    assert len(content) < 1.1 * count * vertices * 10 + 1000


def test_what_is_no_strands_is_refused(fallen, state, strands):
    content = packed(exported(fallen, state, strands.growth_um_per_day, 0.0))
    other = content.replace(b'"version": 1', b'"version": 9')
    for wrong in (b"", b"abc", content[:-100], content[:50], b"\xff" * 400):
        with pytest.raises(ReadError, match="no strands, or are cut short"):
            unpacked(wrong)
    with pytest.raises(ReadError, match="of version 9"):
        unpacked(other)


def test_states_that_do_not_fit_are_refused(fallen, state, strands):
    growth = strands.growth_um_per_day
    with pytest.raises(OutOfRangeError, match="States are of shape"):
        exported(fallen, state[:, 1:], growth, 0.0)
    with pytest.raises(OutOfRangeError, match="There are 65536 states"):
        exported(fallen, np.where(state < 0, state, 65535), growth, 0.0)
    old = dataclasses.replace(fallen, length_cm=np.full(len(strands), 150.0))
    with pytest.raises(OutOfRangeError, match="Hair was born"):
        exported(old, state, growth / 10, 0.0)


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
    with pytest.raises(StoreError, match="The picture cannot be written"):
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
