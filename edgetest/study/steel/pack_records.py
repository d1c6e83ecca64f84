"""What does `[evidence.pack]` of study.toml hold: heats, sections, the pack's own coupon?"""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from edgetest.steel.temper_softening import USUAL_TEMPER
from edgetest.steel.usual_pack import USUAL_PACK
from edgetest.store.checking import Quantity, Record, refuse
from edgetest.store.field_kinds import Celsius, Count, Millimetres, Minutes, Name, in_celsius

Ground = Annotated[float, Quantity("mm", least=0)]
CarbonOfSteel = Annotated[float, Field(strict=True, ge=0, le=2.1)]
Uncertainty = Annotated[float, Field(strict=True, ge=0)]
Martensite = Annotated[float, Field(strict=True, ge=0.5, le=1)]


def _both_faces(value: Any) -> Any:
    """Ground off each face: one number holds for both."""
    return value if isinstance(value, list | tuple) else (value, value)


Faces = Annotated[tuple[Ground, Ground], BeforeValidator(_both_faces)]


class PackHeat(Record):
    """One heat of the schedule, counted from when the steel itself is at temperature."""

    name: str = ""
    temperature_c: Celsius
    hours: Annotated[float, Quantity("h", least=0)]
    surface: Literal["carburising", "sealed", "decarburising"] = "sealed"
    surface_pct: CarbonOfSteel | None = None
    faces: Literal[1, 2] = 2

    _in_celsius = model_validator(mode="before")(in_celsius)


class Section(Record):
    """A place of the blade: how thick it was in the pack, how much was ground off each face."""

    name: str = "edge"
    thickness_mm: Millimetres
    removed_mm: Faces = (0.0, 0.0)


class PackCoupon(Record):
    """A coupon from one's own pack, broken or etched to see how deep the case went."""

    thickness_mm: Millimetres
    depth_mm: Millimetres
    depth_u_mm: Millimetres
    carbon_pct: CarbonOfSteel = 0.40


class PackTemper(Record):
    """The temper after the quench of the case."""

    temperature_c: Celsius
    time_min: Minutes = USUAL_TEMPER.time_min
    repeats: Count = 1

    _in_celsius = model_validator(mode="before")(in_celsius)


class Pack(Record):
    """The carburising pack, its heats, and the sections that went through it."""

    piece: Name | None = None  # which piece went through it, where there are several
    compound: str = ""
    energised: Annotated[bool, Field(strict=True)] | None = None  # a carbonate in the charcoal
    skin_mm: Ground = 0.0  # decarburised before the pack
    temper: PackTemper | Literal["none"] | None = None  # left out: the usual one
    heats: Annotated[tuple[PackHeat, ...], Field(min_length=1)]
    sections: Annotated[tuple[Section, ...], Field(min_length=1)]
    core_pct: CarbonOfSteel | None = None
    core_u_pct: Uncertainty = USUAL_PACK.core_u_pct
    martensite: tuple[Martensite, Martensite] | None = None  # of the coupon that the core is from
    thermometer_u_c: Annotated[float, Quantity("c_apart", least=0)] = USUAL_PACK.thermometer_u_c
    surface_u_pct: Uncertainty | None = None  # left out: by what is known of the pack
    coupon: PackCoupon | None = None


def refuse_unknown_packed(pack: Pack | None, names: tuple[str, ...]) -> None:
    """Refuse a pack that names a piece which nobody noted.

    Raises
    ------
    ValueError
        As a fault of the record.
    """
    if pack is not None and pack.piece not in (None, *names):
        what = f'the pack is of "{pack.piece}", which is not a piece'
        raise refuse(what, f"known: {', '.join(names)}")
