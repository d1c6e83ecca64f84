"""What did a maker write down of a mystery steel: `[evidence]` and `[verdict]` of study.toml?"""

from typing import Annotated, Any

from pydantic import Field, model_validator

from edgetest.errors import UnusableInput
from edgetest.steel.scaled_hardness import in_hrc, own_scale
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.store.checking import Quantity, Record, refuse, validate
from edgetest.store.field_kinds import (
    Count,
    CountFromZero,
    Day,
    HardnessRange,
    Millimetres,
    Minutes,
    Name,
    in_celsius,
)
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.steel import row_kinds as kinds
from edgetest.study.steel.noted_cracks import IN_ITS_NOTE
from edgetest.study.steel.old_cracks import FoundBreak, HeatBreak
from edgetest.study.steel.pack_records import Pack, refuse_unknown_packed
from edgetest.study.steel.trial_says import refuse_unlike
from edgetest.units import Unreadable

IN_EVIDENCE, IN_VERDICT = f"{STUDY_FILE}, evidence", f"{STUDY_FILE}, verdict"
NO_BLADES = "write coupon = … instead, as for a trial blade that no [[blades]] lists"
ONLY_PIECE = ONLY_COUPON = "1"  # of a row that names none
# Keys of an older way of writing, and how the same is written now.
WRITTEN_NOW = {
    "quenched": "write each quench as [[evidence.heats]] with piece, coupon, heat and medium",
    "tempered": "write each temper as [[evidence.tempers]] with piece, coupon and heat",
    "analysis": "write carbon_pct = … into the piece that the laboratory had",
    "section_mm": "write section_mm = … into the heat",
    "martensite": "write martensite = … into [evidence.pack]",
}
PIECE_NOW = {
    "magnetic": 'write magnet = "strong", "weak" or "none"',
    "spark_note": 'write stream = "bright forked" (or another known word), the rest into note',
}
VERDICT_NOW = {
    name: "leave it out: blade_hours and known_steel_hours now say what a mistake costs"
    for name in ("wrong_reuse_h", "wrong_discard_h", "least_blades", "test_hours")
} | {
    name: 'leave it out: use = "chopper" (or another known use) now sets what is wanted'
    for name in (
        "life_ratio", "life_ratio_light", "hardness_light_hrc", "damage_per_100", "leave_out",
        "damage_light_per_100", "edge_light_hrc", "cracked_share", "cracked_light_share",
    )
}  # fmt: skip
# Temperatures of a heat under a name that it has not: what was meant, by its own key.
HEAT_KEYS = {
    "temperature_f": ("heat_c", " °F"),
    "temperature_c": ("heat_c", " °C"),
    "heat_f": ("heat_c", " °F"),
    "medium_f": ("medium_c", " °F"),
}
KEPT_IN = {
    "heat_c": "heat_c is the steel just before the quench, medium_c the tank",
    "medium_c": "medium_c is the tank",
}
NO_KEY = IN_ITS_NOTE | {
    "carbon_where": "take carbon_pct from chips of below the skin alone; note where they came from",
}


def _mended(data: Any, now: dict[str, str], why: str = "is an older way of writing") -> Any:
    """The table itself, unless a key that is written otherwise stands in it."""
    for key in now:
        if isinstance(data, dict) and key in data:
            raise refuse(f'"{key}" {why}', now[key])
    return data


class _Read(Record):
    """Readings of hardness by place: on the skin, ground well below it, or not stated."""

    hardness_skin: kinds.Hardnesses = ()
    hardness_below: kinds.Hardnesses = ()
    hardness: kinds.Hardnesses = ()
    scale: kinds.Scale = "HRC"
    exclude: str = ""  # why the readings of this row are left out of the count, and kept
    note: str = ""

    @model_validator(mode="after")
    def _numbers_where_converted(self) -> "_Read":
        cells = (*self.hardness_skin, *self.hardness_below, *self.hardness)
        bare = [cell for cell in cells if own_scale(cell)[0] is None]
        if self.scale != "HRC" and any(isinstance(cell, str) for cell in bare):
            raise refuse(f"a bracket in {self.scale}", "files are rated in HRC: leave scale out")
        try:
            for cell in bare if self.scale != "HRC" else ():
                in_hrc(cell, self.scale)
        except Unreadable as fault:
            raise refuse(fault.what, fault.mend) from None
        for key in ("hardness_skin", "hardness_below", "hardness"):
            kinds.refuse_off_scale(getattr(self, key), self.scale, key, self._whose())
        return self

    def _whose(self) -> str:
        """Of which piece, coupon and heat the row tells, where it says so."""
        told = ((key, getattr(self, key, None)) for key in ("piece", "coupon", "blade", "heat"))
        words = ", ".join(f"{key} {name}" for key, name in told if name is not None)
        return f"{words}: " if words else ""


