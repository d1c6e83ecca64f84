"""How a tool is held, weighed, swung and shaped: `[handling]` and `[outline]` of study.toml.

Places run along the tool from the butt (0) to the tip, in mm. Each section has one table a
blade, `[handling.H1]`; where a study has one blade beside its control, `[handling]` alone is
that blade's.
"""

import re
from math import sqrt
from pathlib import Path
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import AfterValidator, Field, model_validator

from edgetest.chop.balance import HAND_U_MM, Hold
from edgetest.chop.pendulum import WATCH_U_S, SwingTest
from edgetest.chop.silhouette import silhouette
from edgetest.chop.tool_outline import STEEL, Material, Part, as_typed_grind, outline
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import Quantity, Record, refuse, validate
from edgetest.store.field_kinds import Count
from edgetest.store.study_paths import InStudy
from edgetest.store.toml_faults import heading_of
from edgetest.study.chop.weighed_once import weighed_once
from edgetest.units import Unreadable, parse_quantity

Place = Annotated[float, Quantity("mm", least=0)]
Size = Annotated[float, Quantity("mm", least=0)]
Above = Annotated[float, Quantity("mm", above=0)]
Grams = Annotated[float, Quantity("g", above=0)]
Seconds = Annotated[float, Field(gt=0, strict=True)]
Uncertainty = Annotated[float, Field(gt=0, strict=True)]
# Values that may be typed with their limits, "277 ± 2 mm": where these go, and their unit.
WITH_LIMITS = {
    "grip_mm": ("grip_u_mm", "mm"),
    "strike_mm": ("strike_u_mm", "mm"),
    "balance_mm": ("balance_u_mm", "mm"),
    "pivot_mm": ("pivot_u_mm", "mm"),
    "mass_g": ("mass_u_g", "g"),
}
Share = Annotated[float, Field(ge=0, le=1, strict=True)]
WIDEST_DEG = 90.0  # beyond, a tool on a nail tumbles (common practice, no source)


def _no_tumbling(degrees: float) -> float:
    """A swing to one side by which a tool can hang as a pendulum."""
    if degrees >= WIDEST_DEG:
        what = f"{degrees:g}° to one side is no swing of a pendulum"
        raise refuse(what, "write how far it swung to one side, less than 20° as a rule")
    return degrees


Swung = Annotated[float, Quantity("deg", above=0), AfterValidator(_no_tumbling)]


