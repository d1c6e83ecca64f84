"""The pack of a study: its core, its heats, and the case of every section that went through it."""

from collections.abc import Iterable
from functools import lru_cache
from math import nan
from typing import NamedTuple

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.carburised_case import solve_case
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hardness import HardnessResult, fit_hardness
from edgetest.steel.hardness_readings import HardnessErrors
from edgetest.steel.heat_schedule import PUBLISHED, Heat, Plate
from edgetest.steel.hours_through import PackHours, hours_through
from edgetest.steel.martensite import carbon_range
from edgetest.steel.pack import PackKnowledge, calibrate
from edgetest.steel.pack_potential import STATED_U_PCT, U_PCT
from edgetest.steel.phase_limits import most_austenite_pct
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, SteelSeen
from edgetest.steel.temper_softening import USUAL_TEMPER, CaseTemper
from edgetest.steel.usual_pack import WANTED_HRC
from edgetest.steel.wanted_edge import WantedEdge
from edgetest.store.kept_answers import worked_out_once
from edgetest.store.records import STUDY_FILE
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


UNKNOWN_CORE = Core(None, 0.0, "core_unknown")


def pieces_packed(pack: Pack, seen: SteelSeen) -> frozenset[str] | None:
    """The pieces that a pack is of: the one that it names, else those packed, else the only one.

    None where there are several and nobody says which.
    """
    if pack.piece is not None:
        return frozenset([pack.piece])
    packed = {heat.piece for heat in seen.heats if heat.carburised}
    packed |= {trial.piece for trial in seen.trials if trial.carburised}
    known = packed or {piece.id for piece in seen.pieces}
    return frozenset(known) if packed or len(known) == 1 else None


def of_the_pack(pack: Pack | None, seen: SteelSeen, piece: str | None) -> bool:
    """Whether a pack tells of a piece, as far as anybody knows; None speaks of all together."""
    of = None if pack is None else pieces_packed(pack, seen)
    return pack is not None and (of is None or piece is None or piece in of)


def packed_piece(pack: Pack, seen: SteelSeen, wanted: str | None) -> str | None:
    """The piece whose core the pack started from: the one asked about if it is of it."""
    of = pieces_packed(pack, seen)
    if of is None or wanted in of:
        return wanted
    return next(iter(of)) if len(of) == 1 else None


def core_of(pack: Pack | None, seen: SteelSeen, piece: str | None) -> Core:
    """Carbon of the core: by the laboratory, as stated with the pack, or from the quench.

    Parameters
    ----------
    pack : Pack or None
    seen : SteelSeen
        A laboratory's figure stands with its piece; coupons that were not packed tell the rest.
    piece : str or None
        None speaks of all pieces together.
    """
    for one in seen.pieces:
        if one.carbon_pct is not None and piece in (None, one.id):
            return Core(one.carbon_pct, one.carbon_u_pct, "core_from_analysis")
    if pack is not None and pack.core_pct is not None:
        return Core(pack.core_pct, pack.core_u_pct, "core_as_stated")
    return _core_from_quench(pack, seen, piece)


def _core_from_quench(pack: Pack | None, seen: SteelSeen, piece: str | None) -> Core:
    """Carbon that the hardest of the unpacked coupons allows, the piece's own before others'."""
    heats = [heat for heat in seen.heats if not heat.carburised]
    fits = _quench_fits(h for h in heats if h.piece == piece) or _quench_fits(heats)
    if not fits:
        return UNKNOWN_CORE
    hardest = max(fits, key=lambda fit: fit.moments()[0])
    stated = pack.martensite if pack is not None else None
    found = carbon_range(hardest, martensite=stated or ASSUMED_MARTENSITE)
    if found.high_pct is None:
        return UNKNOWN_CORE
    low, high = found.low_pct or 0.0, found.high_pct
    return Core((low + high) / 2, (high - low) / 4, "core_from_quench")


def _quench_fits(heats: Iterable[HeatSeen]) -> list[HardnessResult]:
    """As-quenched hardness of each medium, from readings that are not of the skin."""
    by_medium: dict[str, list[tuple[str, HardnessSeen]]] = {}
    for heat in heats:
        told = [(heat.piece, one) for one in heat.hardness if one.where != "skin"]
        if heat.medium is not None and told:
            by_medium.setdefault(heat.medium, []).extend(told)
    return [hardness_of(told) for told in by_medium.values()]


