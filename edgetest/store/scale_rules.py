"""What study.toml says of a set-up of the microscope: its scale, its light, its needle."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import Lighting, declared_light
from edgetest.photo.glints.needle_light import (
    TOLERANCE_UM,
    TURNED_DEG,
    Needle,
    SideSetup,
    check_needle,
    check_setup,
)
from edgetest.photo.linear_light import tone_curve
from edgetest.store.checking import Record, refuse
from edgetest.store.field_kinds import (
    Day,
    Degrees,
    DegreesFromZero,
    Micrometres,
    Millimetres,
    Number,
    Positive,
)
from edgetest.store.study_paths import InStudy

BESIDE_THE_EDGE = ("two sectors", "ring")  # lights whose glints a needle calibrates
LAMP_KEYS = (
    "needle", "needle_diameter_mm", "needle_tolerance_um", "needle_date", "lamp_angle_deg",
    "lamps_turned_deg", "lamp_distance_mm", "lens_distance_mm",
)  # fmt: skip


class ScaleRule(Record):
    """Where the scale of photographs comes from: a number, a ruling, or two marks."""

    um_per_px: Positive | None = None
    relative_u: Annotated[Number, Field(ge=0, lt=1)] = 0.0
    ruling: InStudy | None = None
    pitch_um: Micrometres | None = None
    photo: InStudy | None = None
    a_rc: tuple[Number, Number] | None = None
    b_rc: tuple[Number, Number] | None = None
    distance_um: Micrometres | None = None
    mark_sd_px: Positive | None = None  # how well a mark was placed, standard deviation
    size_px: tuple[int, int] | None = None  # width and height of the pictures it was taken on
    # The camera's curve, where it is known: a gamma, or light at evenly spaced stored values.
    tone: Literal["srgb", "linear"] | Positive | tuple[Number, ...] | None = None
    light: str | None = None  # where it comes from: on-axis, ring, dome, two sectors
    lens_na: Number | None = None  # numerical aperture of the objective, and of the light
    lamp_na: Number | None = None
    needle: InStudy | None = None  # picture of a needle between the same two lamps
    needle_diameter_mm: Positive | None = None
    needle_tolerance_um: Annotated[Number, Field(ge=0)] | None = None
    needle_date: Day = ""  # when it was taken: rows of another day are told apart
    lamp_angle_deg: Degrees | None = None  # of the lamps from the axis of the lens
    lamps_turned_deg: DegreesFromZero | None = None  # off 'straight across the edge', at most
    lamp_distance_mm: Millimetres | None = None  # from the edge
    lens_distance_mm: Millimetres | None = None
    note: str = ""

    @model_validator(mode="after")
    def _one_way(self) -> "ScaleRule":
        marks = (self.a_rc, self.b_rc, self.distance_um)
        ways = [
            self.um_per_px is not None,
            self.ruling is not None,
            any(m is not None for m in marks),
        ]
        if not any(ways) and self.relative_u:
            raise refuse(
                "relative_u alone: [scale] is the photographs', and names no scale of theirs",
                f"for typed widths write typed_scale_u = {self.relative_u:g} above all tables",
            )
        if sum(ways) != 1:
            raise refuse(
                "the scale comes from exactly one of a number, a ruling or two marks",
                "write um_per_px = …, or ruling = … and pitch_um = …, or a_rc, b_rc, distance_um",
            )
        if self.ruling is not None and self.pitch_um is None:
            raise refuse("a ruling without its pitch", "add pitch_um = 10")
        if ways[2] and None in marks:
            raise refuse("two marks need a_rc, b_rc and distance_um", "add the missing one")
        return self

    @model_validator(mode="after")
    def _light_known(self) -> "ScaleRule":
        try:
            self.lighting()
            self._check_lamps()
        except UnusableInput as fault:
            raise refuse(fault.what, fault.mend) from None
        return self

    def _check_lamps(self) -> None:
        """Raise unless needle and lamps go together, and with their light."""
        given = [name for name in LAMP_KEYS if getattr(self, name) not in (None, "")]
        if given and self.light not in BESIDE_THE_EDGE:
            what = f"{given[0]} is for lamps across the edge"
            raise UnusableInput(what, given[0], 'add light = "two sectors"')
        if (self.needle is None) != (self.needle_diameter_mm is None):
            mend = "write both needle = … (its picture) and needle_diameter_mm = 0.4"
            raise UnusableInput("a needle's picture goes with its diameter", "needle", mend)
        if self.light in BESIDE_THE_EDGE:
            check_needle(self.pin())
            check_setup(self.lamps(None, 0.0))

    @model_validator(mode="after")
    def _tone_rises(self) -> "ScaleRule":
        try:
            tone_curve("unknown" if self.tone is None else self.tone)
        except UnusableInput as fault:
            raise refuse(fault.what, fault.mend) from None
        return self

    def lighting(self) -> Lighting:
        """The set-up's light as it is declared."""
        return declared_light(self.light, self.lens_na, self.lamp_na)

    @property
    def between_lamps(self) -> bool:
        """Whether its photographs are crests: two sectors, or an open ring that has a needle."""
        return self.light == "two sectors" or (self.light == "ring" and self.needle is not None)

    def pin(self) -> Needle | None:
        """The needle that lay in the set-up's light, as it was measured by hand."""
        if self.needle_diameter_mm is None:
            return None
        tolerance = self.needle_tolerance_um
        return Needle(
            1000 * self.needle_diameter_mm, TOLERANCE_UM if tolerance is None else tolerance
        )

    def lamps(self, um_per_px: float | None, relative_u: float) -> SideSetup:
        """The two lamps as they are noted, at a scale."""
        turned = self.lamps_turned_deg
        return SideSetup(
            self.light or "",
            um_per_px,
            relative_u,
            self.lamp_angle_deg,
            TURNED_DEG if turned is None else turned,
            self.lens_distance_mm,
            self.lamp_distance_mm,
        )
