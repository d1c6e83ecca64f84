"""The case against the grind: for a plan in plain numbers, and for the pack of a study."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.carburised_case import CaseResult, case_result
from edgetest.steel.heat_schedule import PUBLISHED, Heat
from edgetest.steel.pack import PackHours, calibrate
from edgetest.steel.quench import HARD_HRC
from edgetest.steel.sequence import CAUTIONS
from edgetest.store.records import load_study
from edgetest.study.steel.evidence_numbers import places, quench_fits
from edgetest.study.steel.evidence_records import AS_IT_IS, evidence_of, wishes_of
from edgetest.study.steel.steel_pack import (
    SEED,
    cases_of,
    core_of,
    hours_of,
    packed_piece,
    target_of,
)

CORE_WORDS = {
    "core_from_analysis": "by the laboratory's analysis",
    "core_as_stated": "as stated",
    "core_from_quench": "from the as-quenched hardness of the untreated steel",
}


@dataclass(frozen=True)
class CaseAnswer:
    """One section's case with the core it started from and the hours it asks for."""

    section: str
    case: CaseResult
    hours: PackHours | None
    core_pct: float
    core_u_pct: float
    core_from: str

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "section": self.section,
            **self.case.to_dict(),
            "hours_through": self.hours.to_dict() if self.hours else None,
            "core": {
                "carbon_pct": self.core_pct,
                "carbon_u_pct": self.core_u_pct,
                "from": self.core_from,
            },
            "cautions": list(CAUTIONS["case"]),
        }

    def words(self):
        """The case, the hours, the core and the doubts, a line each."""
        lines = [f"{self.section[0].upper()}{self.section[1:]}: {self.case.summary()}"]
        if self.hours is not None:
            lines.append(f"- {self.hours.summary()}")
        lines.append(
            f"- Carbon of the core: {self.core_pct:.2f} ± {self.core_u_pct:.2f} %, "
            f"{CORE_WORDS[self.core_from]}."
        )
        lines += [f"- {one.text}" for one in self.case.doubts]
        return "\n".join(lines)


def plan_case(
    thickness_mm,
    temperature_c,
    hours,
    *,
    removed_mm=(0.0, 0.0),
    core_pct=0.20,
    core_u_pct=0.02,
    surface_pct=None,
    faces=2,
    then=(),
    target_hrc=HARD_HRC,
    coupon=None,
    diffusivities=PUBLISHED,
    thermometer_u_c=10.0,
    surface_u_pct=0.1,
    samples=1000,
):
    """What a pack would give a section, and what the grinder would leave of it.

    Parameters
    ----------
    thickness_mm, temperature_c, hours : float
        Section in the pack (mm), heat (°C) and time at heat (h).
    removed_mm : sequence of float
        Ground off each face afterwards, mm.
    core_pct, core_u_pct : float
        Carbon before, % by weight, and its standard uncertainty.
    surface_pct : float, optional
        Carbon held by the pack, %.
    faces : {1, 2}
        Faces that see the pack.
    then : sequence of (temperature_c, hours, surface)
        Heats after the pack.
    target_hrc : float
        As-quenched hardness wanted.
    coupon : tuple of float, optional
        (thickness, case depth, its uncertainty) of a coupon of the same pack, mm.
    diffusivities, samples
        As for `edgetest.steel.carburised_case.case_result`.
    thermometer_u_c, surface_u_pct : float
        Standard uncertainty of the temperature (°C) and of the pack's carbon (%).

    Returns
    -------
    CaseAnswer

    Raises
    ------
    UnusableInput
        If a value is out of range or the grind leaves nothing.
    """
    heats = [Heat(temperature_c, hours, "carburising", surface_pct, faces, "pack")]
    heats += [Heat(c, h, surface, name=f"{i}") for i, (c, h, surface) in enumerate(then, 2)]
    calibration = calibrate(heats, *coupon, core_pct=core_pct) if coupon else None
    case = case_result(
        heats,
        thickness_mm,
        core_pct=core_pct,
        removed_mm=tuple(removed_mm),
        target_hrc=target_hrc,
        calibration=calibration,
        diffusivities=tuple(diffusivities),
        temperature_sd_c=thermometer_u_c,
        surface_sd_pct=surface_u_pct,
        core_sd_pct=core_u_pct,
        samples=samples,
        rng=np.random.default_rng(SEED),
    )
    asked = hours_of(case, core_pct) if faces == 2 else None
    return CaseAnswer("edge", case, asked, core_pct, core_u_pct, "core_as_stated")


def cases_of_study(folder) -> tuple[CaseAnswer, ...]:
    """The case of every section that `[evidence.pack]` of a study names.

    Raises
    ------
    UnusableInput
        If the study has no pack, or nothing says how much carbon the core holds.
    """
    study = load_study(folder)
    evidence, wishes = evidence_of(study), wishes_of(study)
    if evidence.pack is None:
        raise UnusableInput(
            "the study has no pack",
            "study.toml, evidence",
            "add [evidence.pack] with its heats and sections, or give --thickness-mm and the rest",
        )
    where = places(study, evidence)
    fits = quench_fits(evidence, where, AS_IT_IS)
    core, core_u, whence = core_of(evidence, fits, packed_piece(where, wishes.piece))
    if core is None:
        raise UnusableInput(
            "the carbon of the core is not known",
            "study.toml, evidence, pack",
            "add core_pct, or quench and file a coupon of the untreated steel",
        )
    return tuple(
        CaseAnswer(name, case, hours_of(case, core), core, core_u, whence)
        for name, case in cases_of(evidence.pack, core, core_u, target_of(wishes))
    )