def hardness_of(told: Iterable[tuple[str, HardnessSeen]]) -> HardnessResult:
    """Hardness from readings, each with the piece it was made on."""
    rows = [
        (piece, one.low_hrc, nan, nan, one.u_hrc)
        if one.low_hrc is not None and one.low_hrc == one.high_hrc
        else (piece, nan, _end(one.low_hrc), _end(one.high_hrc), one.u_hrc)
        for piece, one in told
    ]
    pieces, value, lower, upper, u = zip(*rows, strict=True)
    errors = HardnessErrors(reading_sd_hrc=max(u))  # the widest that occurs serves all
    return fit_hardness(value=value, lower=lower, upper=upper, piece=pieces, errors=errors)


def _end(hrc: float | None) -> float:
    return nan if hrc is None else hrc


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
    parts = pack.model_dump_json(), core, target_hrc, diffusivities
    return worked_out_once("cases", parts, lambda: _worked_out(*parts))


@lru_cache(maxsize=8)
def _worked_out(written, core, target_hrc, diffusivities):
    pack = Pack.model_validate_json(written)
    heats = [
        Heat(h.temperature_c, h.hours, h.surface, h.surface_pct, h.faces, h.name, pack.energised)
        for h in pack.heats
    ]
    known = PackKnowledge(
        diffusivities,
        _calibration(heats, pack.coupon, core.carbon_pct),
        pack.thermometer_u_c,
        _surface_u(pack),
    )
    found = []
    for section in pack.sections:
        size, off = section.thickness_mm, section.removed_mm
        case = solve_case(
            heats,
            Plate(size, core.carbon_pct, off, core.u_pct, pack.skin_mm),
            wanted=wanted_of(pack, target_hrc),
            known=known,
            rng=np.random.default_rng(SEED),
        )
        found.append(Worked(section.name, case, _hours_of(case)))
    return tuple(found)


def wanted_of(pack, target_hrc) -> WantedEdge:
    """The hardness wanted, with the temper of the pack; the usual one where none is told."""
    told = pack.temper
    if told == "none":
        return WantedEdge(target_hrc, None)
    if told is None:
        return WantedEdge(target_hrc, USUAL_TEMPER)
    return WantedEdge(target_hrc, CaseTemper(told.temperature_c, told.time_min, told.repeats))


def _surface_u(pack):
    """Standard uncertainty of the carbon that the pack holds, %."""
    if pack.surface_u_pct is not None:
        return pack.surface_u_pct
    packs = [heat for heat in pack.heats if heat.surface == "carburising"]
    return STATED_U_PCT if all(heat.surface_pct is not None for heat in packs) else U_PCT


def _calibration(heats, coupon, core_pct):
    """The pack's own coupon as calibration; None where there is none."""
    if coupon is None:
        return None
    depths = coupon.thickness_mm, coupon.depth_mm, coupon.depth_u_mm
    return calibrate(heats, *depths, core_pct=core_pct, carbon_pct=coupon.carbon_pct)


def _hours_of(case: CaseResult) -> PackHours | None:
    """Hours the section asks for at the pack's heat, packed on both faces.

    None where the pack cannot reach it, or only one face saw it.
    """
    heat, plate = case.pack, case.plate
    if heat is None or heat.faces == 1 or not heat.moves_carbon:
        return None
    most = min(heat.held_pct, float(most_austenite_pct(heat.temperature_c)))
    if not plate.core_pct < case.target_pct < most:
        return None
    return hours_through(
        plate,
        heat.temperature_c,
        target_pct=case.target_pct,
        surface_pct=heat.held_pct,
        known=case.known,
        rng=np.random.default_rng(SEED),
    )


def target_of(wishes):
    """Hardness wanted of the edge after its temper, HRC: as stated, else the least of a blade's."""
    if wishes.edge_hrc is not None:
        return wishes.edge_hrc
    return wishes.hardness_hrc[0] if wishes.hardness_hrc else WANTED_HRC
