"""A validation set: photographs, hardness blocks and coupons whose truth is known elsewhere."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from edgetest.errors import UnusableInput
from edgetest.store.checking import Quantity, Record, read_toml, refuse, validate
from edgetest.store.field_kinds import (
    Celsius,
    Day,
    Hardness,
    Micrometres,
    Millimetres,
    Positive,
    in_celsius,
)
from edgetest.store.study_paths import path_within
from edgetest.units import Unreadable

FILE = "validation.toml"
Named = Annotated[str, Field(max_length=100, pattern=r"^[^\n\t]*$")]
Name = Annotated[Named, Field(min_length=1)]
Uncertainty = Annotated[float, Quantity("um", above=0)]
DepthUncertainty = Annotated[float, Quantity("mm", above=0)]
Share = Annotated[float, Field(strict=True, ge=0, lt=1)]
Carbon = Annotated[float, Field(strict=True, ge=0, le=2.1)]


def _inside(text: str) -> str:
    try:
        return path_within(text)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None


Photo = Annotated[str, Field(min_length=1), AfterValidator(_inside)]


class KnownPhoto(Record):
    """A photograph of an apex with its scale, and the set-up that it was taken with."""

    photo: Photo
    um_per_px: Positive
    relative_u: Share = 0.0
    microscope: Name = "one set-up"
    light: Literal["on-axis", "ring", "dome", ""] = ""
    tone: Literal["unknown", "srgb", "linear"] = "unknown"


class KnownWidth(KnownPhoto):
    """A photograph whose edge width is known from elsewhere."""

    edge: Named = ""
    reference_um: Micrometres
    reference_u_um: Uncertainty
    how: Annotated[str, Field(min_length=3)]


class TwoLooks(Record):
    """One and the same stretch of an edge under two microscopes."""

    edge: Name
    first: KnownPhoto
    second: KnownPhoto


class KnownBlock(Record):
    """A hardness block, or a piece of stated hardness, and what was read on it."""

    name: Name
    stated_hrc: Hardness
    stated_u_hrc: Positive
    how: Annotated[str, Field(min_length=3)]
    readings_hrc: tuple[Hardness, ...] = ()
    file_skates: Hardness | None = None
    file_bites: Hardness | None = None

    @model_validator(mode="after")
    def _something_read(self) -> "KnownBlock":
        if not self.readings_hrc and self.file_skates is None and self.file_bites is None:
            raise refuse("nothing was read on it", "add readings_hrc, file_skates or file_bites")
        return self


class KnownCase(Record):
    """A coupon from a pack, cut through, with the depth of its case as it was found."""

    name: Name
    thickness_mm: Millimetres
    temperature_c: Celsius
    hours: Annotated[float, Quantity("h", above=0)]
    core_pct: Carbon
    core_u_pct: Annotated[float, Field(strict=True, gt=0)] = 0.02
    energised: bool | None = None
    surface_pct: Carbon | None = None
    to_hrc: Hardness
    depth_mm: Millimetres
    depth_u_mm: DepthUncertainty
    how: Annotated[str, Field(min_length=3)]

    _in_celsius = model_validator(mode="before")(in_celsius)


class ValidationSet(Record):
    """All that somebody sent: what it is, who took it, and its parts."""

    title: Annotated[str, Field(min_length=1)]
    taken_by: str = ""
    date: Day = ""
    invented: Annotated[bool, Field(strict=True)] = False
    widths: tuple[KnownWidth, ...] = ()
    pairs: tuple[TwoLooks, ...] = ()
    blocks: tuple[KnownBlock, ...] = ()
    coupons: tuple[KnownCase, ...] = ()

    @model_validator(mode="after")
    def _something_known(self) -> "ValidationSet":
        if not (self.widths or self.pairs or self.blocks or self.coupons):
            raise refuse("nothing in it is known", "add [[widths]], [[pairs]], [[blocks]] …")
        return self

    def photos(self) -> list[KnownPhoto]:
        """Every photograph, in its order."""
        both = [photo for pair in self.pairs for photo in (pair.first, pair.second)]
        return [*self.widths, *both]


@dataclass(frozen=True)
class FoundSet:
    """A validation set and the folder that it lies in."""

    folder: Path
    known: ValidationSet


def load_validation(folder: str | Path) -> FoundSet:
    """The validation set of a folder.

    Raises
    ------
    UnusableInput
        Naming file, key and mend; `ManyFaults` where there are several, or a photograph that is
        not there.
    """
    folder = Path(folder)
    if not (folder / FILE).is_file():
        raise UnusableInput(
            f"there is no {FILE} here", str(folder), "the guide's page Help us check has one"
        )
    known = validate(ValidationSet, read_toml(folder / FILE), FILE)
    for each in known.photos():
        if not (folder / each.photo).is_file():
            raise UnusableInput(
                f"{each.photo} is not there", FILE, f"put it into {folder}, or mend its name"
            )
    return FoundSet(folder, known)
