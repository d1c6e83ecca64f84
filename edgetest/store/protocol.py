"""One standard procedure as a record: medium, cut, stages, readings, limit, cautions."""

from difflib import get_close_matches
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.no_numbers import shortened
from edgetest.store.checking import Record, read_toml, refuse, validate
from edgetest.store.field_kinds import Count, CountFromZero, Degrees, MillimetresFromZero
from edgetest.store.places import shipped
from edgetest.store.study_paths import LONGEST_NAME
from edgetest.units import SHOWN, UNITS, as_typed

Text = Annotated[str, Field(min_length=1)]
Stroke = Literal["push", "draw", "chop"]


class Medium(Record):
    """What is cut, and what counts as one batch of it."""

    kind: Text
    size: Text
    batch: Text
    source: Text


class Cut(Record):
    """How one cut is made."""

    stroke: Stroke
    length_used_mm: MillimetresFromZero | None = None
    backing: Text
    how: Text
    source: Text


class ReadingRule(Record):
    """One reading taken at a stage; its name is the log's column and ends in its unit."""

    name: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    title: Text
    kind: Literal["number", "grade", "pass_fail"] = "number"
    unit: str = ""
    check: Text
    repeats: Count = 1
    at_stations: Annotated[bool, Field(strict=True)] = False
    all_stations_at: Literal["every stage", "first and last stage"] = "every stage"
    dulling: Literal["rises", "falls"] = "rises"
    law: str | None = None
    source: Text

    @model_validator(mode="after")
    def _name_and_law(self) -> "ReadingRule":
        if self.law is not None:
            from edgetest.wear.curve.laws import LAWS

            if self.law not in LAWS:
                raise refuse(f'"{self.law}" is not a law', f"write one of {', '.join(LAWS)}")
        if self.kind != "number":
            return self
        suffix = unit_of(self.name)
        if suffix is None:
            known = ", ".join(f"_{unit}" for unit in (*UNITS, "count"))
            raise refuse(f'"{self.name}" does not say its unit', f"end the name in one of {known}")
        shown = SHOWN.get(suffix, "" if suffix == "count" else suffix)
        if self.unit != shown:
            raise refuse(f'"{self.name}" has unit = "{self.unit}"', f'write unit = "{shown}"')
        return self


class EdgePreparation(Record):
    """The edge that goes into the test; angles always say per side or included."""

    angle_per_side_deg: Degrees | None = None
    included_angle_given_deg: Degrees | None = Field(None, alias="included_angle_deg")
    finish: Text
    wire_edge: Text
    source: Text

    @model_validator(mode="after")
    def _one_angle(self) -> "EdgePreparation":
        one_angle(self.angle_per_side_deg, self.included_angle_given_deg)
        return self

    @property
    def included_angle_deg(self) -> float | None:
        """Included angle, degrees; None where the procedure leaves it open."""
        if self.angle_per_side_deg is not None:
            return 2 * self.angle_per_side_deg
        return self.included_angle_given_deg


class Limit(Record):
    """The reading at which a blade's life ends; `value` is a number or a grade."""

    reading: Text
    value: Annotated[float, Field(strict=True)] | str
    why: Text
    source: Text


class Condition(Record):
    """One fixed setting of the test, with what is known of where it comes from."""

    name: Text
    value: Text
    source: Text


class Sources(Record):
    """Where the lists of a protocol come from."""

    stages: Text
    stations: Text = "common practice, no source"
    control_blade: Text
    cautions: Text


