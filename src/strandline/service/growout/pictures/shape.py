"""A plain head for drawing: the chart's scalp laid on a head as tall as heads are.

Fixed units inside: cm, to the right, to the front, up, from the middle between the ears; arrays of
points are (3, N). The sphere of `Scalp` has the right circumference and area but is too low; here
the same chart lies on ellipsoids, and nothing is counted or measured on them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from strandline.science.head.scalp import Scalp
from strandline.service.growout.pictures.constants import body, constants

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

ROOTS_ON = ("cranium", "forehead", "nape", "neck")
"""What hair grows on."""
_STEPS = 400


@dataclass(frozen=True, eq=False)
class HeadShape:
    """A head to draw hair on, of a scalp's own circumference.

    Parameters
    ----------
    scalp : its scalp
    without : parts that are left out
    """

    scalp: Scalp
    without: tuple[str, ...] = ()

    @cached_property
    def grown(self) -> float:
        """Give how much larger than the head of the file this one is [1]."""
        return self.scalp.circumference_cm / constants("chart")["head_round"]

    @cached_property
    def parts(self) -> dict[str, tuple[Floats, Floats]]:
        """Give the middle and half widths of each part, shape (3,) each, cm."""
        names, middle, half, _ = body()
        return {
            name: (middle[i] * self.grown, half[i] * self.grown)
            for i, name in enumerate(names)
            if name not in self.without
        }

    @property
    def under_cape(self) -> tuple[bool, ...]:
        """Give which of the parts the cape covers."""
        names, _, _, under = body()
        return tuple(
            caped for name, caped in zip(names, under, strict=True) if name not in self.without
        )

    @cached_property
    def _midline(self) -> tuple[Floats, Floats]:
        """Give share of the way from fringe to nape, and the turn there from the front, radians."""
        chart = constants("chart")
        turn = np.linspace(math.radians(chart["front_deg"]), 1.5 * math.pi, _STEPS)
        at = self._out(np.stack([np.zeros(_STEPS), np.cos(turn), np.sin(turn)]))
        nape = chart["nape_cm"] * self.grown
        last = int(np.flatnonzero((at[2] <= nape) & (at[1] < 0))[0]) + 1
        run = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(at[:, :last]), axis=0)))
        return run, turn[:last]

    @property
    def front_to_nape_cm(self) -> float:
        """Give the arc from fringe to nape on this head, cm."""
        return float(self._midline[0][-1])

    def place(self, u: Floats, y: Floats) -> Floats:
        """Give chart points on the head.

        Parameters
        ----------
        u, y : shape (N,)   cm in the chart of `Scalp`

        Returns
        -------
        shape (3, N)   cm

        Notes
        -----
        Partings from ear to ear stay planes through the ears, bent down at the sides in front,
        where the hairline of a head comes down before the ear. Shares of the midline stay shares.
        """
        chart = constants("chart")
        run, turn = self._midline
        aside = np.arcsin(np.clip(np.asarray(u) / self.scalp.radius_cm, -1.0, 1.0))
        share = np.asarray(y) / self.scalp.front_to_nape_cm
        on = np.interp(share * run[-1], run, turn)
        wide = np.minimum(np.abs(aside) / math.radians(chart["side_at_deg"]), 1.2) ** 2
        on = on - math.radians(chart["side_drop_deg"]) * wide * np.clip(1 - 2 * share, 0.0, 1.0)
        return self._out(
            np.stack([np.sin(aside), np.cos(aside) * np.cos(on), np.cos(aside) * np.sin(on)])
        )

    def _out(self, toward: Floats) -> Floats:
        """Give where rays from between the ears leave the head."""
        far = np.zeros(toward.shape[1])
        for name in ROOTS_ON:
            middle, half = self.parts[name]
            scaled, back = toward / half[:, None], middle / half
            a = (scaled**2).sum(axis=0)
            b = (scaled * back[:, None]).sum(axis=0)
            root = b**2 - a * float(back @ back - 1)
            far = np.maximum(far, np.where(root > 0, (b + np.sqrt(np.maximum(root, 0.0))) / a, 0.0))
        return np.asarray(toward * far)

    def normal(self, at: Floats) -> Floats:
        """Give the direction away from the cranium, shape (3, N), of length 1."""
        middle, half = self.parts["cranium"]
        out = (at - middle[:, None]) / half[:, None] ** 2
        return np.asarray(out / np.sqrt((out**2).sum(axis=0)))

    def over_cranium(self, at: Singles) -> tuple[Singles, Singles]:
        """Give the direction away from the cranium, and about how far over it points are, cm."""
        middle, half = self._singles[0][:, :, None]
        away = (at - middle) / half
        level = np.sqrt(np.einsum("kn,kn->n", away, away))
        out = away / half
        out /= np.sqrt(np.einsum("kn,kn->n", out, out))
        return out, (level - 1) * half.mean()

    def depth_cm(self, at: Floats) -> Floats:
        """Give about how far points lie inside the head or body, cm; 0 or less outside.

        Along the line from a part's middle: at most the true depth over the least half width's
        share of the greatest.
        """
        deep = np.full(at.shape[1], -np.inf)
        for middle, half in self.parts.values():
            away = at - middle[:, None]
            level = np.sqrt(((away / half[:, None]) ** 2).sum(axis=0))
            size = np.sqrt((away**2).sum(axis=0))
            deep = np.maximum(deep, size * (1 / np.maximum(level, 1e-9) - 1))
        return deep

    @cached_property
    def _singles(self) -> Singles:
        """Give middle and half widths, shape (B, 2, 3), single."""
        return np.array(list(self.parts.values()), dtype=np.float32)

    @cached_property
    def _aside(self) -> Singles:
        """Give the share of each direction in which a part pushes hair out, (B, 3), single.

        Hair on shoulders goes to the front and the back: it lies on other hair, which holds it.
        """
        share = np.ones((len(self.parts), 3), dtype=np.float32)
        share[list(self.under_cape), 0] = constants("fall")["shoulder_aside"]
        return share

    def push_out(self, at: Singles, clear: Singles | float) -> Singles:
        """Bring points out of the head and body to a height over it.

        Parameters
        ----------
        at : shape (3, N)   cm
        clear : shape (N,)   cm, >= 0
        """
        out = at.copy()
        for (middle, half), aside in zip(self._singles[::-1], self._aside[::-1], strict=True):
            away = out - middle[:, None]
            wide = half[:, None] + clear
            scaled = away / wide
            level = np.einsum("kn,kn->n", scaled, scaled)
            inside = np.flatnonzero(level < 1)
            if not inside.size:
                continue
            low, away = level[inside], away[:, inside]
            wide = wide[:, inside] if wide.shape[1] > 1 else wide
            steep = away / wide**2
            way = steep * aside[:, None]
            step = (1 - low) / (2 * np.maximum(np.einsum("kn,kn->n", steep, way), 1e-9))
            far = away / np.sqrt(np.maximum(low, 1e-9))
            out[:, inside] = middle[:, None] + np.where(low > 0.6, away + step * way, far)
        return out