class FoundPiece(_Read):
    """One piece as found: where it comes from, what stands in the way, what was seen of it."""

    id: Name
    origin: kinds.Origin = "unknown"
    source: str = ""
    form: str = ""
    lot: Name | None = None
    makes_blades: kinds.Pieces | None = None
    thickness_mm: Millimetres | None = None
    coating: kinds.Coating | None = None
    lead: kinds.Lead | None = None
    closed_hollow: kinds.Truth | None = None
    loaded_spring: kinds.Truth | None = None
    magnet: kinds.Magnet | None = None
    sparks: kinds.Sparks | None = None
    stream: kinds.Stream | None = None
    forging: kinds.Forging | None = None
    fracture: FoundBreak | None = None
    carbon_pct: kinds.Carbon | None = None
    carbon_u_pct: Annotated[float, Field(strict=True, gt=0)] = 0.02

    @model_validator(mode="before")
    @classmethod
    def _as_now(cls, data: Any) -> Any:
        return _mended(_mended(data, PIECE_NOW), NO_KEY, "has no key of its own")


class _OfCoupon(_Read):
    """To which coupon or blade, and which of its heats, a row belongs."""

    piece: Name | None = None
    coupon: Annotated[str, Field(min_length=1)] | None = None
    blade: Name | None = None
    heat: Count | None = None

    @model_validator(mode="before")
    @classmethod
    def _coupon_by_number(cls, data: Any) -> Any:
        number = data.get("coupon") if isinstance(data, dict) else None
        if isinstance(data, dict):
            kinds.refuse_degrees(data.get("heat"))
        if isinstance(number, int) and not isinstance(number, bool):
            return {**data, "coupon": str(number)}
        return data

    @model_validator(mode="after")
    def _coupon_or_blade(self) -> "_OfCoupon":
        if self.coupon is not None and self.blade is not None:
            raise refuse("both coupon and blade are given", "keep the one that it was")
        return self


class CouponHeat(_OfCoupon):
    """One heat of one coupon or blade: quenched from where, into what, and what came of it."""

    medium: kinds.Medium | None = None
    medium_c: kinds.TankC | None = None
    heat_c: kinds.HeatC | None = None
    colour: kinds.Colour | None = None
    magnet: kinds.MagnetAtHeat | None = None
    soak_min: Minutes | None = None
    cycles: CountFromZero | None = None
    section_mm: Millimetres | None = None
    grain: kinds.Grain | None = None
    fracture: HeatBreak | None = None
    cracked: CountFromZero | None = None
    count: Count = 1
    carburised: kinds.Truth | None = None

    @model_validator(mode="before")
    @classmethod
    def _temperature_in_its_key(cls, data: Any) -> Any:
        for typed, (key, unit) in HEAT_KEYS.items():
            if isinstance(data, dict) and typed in data:
                met = str(data[typed])
                said = met if any(letter.isalpha() for letter in met) else met + unit
                mend = f'write {key} = "{said}": {KEPT_IN[key]}'
                raise refuse(f'"{typed}" is not a key of a heat', mend)
        heat = data.get("heat_c") if isinstance(data, dict) else None
        if isinstance(heat, str) and not any(letter.isdigit() for letter in heat):
            mend = f'write colour = "{heat}", or degrees, as in heat_c = 800'
            raise refuse(f'heat_c = "{heat}" is no temperature', mend)
        return data

    @model_validator(mode="after")
    def _some_of_all(self) -> "CouponHeat":
        if self.cracked is not None and self.cracked > self.count:
            what = f"{self.cracked} cracked of {self.count}"
            raise refuse(what, "add count = how many were quenched")
        return self


class CouponTemper(_OfCoupon):
    """A temper of a heat; one of them may be marked as the temper for use."""

    temperature_c: kinds.TemperC | None = None
    time_min: Minutes | None = None
    repeats: Count = 1
    for_use: kinds.Truth = False

    _in_celsius = model_validator(mode="before")(in_celsius)


class CouponTrial(_OfCoupon):
    """A blade or bar of the piece worked beside a known one."""

    test: kinds.TrialKind
    result: kinds.TrialResult | None = None
    edge: kinds.Edge | None = None
    life_ratio: kinds.LifeRatioTyped | None = None
    carburised: kinds.Truth | None = None
    beside: str = ""
    day: Day = ""
    temper_c: kinds.TemperC | None = None
    strokes: Count | None = None
    hit: str = ""
    poor_edge: str = ""
    use: kinds.Use | None = None

    @model_validator(mode="after")
    def _says_something(self) -> "CouponTrial":
        refuse_unlike(self)
        return self