class Protocol(Record):
    """One standard procedure."""

    id: Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
    title: Text
    purpose: Text
    log: Literal["log", "chops"] = "log"
    life_unit: Literal["cuts", "chops"] = "cuts"
    medium: Medium
    cut: Cut
    stages: tuple[CountFromZero, ...] = Field(min_length=1)
    stations_mm: tuple[MillimetresFromZero, ...] = ()
    readings: tuple[ReadingRule, ...] = Field(min_length=1)
    ladder: tuple[Text, ...] = ()
    edge_preparation: EdgePreparation
    control_blade: Text
    limit: Limit | None = None
    conditions: tuple[Condition, ...] = ()
    chop_kinds: tuple[Text, ...] = ()
    closing: tuple[Text, ...] = ()
    cautions: tuple[Text, ...] = Field(min_length=1)
    notes: str = ""
    sources: Sources

    @field_validator("stages")
    @classmethod
    def _stages_rise(cls, stages: tuple[int, ...]) -> tuple[int, ...]:
        for before, after in pairwise(stages):
            if after <= before:
                raise refuse(
                    f"stage {after} stands after stage {before}",
                    "stages are cumulative cuts and rise",
                )
        return stages

    @model_validator(mode="after")
    def _fits_together(self) -> "Protocol":
        names = [rule.name for rule in self.readings]
        for name in names:
            if names.count(name) > 1:
                raise refuse(f'reading "{name}" stands twice', "give each reading its own name")
        if any(rule.kind == "grade" for rule in self.readings) and len(self.ladder) < 2:
            raise refuse("a graded reading needs a ladder", "add ladder = [best, …, worst]")
        if len({grade.casefold() for grade in self.ladder}) < len(self.ladder):
            raise refuse("a grade of the ladder stands twice", "name each grade once")
        if (self.log == "chops") != bool(self.chop_kinds):
            raise refuse(
                "chop_kinds and the log do not agree",
                'a chop test has log = "chops" and chop_kinds = ["billet"]; a cut test neither',
            )
        if any(rule.at_stations for rule in self.readings) and not self.stations_mm:
            raise refuse("a reading at stations needs stations", "add stations_mm = [10, 20, …]")
        if self.limit:
            self._limit_fits(self.limit, names)
        return self

    def _limit_fits(self, limit: Limit, names: list[str]) -> None:
        if limit.reading not in names:
            raise refuse(
                f'limit is on "{limit.reading}", which is not read', f"read one of {names}"
            )
        rule = self.reading(limit.reading)
        if rule.kind == "number" and isinstance(limit.value, str):
            raise refuse(f'limit "{limit.value}" is not a number', "write digits without quotes")
        if rule.kind == "grade" and limit.value not in self.ladder:
            raise refuse(f'limit "{limit.value}" is not on the ladder', f"one of {self.ladder}")

    def to_toml_dict(self) -> dict[str, Any]:
        """What goes into a protocol's file: keys as written there, nothing that is unset."""
        return self.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True)

    def reading(self, name: str) -> ReadingRule:
        """The rule of one reading; KeyError where the protocol does not take it."""
        for rule in self.readings:
            if rule.name == name:
                return rule
        raise KeyError(name)


def unit_of(name: str) -> str | None:
    """The unit in which a column or key such as `sever_force_gf` is kept; None if it names none."""
    suffix = "count" if name == "chops" else name.rpartition("_")[2]
    return suffix if suffix in UNITS or suffix == "count" else None


def one_angle(per_side: float | None, included: float | None) -> None:
    """Refuse two angles at once, and angles no edge has."""
    if per_side is not None and included is not None:
        raise refuse(
            "both angle_per_side_deg and included_angle_deg are given", "keep the one you measured"
        )
    whole = included if included is not None else 2 * (per_side or 0.0)
    if whole >= 120:
        raise refuse(
            f"an edge of {whole:g}° included does not cut",
            "angle_per_side_deg is half of included_angle_deg",
        )


# "sisal" is 0.67 like sisal_rope; "billhook", a tool, 0.63 like billet_chop.
LIKE_ENOUGH = 0.65


def protocol_ids() -> list[str]:
    """Names of the procedures that come with the program."""
    return sorted(path.stem for path in shipped("protocols").glob("*.toml"))


