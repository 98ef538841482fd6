"""The head as the answers describe it: gray and level by area, what cover and lightening is left.

Sides are the mean of front and back; the whole head weighs its areas by their share of the scalp.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from strandline.science.head.zones import cut_zones
from strandline.service.consultation.bands import Lane, lanes, length_cm, regrowth_cm
from strandline.service.consultation.model import Consultation
from strandline.service.consultation.words import (
    DENSITY_FACTOR,
    DIAMETER_UM,
    POROSITY,
    UNKNOWN_DEPTH,
    Area,
    Condition,
)

AREAS: tuple[Area, ...] = ("front", "crown", "back")


@dataclass(frozen=True)
class HeadReading:
    """The head in figures.

    Parameters
    ----------
    gray, level : by area name ('front', 'crown', 'back')   [0-1], natural level
    lanes : by area; shares of the hair with one past each
    regrowth_cm : by area, cm
    length_cm, diameter_um : of the hair
    density_factor : against the mean head [1], of the ponytail
    density : by area, against the ponytail's [1]
    condition : of mids and ends
    end_uptake : uptake of ends against sound mids [1]
    """

    gray: Mapping[str, float]
    level: Mapping[str, float]
    lanes: Mapping[str, tuple[Lane, ...]]
    regrowth_cm: Mapping[str, float]
    length_cm: float
    diameter_um: float
    density_factor: float
    density: Mapping[str, float]
    condition: Condition
    end_uptake: float

    def gray_of(self, shares: Mapping[str, float]) -> float:
        """Give the gray of a zone that mixes the areas in the given shares."""
        return sum(self.gray[area] * share for area, share in shares.items())

    def level_of(self, shares: Mapping[str, float]) -> float:
        """Give the natural level of such a zone."""
        return sum(self.level[area] * share for area, share in shares.items())

    def density_of(self, shares: Mapping[str, float]) -> float:
        """Give how dense such a zone is, against the mean head [1]."""
        return self.density_factor * sum(self.density[area] * s for area, s in shares.items())

    @property
    def gray_mean(self) -> float:
        """Gray of the three areas alike."""
        return sum(self.gray.values()) / len(self.gray)

    @property
    def level_mean(self) -> float:
        """Natural level of the three areas alike."""
        return sum(self.level.values()) / len(self.level)

    @property
    def regrowth_mean_cm(self) -> float:
        """Regrowth of the three areas alike."""
        return sum(self.regrowth_cm.values()) / len(self.regrowth_cm)

    @property
    def cover_depth(self) -> float | None:
        """Deepest permanent or unknown colour anywhere, None where there is none."""
        depths = [
            stretch.band.depth or UNKNOWN_DEPTH
            for lane in self.lanes["crown"]
            for stretch in lane.stretches
            if stretch.band and stretch.band.past in ("permanent", "henna", "unknown")
        ]
        return min(depths, default=None)

    @property
    def old_line_cm(self) -> float | None:
        """Where old colour begins on hair that is not light, nearest; None where there is none."""
        return min(
            (
                stretch.from_cm
                for lane in self.lanes["crown"]
                if not any(s.band and s.band.past == "lightened" for s in lane.stretches)
                for stretch in lane.stretches
                if stretch.band and stretch.band.past in ("permanent", "unknown")
            ),
            default=None,
        )

    def share_with(self, past: str) -> float:
        """Give the share of the hair whose lengths have this past anywhere [0-1]."""
        return sum(
            lane.share
            for lane in self.lanes["crown"]
            if any(stretch.band and stretch.band.past == past for stretch in lane.stretches)
        )

    @property
    def lightened_stage(self) -> float | None:
        """Lightest stage that earlier lightening shows, None where there is none."""
        return max(
            (
                stretch.band.stage
                for lane in self.lanes["crown"]
                for stretch in lane.stretches
                if stretch.band and stretch.band.past == "lightened" and stretch.band.stage
            ),
            default=None,
        )


def read_head(consultation: Consultation) -> HeadReading:
    """Turn answers into figures; the bench's density is multiplied in by the caller."""
    hair, areas = consultation.hair, consultation.areas
    answers = {"front": areas.front, "crown": areas.crown, "back": areas.back}
    gray = {name: answer.gray / 100 for name, answer in answers.items()}
    level = {name: float(answer.level or hair.level or 0) for name, answer in answers.items()}
    if consultation.zones:
        gray, level = _weighed(consultation, gray, level)
    return HeadReading(
        gray=gray,
        level=level,
        lanes={name: lanes(consultation, name) for name in AREAS},
        regrowth_cm={name: regrowth_cm(consultation, name) for name in AREAS},
        length_cm=length_cm(consultation),
        diameter_um=hair.diameter_um or DIAMETER_UM[hair.strand],
        density_factor=DENSITY_FACTOR[hair.ponytail],
        density={
            name: DENSITY_FACTOR[answer.density or hair.ponytail] / DENSITY_FACTOR[hair.ponytail]
            for name, answer in answers.items()
        },
        condition=hair.condition,
        end_uptake=POROSITY[hair.condition],
    )


def _weighed(
    consultation: Consultation, gray: Mapping[str, float], level: Mapping[str, float]
) -> tuple[dict[str, float], dict[str, float]]:
    """Weigh an expert's zones into their areas, each by its share of the area's scalp."""
    zones = cut_zones()
    out: tuple[dict[str, float], dict[str, float]] = ({}, {})
    for area in AREAS:
        sums = [0.0, 0.0, 0.0]
        for zone in zones:
            weight = zone.area_cm2 * zone.answers_for.get(area, 0.0)
            own = consultation.zones.get(zone.name)
            sums[0] += weight
            sums[1] += weight * (
                own.gray / 100 if own is not None and own.gray is not None else gray[area]
            )
            sums[2] += weight * (
                own.level if own is not None and own.level is not None else level[area]
            )
        out[0][area], out[1][area] = sums[1] / sums[0], sums[2] / sums[0]
    return out
