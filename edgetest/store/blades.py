"""What is kept of one blade: where it comes from, its shape, its hardness?"""

from typing import Any

from pydantic import Field, field_serializer, field_validator, model_validator

from edgetest.store.checking import Record, refuse
from edgetest.store.field_kinds import (
    Degrees,
    DegreesFromZero,
    Grams,
    Hardness,
    HardnessRange,
    MeasuredHardness,
    Millimetres,
    MillimetresFromZero,
    Name,
    TitleOrNone,
)
from edgetest.store.protocol import one_angle
from edgetest.units import as_typed


class HardnessFiles(Record):
    """A bracket from hardness files: the hardest that skates, the softest that bites."""

    skates: Hardness | None = None
    bites: Hardness | None = None

    @model_validator(mode="after")
    def _right_way_round(self) -> "HardnessFiles":
        if self.skates is None and self.bites is None:
            raise refuse("no file is named", "add skates = 60 (hardest that slid) or bites = 65")
        if self.skates is not None and self.bites is not None and self.skates >= self.bites:
            raise refuse(
                f"file {self.skates:g} skates but file {self.bites:g} bites",
                "a file bites only what is softer than itself: skates must be below bites",
            )
        return self


class Blade(Record):
    """One blade: where it comes from, its shape, and what was done to it."""

    id: Name
    title: TitleOrNone = ""
    kind: str = ""
    steel: str = ""
    piece: str = ""
    heat_treatment: str | None = None
    batch: str = ""
    included_angle_given_deg: Degrees | None = Field(None, alias="included_angle_deg")
    angle_per_side_deg: Degrees | None = None
    angle_u_deg: DegreesFromZero | None = None
    thickness_behind_edge_mm: Millimetres | None = None
    thickness_behind_edge_u_mm: MillimetresFromZero | None = None
    spine_mm: Millimetres | None = None
    width_mm: Millimetres | None = None
    length_mm: Millimetres | None = None
    edge_length_mm: Millimetres | None = None
    mass_g: Grams | None = None
    hardness_target_hrc: HardnessRange | None = None
    hardness_hrc: tuple[MeasuredHardness, ...] = ()
    hardness_files: HardnessFiles | None = None
    edge_finish: str = ""
    note: str = ""

    @field_serializer("hardness_target_hrc", when_used="json-unless-none")
    def _as_written(self, ends: tuple[float, float]) -> str | float:
        low, high = ends
        return low if low == high else f"{low:g}-{high:g}"

    @field_validator("hardness_hrc", mode="before")
    @classmethod
    def _one_or_many(cls, value: Any) -> Any:
        if isinstance(value, list | tuple):
            return value
        if isinstance(value, str):
            raise refuse(
                f'"{value}" is not a measured hardness',
                "write numbers, such as [59.5, 60]; a wish goes to hardness_target_hrc",
            )
        return (value,)

    @model_validator(mode="after")
    def _angle_once(self) -> "Blade":
        one_angle(self.angle_per_side_deg, self.included_angle_given_deg)
        return self

    @property
    def included_angle_deg(self) -> float | None:
        """Included edge angle, degrees, whichever way it was given; None where it is not noted."""
        if self.angle_per_side_deg is not None:
            return 2 * self.angle_per_side_deg
        return self.included_angle_given_deg

    def angle_words(self) -> str:
        """The angle as typed and the other way: "15° per side (30° included)"; "" where blank."""
        whole, side = self.included_angle_given_deg, self.angle_per_side_deg
        if side is not None:
            return f"{as_typed(side, 'deg')} per side ({2 * side:g}° included)"
        if whole is not None:
            return f"{as_typed(whole, 'deg')} included ({whole / 2:g}° per side)"
        return ""

    def angle_with_u_words(self) -> str:
        """The angle both ways with how closely it is known, or that nobody noted this."""
        whole, side, u = self.included_angle_given_deg, self.angle_per_side_deg, self.angle_u_deg
        if u is None:
            return f"{words}, how closely not noted" if (words := self.angle_words()) else ""
        if side is not None:
            return f"{side:g}° ± {u:g}° per side ({2 * side:g}° ± {2 * u:g}° included)"
        if whole is not None:
            return f"{whole:g}° ± {u:g}° included ({whole / 2:g}° ± {u / 2:g}° per side)"
        return ""
