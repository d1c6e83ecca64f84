"""The case against the grind: for a plan in plain numbers, and for the pack of a study."""

from dataclasses import dataclass
from typing import Any

from edgetest.doubts import Doubt
from edgetest.errors import UnusableInput
from edgetest.steel.case_result import CaseResult
from edgetest.steel.heat_schedule import PUBLISHED
from edgetest.steel.hours_through import PackHours
from edgetest.steel.steel_cautions import cautions_of
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.usual_pack import WANTED_HRC
from edgetest.store.checking import validate
from edgetest.store.records import load_study
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.pack_records import Pack
from edgetest.study.steel.steel_pack import (
    Core,
    core_of,
    packed_piece,
    target_of,
    worked_out,
)
from edgetest.study.steel.steel_rows import steel_rows_of, verdict_wishes_of

CORE_WORDS = {
    "core_from_analysis": "by the laboratory's analysis",
    "core_as_stated": "as stated",
    "core_from_quench": "from the as-quenched hardness of the untreated steel",
}

CASE_CAUTIONS = cautions_of("carburise")


@dataclass(frozen=True)
class CaseAnswer:
    """One section's case with the core it started from and the hours it asks for."""

    section: str
    case: CaseResult
    hours: PackHours | None
    core: Core

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "section": self.section,
            **self.case.to_dict(),
            "hours_through": self.hours.to_dict() if self.hours else None,
            "core": self.core.to_dict(),
            "summary": self.summary(),
            "lines": self.lines(),
            "cautions": list(CASE_CAUTIONS),
        }

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """What speaks against the case."""
        return self.case.doubts

    def summary(self):
        """The section by its name, and its case."""
        return f"{self.section[0].upper()}{self.section[1:]}: {self.case.summary()}"

    def words(self):
        """The case, the hours, the core, the doubts and what to mind, a line each."""
        return "\n".join(
            [self.summary(), *(f"- {line}" for line in self.lines())]
            + [f"Mind: {caution}" for caution in CASE_CAUTIONS]
        )

    def lines(self):
        """What stands behind the summary: hardness, skin, pack, hours, core and doubts."""
        lines = self.case.lines()
        if self.hours is not None:
            lines.append(self.hours.summary())
        lines.append(
            f"Carbon of the core: {self.core.carbon_pct:.2f} ± {self.core.u_pct:.2f} %, "
            f"{CORE_WORDS[self.core.whence]}."
        )
        return [*lines, *(one.text for one in self.doubts)]


def plan_case(pack, *, target_hrc=WANTED_HRC, diffusivities=()) -> tuple[CaseAnswer, ...]:
    """What a pack would give each section, and what the grinder would leave of it.

    Parameters
    ----------
    pack : dict
        As `[evidence.pack]` of study.toml holds it: heats, sections, core_pct and the rest;
        sizes, times and temperatures as numbers or as typed ("1/4 in", "2 h", "1500 °F").
    target_hrc : float
        Hardness wanted after the temper of the pack, HRC.
    diffusivities : sequence of str
        Published sets to use, all of them if none is named; their spread is in the interval.

    Raises
    ------
    UnusableInput
        If a value is out of range or the grind leaves nothing.
    """
    plan = validate(Pack, pack, "pack")
    sets = tuple(diffusivities) or PUBLISHED
    return _answers(plan, core_of(plan, SteelSeen(), None), target_hrc, sets)


def pack_of_one(section, heat, *, then=(), coupon=None, temper=None, **known):
    """The pack of one section with one carburising heat, as `plan_case` takes it.

    Parameters
    ----------
    section : dict
        thickness_mm, removed_mm of each face.
    heat : dict
        temperature_c, hours, surface_pct, faces.
    then : sequence of (temperature, hours, surface)
        Heats after the pack.
    coupon : (thickness, case depth, its uncertainty), optional
        Of the same pack, mm.
    temper : (temperature, minutes, times) or "none", optional
        After the quench; the usual one where left out.
    known
        core_pct, core_u_pct, surface_u_pct, thermometer_u_c, energised, skin_mm.
    """
    first = {"name": "pack", "surface": "carburising", **heat}
    keys = ("temperature_c", "hours", "surface")
    later = [{"name": f"{i}"} | dict(zip(keys, h, strict=True)) for i, h in enumerate(then, 2)]
    sizes = ("thickness_mm", "depth_mm", "depth_u_mm")
    tried: dict[str, Any] = {"coupon": dict(zip(sizes, coupon, strict=True))} if coupon else {}
    if temper is not None:
        names = ("temperature_c", "time_min", "repeats")
        tried["temper"] = (
            temper if isinstance(temper, str) else dict(zip(names, temper, strict=True))
        )
    return {"heats": [first, *later], "sections": [section], **known, **tried}


def cases_of_study(folder) -> tuple[CaseAnswer, ...]:
    """The case of every section that `[evidence.pack]` of a study names.

    Raises
    ------
    UnusableInput
        If the study has no pack, or nothing says how much carbon the core holds.
    """
    study = load_study(folder)
    rows, wishes = steel_rows_of(study), verdict_wishes_of(study)
    if rows.pack is None:
        raise UnusableInput(
            "the study has no pack",
            "study.toml, evidence",
            "add [evidence.pack] with its heats and sections, or give --thickness-mm and the rest",
        )
    seen = steel_seen_of(rows, wishes, study=study).seen
    core = core_of(rows.pack, seen, packed_piece(rows.pack, seen, wishes.piece))
    return _answers(rows.pack, core, target_of(wishes))


def _answers(pack, core, target_hrc, diffusivities=PUBLISHED):
    """Case and hours of each section."""
    if core.carbon_pct is None:
        raise UnusableInput(
            "the carbon of the core is not known",
            "study.toml, evidence, pack",
            "add core_pct, or quench and file a coupon of the untreated steel",
        )
    return tuple(
        CaseAnswer(*worked, core) for worked in worked_out(pack, core, target_hrc, diffusivities)
    )