class KnownSteels(Record):
    """What every piece is held against: two known steels, a set of files; and a note on all."""

    known_low: str = ""
    known_high: str = ""
    files_hrc: Annotated[tuple[kinds.FileRating, ...], Field(min_length=1)] = kinds.FILES_HRC
    tester_u_hrc: Annotated[float, Field(strict=True, gt=0, le=5)] = 1.0
    oven_checked: kinds.Truth | None = None
    note: str = ""


class SteelRows(KnownSteels):
    """All that was seen of the steel, in the order of the work."""

    pieces: tuple[FoundPiece, ...] = ()
    heats: tuple[CouponHeat, ...] = ()
    tempers: tuple[CouponTemper, ...] = ()
    trials: tuple[CouponTrial, ...] = ()
    pack: Pack | None = None

    @model_validator(mode="before")
    @classmethod
    def _as_now(cls, data: Any) -> Any:
        return _mended(data, WRITTEN_NOW)

    @model_validator(mode="after")
    def _pieces_once(self) -> "SteelRows":
        names = [piece.id for piece in self.pieces]
        for name in (each for each in names if names.count(each) > 1):
            raise refuse(f'piece "{name}" stands twice', "give each piece its own id")
        for row in (*self.heats, *self.tempers, *self.trials):
            if row.piece is not None and names and row.piece not in names:
                raise refuse(f'"{row.piece}" is not a piece', f"known: {', '.join(names)}")
            if row.piece is None and row.blade is None and len(names) > 1:
                mend = f"add piece = one of: {', '.join(names)}"
                raise refuse("a row does not say which piece it belongs to", mend)
        refuse_unknown_packed(self.pack, self.piece_names)
        return self

    @property
    def piece_names(self) -> tuple[str, ...]:
        """Ids of the pieces; one unnamed piece where none is listed."""
        return tuple(piece.id for piece in self.pieces) or (ONLY_PIECE,)

    @property
    def empty(self) -> bool:
        """Whether nothing was entered that could be weighed."""
        return not (self.pieces or self.heats or self.tempers or self.trials)


class VerdictWishes(Record):
    """What the steel is for and what a mistake costs; what is left out keeps its default."""

    use: kinds.Use | None = None
    hardness_hrc: HardnessRange | None = None
    blade_hours: kinds.Hours | None = None
    known_steel_hours: kinds.Hours | None = None
    blades_wanted: Count | None = None
    piece: Name | None = None
    no_test: tuple[Annotated[str, kinds.OneOf(tuple(TESTS_BY_CODE))], ...] = ()
    tables: str | None = None
    edge_hrc: Annotated[float, Quantity("hrc", above=0)] | None = None

    @model_validator(mode="before")
    @classmethod
    def _as_now(cls, data: Any) -> Any:
        return _mended(data, VERDICT_NOW)


def steel_rows_of(study: Study) -> SteelRows:
    """The study's evidence, checked against its blades.

    Raises
    ------
    UnusableInput
        Naming key and mend; `ManyFaults` where there are several.
    """
    found = validate(SteelRows, dict(study.evidence or {}), IN_EVIDENCE)
    blades = {blade.id for blade in study.blades}
    for row in (*found.heats, *found.tempers, *found.trials):
        if row.blade is not None and row.blade not in blades:
            mend = f"known: {', '.join(sorted(blades))}" if blades else NO_BLADES
            raise UnusableInput(f'"{row.blade}" is not a blade of the study', IN_EVIDENCE, mend)
    for blade in study.blades:
        if blade.piece and found.pieces and blade.piece not in found.piece_names:
            what = f'blade {blade.id} comes from the unknown piece "{blade.piece}"'
            mend = f"known: {', '.join(found.piece_names)}; add it to [[evidence.pieces]]"
            raise UnusableInput(what, f"{STUDY_FILE}, blades", mend)
    return found


def verdict_wishes_of(study: Study) -> VerdictWishes:
    """The use and the losses that the study states; every fault names the key."""
    return checked_wishes(dict(study.verdict or {}), IN_VERDICT)


def checked_wishes(wishes: dict[str, Any], where: str) -> VerdictWishes:
    """Wishes as typed, each fault told of its place."""
    return validate(VerdictWishes, wishes, where)


def steel_faults(study: Study | None) -> list[UnusableInput]:
    """Everything that is wrong with a study's evidence and wishes, for a list of faults."""
    found: list[UnusableInput] = []
    if study is None:
        return found
    for read in (steel_rows_of, verdict_wishes_of):
        try:
            read(study)
        except UnusableInput as fault:
            found += getattr(fault, "faults", (fault,))
    return found