def load_protocol(name: str | Path, folder: str | Path | None = None) -> Protocol:
    """A procedure by its id, or from a TOML file (looked for in `folder` first).

    Raises
    ------
    UnusableInput
        If there is none of that name, or naming file, key and mend for every fault in it.
    """
    text = str(name)
    if len(text.encode()) > LONGEST_NAME:
        what = f'"{shortened(text)}" is longer than the name of a file may be'
        raise UnusableInput(what, "protocol", "shorten it; `edgetest protocols` lists those known")
    if text.endswith(".toml"):
        path = Path(folder) / text if folder is not None else Path(text)
        if folder is not None and not path.is_file():
            what = f"{text} is not in {Path(folder)}"
            mend = (
                "put your protocol's file there, or write the id of one that `edgetest protocols` "
            )
            raise UnusableInput(what, "protocol", f"{mend}lists")
    else:
        path = shipped("protocols") / f"{text}.toml"
        if not path.is_file():
            titled = [each for each in protocol_ids() if text == load_protocol(each).title]
            near = titled or get_close_matches(
                text.replace(" ", "_"), protocol_ids(), n=1, cutoff=LIKE_ENOUGH
            )
            meant = f'did you mean "{near[0]}"? ' if near else ""
            mend = f"{meant}`edgetest protocols` lists {', '.join(protocol_ids())}"
            mend += "; one of your own is the name of a .toml file in the study's folder"
            raise UnusableInput(f'"{text}" is not a protocol', "protocol", mend)
    return _load(path.resolve(), path.stat().st_mtime_ns if path.is_file() else 0)


def own_or_shipped(name: str, folder: str | Path) -> tuple[Protocol, Path | None]:
    """A procedure, and the file of one's own that it was read from, None where it is shipped.

    A .toml file is looked for in the study's folder first, then where the name leads from here.
    """
    if not str(name).endswith(".toml"):
        return load_protocol(name), None
    inside, here = Path(folder) / name, Path(name)
    path = inside if inside.is_file() or not here.is_file() else here
    return load_protocol(path.name, path.parent), path


@lru_cache(maxsize=64)
def _load(path: Path, _changed_ns: int) -> Protocol:
    """One file; kept until it changes."""
    protocol = validate(Protocol, read_toml(path), path.name)
    if protocol.id != path.stem:
        raise ManyFaults(
            [
                UnusableInput(
                    f'"{protocol.id}" is not the name of the file',
                    where=f"{path.name}, id",
                    mend=f'write id = "{path.stem}" or rename the file',
                )
            ]
        )
    return protocol


def describe(protocol: Protocol) -> str:
    """The procedure in a sentence, for a document."""
    cut, medium = protocol.cut, protocol.medium
    length = cut.length_used_mm
    used = f" with {as_typed(length, 'mm')} of the edge" if length is not None else ""
    verb = {"push": "push cuts", "draw": "draw cuts", "chop": "chops"}[cut.stroke]
    return (
        f"{medium.kind[:1].upper()}{medium.kind[1:]} ({medium.size}); {verb}{used}; "
        f"{_backing_words(cut.backing)}; {_stage_words(protocol)}."
    )


def _backing_words(backing):
    """What lies behind the cut; "none: the sheet hangs" is no thing, but "no backing" is."""
    return f"no backing{backing[4:]}" if backing.startswith("none") else backing


def _stage_words(protocol: Protocol) -> str:
    stages = protocol.stages
    if protocol.log == "chops" and stages == tuple(range(1, len(stages) + 1)):
        return f"{len(stages)} pieces a blade at the least, all blades in turn"
    places = ""
    if protocol.stations_mm and any(rule.at_stations for rule in protocol.readings):
        *before, last = (as_typed(station, "mm") for station in protocol.stations_mm)
        places = f"{', '.join(before)} and {last}" if before else last
        places = f" at {places} from the heel,"
    if len(stages) <= 12:
        told = ", ".join(str(stage) for stage in stages)
        return f"read{places} at {told} {protocol.life_unit}"
    return (
        f"read{places} at {len(stages)} stages from {stages[0]} to {stages[-1]} "
        f"{protocol.life_unit}"
    )
