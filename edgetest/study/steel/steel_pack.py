"""The pack of a study: its core, its heats, and the case of every section that went through it."""

from functools import lru_cache

import numpy as np

from edgetest.steel.carburised_case import CaseResult, case_result
from edgetest.steel.heat_schedule import DEFAULT_SURFACE_PCT, Heat
from edgetest.steel.martensite import carbon_range
from edgetest.steel.pack import PackHours, calibrate, hours_through
from edgetest.steel.quench import HARD_HRC
from edgetest.study.steel.evidence_records import CARBURISED

SEED = 20261125  # of the Monte Carlo: the same evidence gives the same figures
ASSUMED_MARTENSITE = (0.5, 1.0)  # where none is stated


def packed_piece(where, wanted):
    """The piece whose core the pack started from: the one asked about, else the only one packed."""
    packed = {at.piece for at in where.values() if at.route == CARBURISED}
    if wanted is not None:
        return wanted
    return packed.pop() if len(packed) == 1 else None


def core_of(evidence, fits, piece):
    """Carbon of the core, its standard uncertainty (%), and the code that says whence.

    Returns
    -------
    (float or None, float, str)
    """
    if evidence.analysis is not None:
        return evidence.analysis.carbon_pct, evidence.analysis.carbon_u_pct, "core_from_analysis"
    if evidence.pack is not None and evidence.pack.core_pct is not None:
        return evidence.pack.core_pct, evidence.pack.core_u_pct, "core_as_stated"
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
            return (low + high) / 2, (high - low) / 4, "core_from_quench"
    return None, 0.0, "core_unknown"


def heats_of(pack):
    """The pack's schedule."""
    return [
        Heat(h.temperature_c, h.hours, h.surface, h.surface_pct, h.faces, h.name)
        for h in pack.heats
    ]


@lru_cache(maxsize=8)
def cases_of(pack, core_pct, core_u_pct, target_hrc) -> tuple[tuple[str, CaseResult], ...]:
    """Carbon and hardness across every section that went through the pack."""
    heats, coupon = heats_of(pack), pack.coupon
    calibration = (
        calibrate(
            heats, coupon.thickness_mm, coupon.depth_mm, coupon.depth_u_mm,
            core_pct=core_pct, carbon_pct=coupon.carbon_pct,
        )
        if coupon
        else None
    )  # fmt: skip
    return tuple(
        (
            section.name,
            case_result(
                heats,
                section.thickness_mm,
                core_pct=core_pct,
                removed_mm=section.removed_mm,
                target_hrc=target_hrc,
                calibration=calibration,
                temperature_sd_c=pack.thermometer_u_c,
                surface_sd_pct=pack.surface_u_pct,
                core_sd_pct=core_u_pct,
                rng=np.random.default_rng(SEED),
            ),
        )
        for section in pack.sections
    )


@lru_cache(maxsize=8)
def edge_hours(pack, core_pct, core_u_pct, target_hrc) -> PackHours | None:
    """Hours that the pack's first section asks for."""
    return hours_of(cases_of(pack, core_pct, core_u_pct, target_hrc)[0][1], core_pct)


def hours_of(case: CaseResult, core_pct) -> PackHours | None:
    """Hours the section asks for at the pack's heat; None where the pack cannot reach it."""
    packs = [heat for heat in case.heats if heat.surface == "carburising"]
    if not packs:
        return None
    surface = packs[0].held_pct or DEFAULT_SURFACE_PCT["carburising"]
    if not core_pct < case.target_pct < surface:
        return None
    return hours_through(
        case.thickness_mm,
        packs[0].temperature_c,
        core_pct=core_pct,
        target_pct=case.target_pct,
        surface_pct=surface,
        calibration=case.calibration,
        rng=np.random.default_rng(SEED),
    )


def target_of(wishes):
    """As-quenched hardness wanted of the edge, HRC."""
    return wishes.edge_hrc or HARD_HRC
