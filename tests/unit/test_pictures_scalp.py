"""How much scalp is seen between strands: by density, diameter and lie, whatever is drawn."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from strandline.science.head.scalp import Scalp
from strandline.science.head.strands import Grown, derive, key_of
from strandline.science.head.zones import cut_zones
from strandline.service.growout.pictures.bust import bust
from strandline.service.growout.pictures.camera import Camera, camera_on
from strandline.service.growout.pictures.fall import Fallen, fall
from strandline.service.growout.pictures.raster import BEHIND_CM, NO_HAIR, seen_of, width_cm
from strandline.service.growout.pictures.shape import HeadShape
from strandline.service.growout.pictures.style import HairStyle

FIELD_CM, STRAW_CM = 24.0, 2.0


def straws(turn_deg, count=4000, pieces=120):
    """Straight straws, at random before a head that is seen from the front."""
    rng = np.random.default_rng(7)
    middle = rng.uniform(-FIELD_CM / 2, FIELD_CM / 2, (count, 2))
    turn = np.radians(turn_deg if turn_deg is not None else rng.uniform(0, 180, count))
    way = np.stack(np.broadcast_arrays(np.cos(turn), np.sin(turn), np.zeros(count))[:2], axis=1)
    along = np.linspace(-STRAW_CM / 2, STRAW_CM / 2, pieces + 1)
    flat = middle[:, None] + along[None, :, None] * way[:, None]
    paths = np.stack([flat[..., 0], np.full(flat.shape[:2], 30.0), flat[..., 1]], axis=2)
    return Fallen(paths.astype(np.float32), np.full(count, STRAW_CM), HeadShape(Scalp()))


@pytest.mark.parametrize("turn_deg", [0.0, 20.0, 40.0, 90.0, None])
@pytest.mark.parametrize("size", [160, 400])
@pytest.mark.parametrize("wide_cm", [0.008, 0.03, 0.09])
def test_straws_thrown_at_random_leave_what_the_law_of_cover_says(turn_deg, size, wide_cm):
    """Of a plane under shapes of mean area a, n of them on a unit, exp(-n a) is free.

    The Boolean model (Matheron, Random Sets and Integral Geometry, 1975; from memory).
    """
    field = straws(turn_deg)
    camera = Camera(0.0, 0.0, (0.0, 0.0, 0.0), 16.0)
    count = len(field.paths)
    seen = seen_of(field, camera, size, np.full(count, wide_cm))
    free = float(np.mean(seen.piece == NO_HAIR))
    law = float(np.exp(-count * wide_cm * STRAW_CM / FIELD_CM**2))
    assert free == pytest.approx(law, abs=0.02)


def crown_share(density, diameter_um, size=400):
    """Give the free share of the crown from above, and what the lie of all hair leaves of it."""
    zones = cut_zones()
    grown = {zone.key: Grown(density, 0.4, diameter_um, 367) for zone in zones}
    strands = derive(zones, grown, key_of("crown"), 20_000)
    head = fall(zones.scalp, strands, HairStyle(20.0, parting="left", diameter_um=diameter_um))
    camera, wide = camera_on(head, "top"), width_cm(strands)
    seen = seen_of(head, camera, size, wide)
    crown = head.shape.place(np.zeros(1), np.array([0.47 * zones.scalp.front_to_nape_cm]))[:, 0]
    scale = size / camera.height_cm
    away = crown - np.array(camera.middle_cm)
    middle = np.array(
        [size / 2 - scale * camera.axes[1] @ away, size / 2 + scale * camera.axes[0] @ away]
    )
    cell = 8
    rows, columns = np.mgrid[: size // cell, : size // cell] * cell + cell / 2
    near = np.hypot(rows - middle[0], columns - middle[1]) < 5 * scale
    fine = cell * seen.fine
    bare = (seen.piece == NO_HAIR).reshape(size // cell, fine, size // cell, fine)
    law = np.exp(-thickness(head, camera, wide, size, cell))
    return float(bare.mean(axis=(1, 3))[near].mean()), float(law[near].mean())


def thickness(head, camera, wide_cm, size, cell):
    """Width x length as seen over area, in cells; each piece in eight parts."""
    scale = size / camera.height_cm
    right, up, eye = camera.axes
    at = head.paths.astype(float) - np.array(camera.middle_cm)
    x, y, z = size / 2 + scale * at @ right, size / 2 - scale * at @ up, at @ eye
    _, depth, _ = bust(head.shape, camera, size)
    long = np.hypot(np.diff(x, axis=1), np.diff(y, axis=1)) / 8 * wide_cm[:, None] * scale
    over = (z[:, 1:] + z[:, :-1]) / 2
    out = np.zeros((size // cell, size // cell))
    for part in (np.arange(8) + 0.5) / 8:
        row = np.clip(y[:, :-1] + part * np.diff(y, axis=1), 0, size - 1).astype(int)
        column = np.clip(x[:, :-1] + part * np.diff(x, axis=1), 0, size - 1).astype(int)
        kept = over > depth[row, column] - BEHIND_CM
        np.add.at(out, (row[kept] // cell, column[kept] // cell), long[kept])
    return out / cell**2


def test_more_of_the_crown_is_seen_the_fewer_hairs_grow():
    """Densities from very thick to half of the mean of heads (223 hairs/cm2, Barman 1965)."""
    found = [crown_share(density, 70.0) for density in (320, 223, 167, 110)]
    bare = [one for one, _ in found]
    assert all(fewer > more * 1.15 for more, fewer in pairwise(bare))
    for drawn, law in found:
        assert drawn == pytest.approx(law, rel=0.12)


def test_fine_hair_covers_less_than_coarse_hair_of_one_density():
    fine, coarse = (crown_share(200, diameter) for diameter in (50.0, 90.0))
    assert fine[0] > 1.4 * coarse[0]


def test_a_small_picture_shows_as_much_scalp_as_a_large_one():
    small, large = (crown_share(167, 55.0, size)[0] for size in (200, 960))
    assert small == pytest.approx(large, rel=0.1)