class Handling(Record):
    """Where a tool is held and strikes; its weight, balance point and pendulum timings."""

    grip_mm: Place
    strike_mm: Above
    handle_front_mm: Above | None = None
    length_mm: Above | None = None
    mass_g: Grams | None = None
    balance_mm: Above | None = None
    pivot_mm: Place | None = None
    swings: Count | None = None
    seconds: tuple[Seconds, ...] = ()
    amplitude_deg: Swung | None = None
    mass_u_g: Uncertainty = 1.0
    balance_u_mm: Uncertainty = 1.0
    grip_u_mm: Uncertainty = HAND_U_MM
    strike_u_mm: Uncertainty = HAND_U_MM
    pivot_u_mm: Uncertainty = 1.0
    watch_u_s: Uncertainty = WATCH_U_S
    note: str = ""

    @model_validator(mode="before")
    @classmethod
    def _typed_limits(cls, given: Any) -> Any:
        """Values typed as "277 ± 2": the limits' standard uncertainty goes to its own key."""
        if not isinstance(given, dict):
            return given
        read = dict(given)
        for key, (u_key, unit) in WITH_LIMITS.items():
            parts = re.split(r"\s*(?:±|\+/-|\+-)\s*", str(given.get(key, "")))
            if len(parts) != 2:
                continue
            if u_key in given:
                raise refuse(f"{key} has ± and {u_key} beside it", "keep one of the two")
            number, limits = parts
            written = re.search(r"[^\d.,/\s]+$", limits)
            read[key] = f"{number} {written[0]}" if written else number
            try:
                half = float(parse_quantity(limits, unit))
            except Unreadable as fault:
                raise refuse(f"{key}: {fault.what}", fault.mend) from None
            read[u_key] = half / sqrt(3)  # limits of a rectangular distribution: JCGM 100, 4.3.7
        return read

    @model_validator(mode="after")
    def _whole(self) -> "Handling":
        if self.strike_mm <= self.grip_mm:
            raise refuse(
                f"the strike point, {self.strike_mm:g} mm, is not beyond the grip,"
                f" {self.grip_mm:g} mm",
                "measure both from the butt",
            )
        pendulum = (self.pivot_mm, self.swings, self.seconds or None)
        if any(part is not None for part in pendulum):
            needed = {
                "mass_g": self.mass_g,
                "balance_mm": self.balance_mm,
                "pivot_mm": self.pivot_mm,
                "swings": self.swings,
                "seconds": self.seconds or None,
            }
            missing = [name for name, value in needed.items() if value is None]
            if missing:
                raise refuse(f"a pendulum test without {', '.join(missing)}", "add what is missing")
        return self

    def balance_words(self) -> str:
        """Where the tool balances, from what was typed alone; "" where that was not."""
        if self.balance_mm is None:
            return ""
        if self.handle_front_mm is None:
            return f"balance {self.balance_mm:g} mm from the butt"
        ahead = self.balance_mm - self.handle_front_mm
        way = "ahead of the handle" if ahead >= 0 else "behind the front of the handle"
        return f"balance {abs(ahead):g} mm {way}"

    def hold(self, length_mm: float | None = None) -> Hold:
        """Grip and strike point for the numbers; `length_mm` where the record has none."""
        length = self.length_mm if self.length_mm is not None else length_mm
        return Hold(
            self.grip_mm,
            self.strike_mm,
            self.handle_front_mm,
            length,
            grip_u_mm=self.grip_u_mm,
            strike_u_mm=self.strike_u_mm,
        )

    def swing_test(self) -> SwingTest | None:
        """The pendulum test, or None where it was not made."""
        if self.mass_g is None or self.balance_mm is None or self.pivot_mm is None:
            return None
        if self.swings is None:
            return None
        return SwingTest(
            self.mass_g,
            self.balance_mm,
            self.pivot_mm,
            self.seconds,
            self.swings,
            amplitude_deg=self.amplitude_deg,
            watch_u_s=self.watch_u_s,
            mass_u_g=self.mass_u_g,
            balance_u_mm=self.balance_u_mm,
            pivot_u_mm=self.pivot_u_mm,
        )


class PartRecord(Record):
    """A part that adds weight: scales, guard, ferrule."""

    name: str
    mass_g: Grams
    from_mm: Place
    to_mm: Place
    mass_u_g: Uncertainty = 1.0


class Thinner(Record):
    """A distal taper one thinks of grinding: from where, and how thick at the tip."""

    from_mm: Place
    tip_mm: Size


Row2 = tuple[Place, Size]
Row3 = tuple[Place, float, float]


class Shape(Record):
    """A tool's geometry: widths, thickness stations, grind, parts.

    The widths come from one of three: `widths` (place, width), `sides` (place, and how far
    back and edge stand off a straight line along the handle), or `silhouette` (a photograph).
    """

    widths: tuple[Row2, ...] = ()
    sides: tuple[Row3, ...] = ()
    silhouette: InStudy | None = None
    scale: str | None = None
    mm_per_px: Annotated[float, Field(gt=0, strict=True)] | None = None
    butt: Literal["left", "right"] = "left"
    thicknesses: Annotated[tuple[Row2, ...], Field(min_length=1)]
    edge_mm: Size = 0.0
    ground: Share | None = None
    grind_from_mm: Place | None = None
    parts: tuple[PartRecord, ...] = ()
    density_kg_m3: Annotated[float, Field(gt=0, strict=True)] = STEEL.density_kg_m3
    youngs_gpa: Annotated[float, Field(gt=0, strict=True)] = STEEL.youngs_gpa
    thinner: Thinner | None = None
    note: str = ""

    @model_validator(mode="after")
    def _one_way(self) -> "Shape":
        if bool(self.widths) + bool(self.sides) + (self.silhouette is not None) != 1:
            raise refuse(
                "the widths come from exactly one of widths, sides or silhouette",
                "keep one of the three",
            )
        if self.silhouette is not None and (self.mm_per_px is None) == (self.scale is None):
            raise refuse(
                "a silhouette without its one scale",
                'write scale = "…" (a table of [scales]) or mm_per_px = …',
            )
        return self


