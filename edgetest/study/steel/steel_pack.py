"""The pack of a study: its core, its heats, and the case of every section that went through it."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.carburised_case import solve_case
from edgetest.steel.case_result import CaseResult
from edgetest.steel.heat_schedule import PUBLISHED, Heat, Plate
from edgetest.steel.hours_through import PackHours, hours_through
from edgetest.steel.martensite import carbon_range
from edgetest.steel.pack import PackKnowledge, calibrate
from edgetest.steel.usual_pack import HARD_HRC
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.evidence_records import CARBURISED
from edgetest.study.steel.pack_records import Pack

SEED = 20261125  # of the Monte Carlo: the same evidence gives the same figures
ASSUMED_MARTENSITE = (0.5, 1.0)  # where none is stated


class Core(NamedTuple):
    """Carbon of the steel before the pack, its standard uncertainty (%), and whence it is known."""

    carbon_pct: float | None
    u_pct: float
    whence: str  # code of the doubt that says it

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "carbon_pct": self.carbon_pct,
            "carbon_u_pct": self.u_pct if self.carbon_pct is not None else None,
            "from": self.whence,
        }


def packed_piece(where, wanted):
    """The piece whose core the pack started from: the one asked about, else the only one packed."""
    packed = {at.piece for at in where.values() if at.route == CARBURISED}
    if wanted is not None:
        return wanted
    return packed.pop() if len(packed) == 1 else None


def core_of(evidence, fits, piece) -> Core:
    """Carbon of the core: by the laboratory, as stated with the pack, or from the quench."""
    if evidence.analysis is not None:
        return Core(
            evidence.analysis.carbon_pct, evidence.analysis.carbon_u_pct, "core_from_analysis"
        )
    if evidence.pack is not None and evidence.pack.core_pct is not None:
        return Core(evidence.pack.core_pct, evidence.pack.core_u_pct, "core_as_stated")
    if fits:
        hardest = max(fits.values(), key=lambda fit: fit.moments()[0])
        known = [each.piece for each in hardest.pieces]
        found = carbon_range(
            hardest,
            martensite=evidence.martensite or ASSUMED_MARTENSITE,
            piece=piece if piece in known else None,
        )
        if found.high_pct is not None:
            low, high = found.low_pct or 0.0, found.high_pct
            return Core((low + high) / 2, (high - low) / 4, "core_from_quench")
    return Core(None, 0.0, "core_unknown")


class Worked(NamedTuple):
    """A section of the pack, its case, and the hours that it asks for."""

    section: str
    case: CaseResult
    hours: PackHours | None


def worked_or_refused(pack, core, target_hrc) -> tuple[tuple[Worked, ...], tuple[Doubt, ...]]:
    """The sections worked out; else none of them, and the doubt that says why not."""
    try:
        return worked_out(pack, core, target_hrc), ()
    except UnusableInput as fault:
        return (), (doubt("case_refused", where=Where(STUDY_FILE), fault=str(fault)),)


def worked_out(pack, core, target_hrc, diffusivities=PUBLISHED) -> tuple[Worked, ...]:
    """Carbon and hardness across every section that went through the pack, and its hours."""
    # By its text: sizes that are equal may be typed differently, and results show them as typed.
    return _worked_out(pack.model_dump_json(), core, target_hrc, diffusivities)


@lru_cache(maxsize=8)
def _worked_out(written, core, target_hrc, diffusivities):
    pack = Pack.model_validate_json(written)
    heats = [
        Heat(h.temperature_c, h.hours, h.surface, h.surface_pct, h.faces, h.name)
        for h in pack.heats
    ]
    known = PackKnowledge(
        diffusivities,
        _calibration(heats, pack.coupon, core.carbon_pct),
        pack.thermometer_u_c,
        pack.surface_u_pct,
    )
    found = []
    for section in pack.sections:
        case = solve_case(
            heats,
            Plate(section.thickness_mm, core.carbon_pct, section.removed_mm, core.u_pct),
            target_hrc=target_hrc,
            known=known,
            rng=np.random.default_rng(SEED),
        )
        found.append(Worked(section.name, case, _hours_of(case, core.carbon_pct)))
    return tuple(found)


def _calibration(heats, coupon, core_pct):
    """The pack's own coupon as calibration; None where there is none."""
    if coupon is None:
        return None
    depths = coupon.thickness_mm, coupon.depth_mm, coupon.depth_u_mm
    return calibrate(heats, *depths, core_pct=core_pct, carbon_pct=coupon.carbon_pct)


def _hours_of(case: CaseResult, core_pct) -> PackHours | None:
    """Hours the section asks for at the pack's heat, packed on both faces.

    None where the pack cannot reach it, or only one face saw it.
    """
    packs = [heat for heat in case.heats if heat.surface == "carburising"]
    if not packs or packs[0].faces == 1 or not core_pct < case.target_pct < packs[0].held_pct:
        return None
    return hours_through(
        Plate(case.thickness_mm, core_pct),
        packs[0].temperature_c,
        target_pct=case.target_pct,
        surface_pct=packs[0].held_pct,
        known=PackKnowledge(calibration=case.calibration),
        rng=np.random.default_rng(SEED),
    )


def target_of(wishes):
    """As-quenched hardness wanted of the edge, HRC."""
    return wishes.edge_hrc or HARD_HRC
