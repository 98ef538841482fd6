"""The hair a bowl goes on, as spectra: kinds of strands, their shares and uptake, and the aim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from strandline.science.chemistry.deposit import moves, warmed_root
from strandline.science.colour.difference import delta_e00
from strandline.science.colour.spaces import lab_from_reflectance
from strandline.science.colour.spectra import WHITE_XYZ, xyz
from strandline.science.fibre import Fibre
from strandline.science.hair.absorbers import ground_of
from strandline.science.hair.pigment import absorption, dye_bands, reflectance_from_ks
from strandline.service.formulate.rules import rule

Floats = NDArray[np.float64]

DEPTH, SIDE = "no deeper than asked", "not past neutral"
"""Rules of a place, by the words they are told in."""


@dataclass(frozen=True)
class Ground:
    """One place: strands that lie together and are seen as one colour.

    Parameters
    ----------
    ks : shape (N, 81)    K/S of each kind of strand
    shares : shape (N,)   of the place [1], summing to 1
    factor : shape (N,)   uptake of each against sound mids [1], >= 0
    aim_lab : shape (3,)  CIELAB aimed at
    weight : of this place among those of the bowl [1], > 0
    keeps_side : its colour may not pass neutral (porous ends)
    deepest : the lightness its colour may not fall below, L*
    fibre : N states, where natural pigment is told apart: an alkaline gloss warms it
    """

    ks: Floats
    shares: Floats
    factor: Floats
    aim_lab: Floats
    weight: float = 1.0
    keeps_side: bool = False
    deepest: float = 0.0
    fibre: Fibre | None = None

    def under(self, kind: str, minutes: float, label_min: float) -> Ground:
        """Give the place as a gloss of a kind has moved its natural pigment after some minutes."""
        if self.fibre is None or not moves(kind):
            return self
        warm = warmed_root(self.fibre, kind, minutes, label_min)
        return replace(self, ks=self.ks * absorption(warm) / absorption(self.fibre))

    def strands(self, dyes: Floats) -> Floats:
        """Give the reflectance of each kind of strand: dyes (M, D) to shape (M, N, 81)."""
        added = np.asarray(dyes) @ dye_bands()
        return reflectance_from_ks(self.ks + self.factor[:, None] * added[:, None, :])

    def spectra(self, dyes: Floats) -> Floats:
        """Give the reflectance of the place: dyes (M, D) to shape (M, 81)."""
        if len(self.ks) == 1:
            return self.strands(dyes)[:, 0]
        return np.asarray(np.einsum("mnw,n->mw", self.strands(dyes), self.shares))

    def tristimulus(self, dyes: Floats) -> Floats:
        """Give X, Y, Z of the place over those of the white: dyes (M, D) to (M, 3) [1]."""
        return np.asarray(xyz(self.spectra(dyes)) / WHITE_XYZ)

    def look(self, dyes: Floats) -> Floats:
        """Give the colour of the place: dyes (M, D) to CIELAB (M, 3)."""
        return lab_from_reflectance(self.spectra(dyes))

    def bare(self) -> Floats:
        """Give the colour of the place before anything is on it, shape (3,)."""
        return np.asarray(self.look(np.zeros((1, dye_bands().shape[0])))[0])

    def as_one(self) -> Ground:
        """Give the place as hair of one kind that looks as it does."""
        bare = self.bare()
        return replace(
            self,
            ks=ground_of((float(bare[0]), float(bare[1]), float(bare[2]))).ks[None],
            shares=np.ones(1),
            factor=np.array([float(self.factor @ self.shares)]),
            fibre=self.fibre if len(self.ks) == 1 else None,
        )

    def kept(self, lab: Floats) -> NDArray[np.bool_]:
        """Say which colours keep to the rules of the place: (M, 3) to (M,)."""
        return np.asarray(np.all(list(self._each_kept(lab).values()), axis=0))

    def broken(self, lab: Floats) -> tuple[str, ...]:
        """Give the rules that a colour, shape (3,), does not keep."""
        return tuple(name for name, kept in self._each_kept(lab[None]).items() if not kept[0])

    def _each_kept(self, lab: Floats) -> dict[str, NDArray[np.bool_]]:
        found = {DEPTH: lab[:, 0] >= self.deepest}
        if self.keeps_side:
            bare = self.bare()[1:]
            chroma = float(np.hypot(*bare))
            if chroma > 0:
                found[SIDE] = lab[:, 1:] @ bare / chroma >= -rule("past_neutral")
        return found

    def away(self, lab: Floats) -> Floats:
        """Give dE00 from the aim, infinite where a rule is broken: (M, 3) to (M,)."""
        far = delta_e00(lab, np.broadcast_to(self.aim_lab, lab.shape))
        return np.where(self.kept(lab), far, np.inf)


def warms(grounds: Sequence[Ground], kind: str) -> bool:
    """Say whether a gloss of a kind moves the pigment of any of these places."""
    return moves(kind) and any(
        ground.fibre is not None and bool(np.any(ground.fibre.amount > 0)) for ground in grounds
    )


def share_near(ground: Ground, dyes: Floats, within: float | None = None) -> float:
    """Give the share of a place whose own strands end near its aim.

    Parameters
    ----------
    ground : the place
    dyes : shape (D,)   on sound mids
    within : dE00 that counts as near; the rule's if none

    Returns
    -------
    [1], 0-1   strand by strand, before they are seen as one colour
    """
    seen = lab_from_reflectance(ground.strands(np.asarray(dyes)[None])[0])
    far = delta_e00(seen, np.broadcast_to(ground.aim_lab, seen.shape))
    return float(ground.shares[far <= (rule("near") if within is None else within)].sum())