def handling_of(study):
    """Handling of every blade that has one, by blade; all faults raised together.

    Returns
    -------
    dict of str to Handling
    """
    return _records(study, "handling", Handling)


def shapes_of(study):
    """Geometry of every blade that has one, by blade, as written; all faults together.

    Returns
    -------
    dict of str to Shape
    """
    return _records(study, "outline", Shape)


def _records(study, section, model):
    """One record a blade from a section of study.toml."""
    tables = getattr(study, section) or {}
    names = [blade.id for blade in study.blades]
    known = set(model.model_fields)
    if tables and set(tables) & known:
        subjects = [name for name in names if name != study.control]
        if len(subjects) != 1:
            raise UnusableInput(
                f"[{section}] does not say which blade it is of",
                f"study.toml, {section}",
                f"write [{section}.{subjects[0] if subjects else names[0]}], one table a blade",
            )
        tables = {subjects[0]: tables}
    faults, found = [], {}
    for name, table in tables.items():
        where = f"study.toml, {section}.{name}"
        if name not in names:
            mend = f"known blades: {', '.join(names)}"
            faults.append(UnusableInput(f'"{name}" is not a blade', where, mend))
            continue
        if not isinstance(table, dict):
            faults.append(UnusableInput("is not a table", where, f"write [{section}.{name}]"))
            continue
        if model is Handling:
            table = weighed_once(table, study.blades[names.index(name)])
        try:
            found[name] = validate(model, table, where)
        except ManyFaults as many:
            faults += (*many.faults, *_places_fault(model, table, where))
    if faults:
        raise ManyFaults(faults)
    return found


def _places_fault(model, table, where):
    """That grip and strike point lie the wrong way round, where other keys are at fault too."""
    places = {key: table[key] for key in ("grip_mm", "strike_mm") if key in table}
    if model is not Handling or len(places) < 2:
        return ()
    try:
        validate(model, places, where)
    except ManyFaults as many:
        return many.faults
    return ()


def outline_of(shape, study, where="outline"):
    """The numbers of a geometry; a silhouette photograph is looked for in the study's folder.

    Raises
    ------
    UnusableInput
        If places do not rise, or the photograph shows no tool or has no scale.
    """
    x, width, centre = _widths(shape, study, where)
    thick_x, thickness = np.array(shape.thicknesses, dtype=float).T
    try:
        return outline(
            x,
            width,
            thick_x,
            thickness,
            grind=as_typed_grind(shape.edge_mm, shape.ground, shape.grind_from_mm),
            parts=tuple(Part(**part.model_dump()) for part in shape.parts),
            material=Material(shape.density_kg_m3, youngs_gpa=shape.youngs_gpa),
            centre_mm=centre,
        )
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{where}, {fault.where}", fault.mend) from None


def _widths(shape, study, where):
    """Places, widths, and the middle line (up is positive, the edge below)."""
    if shape.silhouette is not None:
        seen = _silhouette(shape, study, where)
        return seen.x_mm, seen.width_mm, seen.centre_mm
    if shape.sides:
        x, back, edge = np.array(shape.sides, dtype=float).T
        return x, back + edge, (back - edge) / 2
    x, width = np.array(shape.widths, dtype=float).T
    return x, width, np.zeros_like(x)


def _silhouette(shape, study, where):
    """Widths from the photograph."""
    from edgetest.store.images import read_picture
    from edgetest.study.photos.photo_scales import scales_of_study

    mm_per_px = shape.mm_per_px
    if mm_per_px is None:
        scales = scales_of_study(study)
        if shape.scale not in scales:
            what = f'there is no scale "{shape.scale}"'
            raise UnusableInput(what, f"{where}, scale", f"add {heading_of('scales', shape.scale)}")
        mm_per_px = scales[shape.scale].um_per_px / 1000
    path = Path(study.folder) / shape.silhouette
    if not path.is_file():
        what = f'there is no "{shape.silhouette}"'
        raise UnusableInput(what, f"{where}, silhouette", "put it in the study's folder")
    try:
        return silhouette(read_picture(path).grey, mm_per_px, butt=shape.butt)
    except UnusableInput as fault:
        place = f"{where}, silhouette, {fault.where}"
        raise UnusableInput(fault.what, place, fault.mend) from None
