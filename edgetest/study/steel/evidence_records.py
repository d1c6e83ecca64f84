"""The evidence on an unknown steel as `[evidence]` and `[verdict]` of study.toml hold it."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from edgetest.errors import UnusableInput
from edgetest.store.checking import Record, bracket, refuse, validate
from edgetest.store.field_kinds import (
    Celsius,
    HardnessRange,
    Millimetres,
    Minutes,
    Name,
    Positive,
    in_celsius,
)
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.steel.pack_records import CarbonOfSteel, Martensite, Pack
from edgetest.study.steel.row_kinds import FILES_HRC, Count, Hardnesses, Hours

WHERE = f"{STUDY_FILE}, evidence"
AS_IT_IS, CARBURISED = ROUTES = ("as it is", "carburised")
CLEAR_COATINGS = ("none", "removed")
COATINGS = (*CLEAR_COATINGS, "plated", "galvanised", "painted", "leaded", "unknown")
OUTCOMES = ("sound", "warped", "warped past straightening", "cracked")
SPOILT = OUTCOMES[2:]
ONLY_PIECE = "1"
Route = Literal["as it is", "carburised"]
Medium = Literal["water", "oil", "air"]
Grade = Literal["fine", "medium", "coarse"]
Share = Annotated[float, Field(strict=True, gt=0, lt=1)]


Range = Annotated[tuple[float, float], bracket("hrc")]


class Piece(Record):
    """One piece of the salvaged steel: where it comes from and what the shop saw of it."""

    id: Name
    source: str = ""
    form: str = ""
    thickness_mm: Millimetres | None = None
    makes_blades: Annotated[float, Field(strict=True, ge=0)] | None = None
    coating: str = ""
    magnetic: Annotated[bool, Field(strict=True)] | None = None
    sparks: Literal["like_low", "between", "like_high"] | None = None
    spark_note: str = ""
    note: str = ""


class _Seen(Record):
    """On what a hardness was read: a coupon of a piece, or a blade of the study."""

    piece: Name | None = None
    blade: Name | None = None
    route: Route | None = None
    hardness: Hardnesses = ()
    scale: Literal["HRC", "HV", "HB"] = "HRC"
    note: str = ""

    @model_validator(mode="after")
    def _numbers_where_converted(self) -> "_Seen":
        if self.scale != "HRC" and any(isinstance(cell, str) for cell in self.hardness):
            raise refuse(f"a bracket in {self.scale}", "files are rated in HRC: leave scale out")
        return self


class Quenched(_Seen):
    """A coupon or blade straight from the quench: hardness, break, and whether it survived."""

    medium: Medium
    coupon_mm: Millimetres | None = None
    grain: Grade | None = None
    outcome: Literal["sound", "warped", "warped past straightening", "cracked"] | None = None
    count: Count = 1


class Tempered(_Seen):
    """A coupon or blade after a temper; one of them may be marked as the temper for use."""

    temperature_c: Celsius | None = None
    time_min: Minutes | None = None
    repeats: Count = 1
    for_use: Annotated[bool, Field(strict=True)] = False

    _in_celsius = model_validator(mode="before")(in_celsius)


class Analysis(Record):
    """Carbon by a laboratory."""

    carbon_pct: CarbonOfSteel
    carbon_u_pct: Annotated[float, Field(strict=True, gt=0)] = 0.02
    by: str = ""


class Evidence(Record):
    """All that was seen of the steel, in the order of the work."""

    known_low: str = ""
    known_high: str = ""
    files_hrc: tuple[Positive, ...] = FILES_HRC
    section_mm: Millimetres | None = None
    martensite: tuple[Martensite, Martensite] | None = None
    pieces: tuple[Piece, ...] = ()
    quenched: tuple[Quenched, ...] = ()
    tempered: tuple[Tempered, ...] = ()
    pack: Pack | None = None
    analysis: Analysis | None = None
    note: str = ""

    @model_validator(mode="after")
    def _pieces_once(self) -> "Evidence":
        names = [piece.id for piece in self.pieces]
        for name in names:
            if names.count(name) > 1:
                raise refuse(f'piece "{name}" stands twice', "give each piece its own id")
        for row in (*self.quenched, *self.tempered):
            if row.piece is not None and names and row.piece not in names:
                raise refuse(f'"{row.piece}" is not a piece', f"known: {', '.join(names)}")
            if row.piece is None and row.blade is None and len(names) > 1:
                raise refuse("a reading does not say on which piece", f"add piece = one of {names}")
        return self

    @property
    def piece_names(self) -> tuple[str, ...]:
        """Ids of the pieces; one unnamed piece where none is listed."""
        return tuple(piece.id for piece in self.pieces) or (ONLY_PIECE,)


class Wishes(Record):
    """Criteria and losses as a maker states them; what is left out keeps its default."""

    piece: Name | None = None
    life_ratio: Positive | None = None
    life_ratio_light: Positive | None = None
    hardness_hrc: HardnessRange | None = None
    hardness_light_hrc: HardnessRange | None = None
    damage_per_100: Positive | None = None
    damage_light_per_100: Positive | None = None
    edge_hrc: Positive | None = None
    edge_light_hrc: Positive | None = None
    cracked_share: Share | None = None
    cracked_light_share: Share | None = None
    leave_out: tuple[Literal["life", "hardness", "edge"], ...] = ()
    least_blades: Positive | None = None
    wrong_reuse_h: Hours | None = None
    wrong_discard_h: Hours | None = None
    test_hours: dict[str, Hours] = Field(default_factory=dict)
    no_test: tuple[str, ...] = ()


def evidence_of(study: Study) -> Evidence:
    """The study's evidence, checked against its blades.

    Raises
    ------
    UnusableInput
        Naming key and mend; `ManyFaults` where there are several.
    """
    found = validate(Evidence, dict(study.evidence or {}), WHERE)
    blades = {blade.id for blade in study.blades}
    for row in (*found.quenched, *found.tempered):
        if row.blade is not None and row.blade not in blades:
            mend = f"known: {', '.join(sorted(blades))}"
            raise UnusableInput(f'"{row.blade}" is not a blade of the study', WHERE, mend)
    pieces = found.piece_names
    for blade in study.blades:
        if blade.piece and found.pieces and blade.piece not in pieces:
            raise UnusableInput(
                f'blade {blade.id} comes from the unknown piece "{blade.piece}"',
                f"{STUDY_FILE}, blades",
                f"known: {', '.join(pieces)}; add it to [[evidence.pieces]]",
            )
    return found


def steel_faults(study: Study | None) -> list[UnusableInput]:
    """Everything that is wrong with a study's evidence and wishes, for a list of faults."""
    found: list[UnusableInput] = []
    if study is None:
        return found
    for read in (evidence_of, wishes_of):
        try:
            read(study)
        except UnusableInput as fault:
            found += getattr(fault, "faults", (fault,))
    return found


def wishes_of(study: Study) -> Wishes:
    """The study's criteria and losses; every fault names the key."""
    return validate(Wishes, dict(study.verdict or {}), f"{STUDY_FILE}, verdict")
