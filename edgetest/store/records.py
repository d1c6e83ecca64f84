"""Study, scale and the limit of a life: what `study.toml` holds."""

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    Field,
    PrivateAttr,
    model_validator,
)

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.checking import Record, read_toml, refuse, validate
from edgetest.store.field_kinds import (
    Day,
    Number,
    Share,
    Title,
    TitleOrNone,
)
from edgetest.store.heat_treatments import HeatTreatment
from edgetest.store.own_woods import OwnWood
from edgetest.store.protocol import Protocol, load_protocol
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.study_paths import file_named
from edgetest.store.study_sections import PlanTable, Settings

STUDY_FILE = "study.toml"
REPEATS_FILE = "repeatability.toml"  # how well its readings repeat, kept beside it
STEEL_PROTOCOL = "sisal_rope"  # of a study of a steel that names none: its trial blade cuts rope


class Study(Record):
    """One study: its blades, its heat treatments, its protocol and its limit."""

    title: Title
    protocol: str
    invented: Annotated[bool, Field(strict=True)] = False
    reading: str | None = None
    limit: Number | str | None = None
    control: str | None = None
    reference: str | None = None
    maker: TitleOrNone = ""
    tested_by: TitleOrNone = ""
    date: Day = ""
    notes: str = ""
    edge_width_from: Literal["photographs", "log"] = "photographs"
    # Standard uncertainty, as a share, of the scale that widths are typed by.
    typed_scale_u: Share | None = None
    scale: ScaleRule | None = None
    scales: dict[str, ScaleRule] = Field(default_factory=dict)
    heat_treatments: tuple[HeatTreatment, ...] = ()
    blades: tuple[Blade, ...]
    woods: tuple[OwnWood, ...] = ()
    chop_to: tuple[str, ...] = ()  # pieces to reckon strokes for: "English oak 90x60 flat"
    # Sections that later rooms read by their own records.
    plan: dict[str, Any] | None = None
    handling: dict[str, Any] | None = None
    outline: dict[str, Any] | None = None
    evidence: dict[str, Any] | None = None
    verdict: dict[str, Any] | None = None
    document: dict[str, Any] | None = None

    _folder: Path | None = PrivateAttr(None)
    _rules: Protocol | None = PrivateAttr(None)

    @model_validator(mode="before")
    @classmethod
    def _of_a_steel(cls, data: Any) -> Any:
        """A steel can be judged before there is a blade, or a protocol to test it by."""
        begun = isinstance(data, dict) and not {"protocol", "blades"} & data.keys()
        if begun or (isinstance(data, dict) and {"evidence", "verdict"} & data.keys()):
            return {"protocol": "", "blades": (), **data}
        return data

    @model_validator(mode="after")
    def _names_meet(self) -> "Study":
        treatments = _unique("heat treatment", [item.id for item in self.heat_treatments])
        blades = _unique("blade", [item.id for item in self.blades])
        _unique("wood", [item.name.casefold() for item in self.woods])
        if not blades and not self.of_steel:
            raise refuse("the study has no blade", "add [[blades]] with an id")
        for blade in self.blades:
            if blade.heat_treatment is not None and blade.heat_treatment not in treatments:
                raise refuse(
                    f'blade {blade.id} has the unknown heat treatment "{blade.heat_treatment}"',
                    f"known: {', '.join(treatments) or 'none, add [[heat_treatments]]'}",
                )
        for role, name in (("control", self.control), ("reference", self.reference)):
            if name is not None and name not in blades:
                raise refuse(f'{role} "{name}" is not a blade', f"known: {', '.join(blades)}")
        return self

    @property
    def of_steel(self) -> bool:
        """Whether the study judges a steel: then it needs no blade, log or protocol to begin."""
        told = self.evidence is not None or self.verdict is not None
        return told or not (self.protocol or self.blades)

    @property
    def protocol_name(self) -> str:
        """The protocol it names; of a steel that names none, the one of its trial blade."""
        return self.protocol or STEEL_PROTOCOL

    @property
    def folder(self) -> Path:
        """Where the study lies on disk."""
        if self._folder is None:
            raise UnusableInput("is not on disk yet", where=self.title, mend="save it first")
        return self._folder

    @property
    def rules(self) -> Protocol:
        """The protocol itself (`protocol` is its name)."""
        if self._rules is None:
            return load_protocol(self.protocol_name, self._folder)
        return self._rules

    @property
    def reading_name(self) -> str:
        """The reading whose growth is life: the study's, else the protocol's."""
        limit = self.rules.limit
        return self.reading or (limit.reading if limit else self.rules.readings[0].name)

    @property
    def limit_value(self) -> float | str | None:
        """The limit that ends a life: the study's, else the protocol's, else None."""
        limit = self.rules.limit
        if self.limit is not None or limit is None or limit.reading != self.reading_name:
            return self.limit
        return limit.value

    def blade(self, name: str) -> Blade:
        """One blade by its id; KeyError if there is none."""
        for blade in self.blades:
            if blade.id == name:
                return blade
        raise KeyError(name)

    def heat_treatment(self, name: str) -> HeatTreatment:
        """One heat treatment by its id; KeyError if there is none."""
        for treatment in self.heat_treatments:
            if treatment.id == name:
                return treatment
        raise KeyError(name)

    def heat_treatment_of(self, blade: str) -> str | None:
        """Id of a blade's heat treatment."""
        return self.blade(blade).heat_treatment

    def to_toml_dict(self) -> dict[str, Any]:
        """What goes back into study.toml: keys as written there, nothing that is unset."""
        return self.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True)


def _unique(kind: str, names: list[str]) -> list[str]:
    for name in names:
        alike = [other for other in names if other.casefold() == name.casefold()]
        if len(alike) > 1:
            twice = "stands twice" if alike[0] == alike[1] else f'and "{alike[1]}" are alike'
            raise refuse(f'{kind} "{name}" {twice}', "give each its own id")
    return names


def load_study(folder: str | Path) -> Study:
    """The study of a folder (or of its study.toml), with its protocol.

    Raises
    ------
    UnusableInput
        Naming file, key and mend; `ManyFaults` where there are several.
    """
    path = Path(folder)
    path = path if path.name == STUDY_FILE else path / STUDY_FILE
    if not path.is_file():
        raise UnusableInput("there is no study.toml here", str(folder), _missing(path.parent))
    return study_of(read_toml(path), path.parent)


def _missing(folder: Path) -> str:
    """What to do where a folder holds no study.toml."""
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    for name in names:
        if name == STUDY_FILE:  # it is no file, or it would have been read
            return f"what is called {name} is no file: rename it, and put the study's own there"
        if name.casefold() in (STUDY_FILE, "study.txt", "study.toml.txt", "study"):
            return f"{name} lies there: rename it {STUDY_FILE}"
    within = [name for name in names if (folder / name / STUDY_FILE).is_file()]
    if within:
        return f"name the folder of a study: {', '.join(str(folder / name) for name in within[:3])}"
    return "name the folder of a study, or make one with `edgetest new`"


def study_of(tables: dict[str, Any], folder: Path) -> Study:
    """The study that the tables of a study.toml in a folder describe; faults as `load_study`."""
    if not tables:
        mend = (
            'write title = "…", protocol = "sisal_rope" and [[blades]], or let `edgetest new` do it'
        )
        raise UnusableInput("is empty", STUDY_FILE, mend)
    study = _read_whole(tables)
    study._folder = folder
    if study.protocol.endswith(".toml"):
        file_named(folder, study.protocol, f"{STUDY_FILE}, protocol")
    try:
        study._rules = load_protocol(study.protocol_name, folder)
    except ManyFaults:
        raise
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{STUDY_FILE}, protocol", fault.mend) from None
    _fits_protocol(study)
    return study


def _read_whole(tables: dict[str, Any]) -> Study:
    """The study, or the faults of it and of its sections all at once."""
    faults: list[UnusableInput] = []
    for name, section in (("plan", PlanTable), ("document", Settings)):
        held = tables.get(name)
        try:
            if isinstance(held, dict):  # what else stands there is a fault of the study
                validate(section, held, f"{STUDY_FILE}, {name}", root=Study)
        except ManyFaults as many:
            faults += many.faults
    try:
        study = validate(Study, tables, STUDY_FILE)
    except ManyFaults as many:
        raise ManyFaults([*many.faults, *faults]) from None
    if faults:
        raise ManyFaults(faults)
    return study


def _fits_protocol(study: Study) -> None:
    """Refuse a reading the protocol does not take and a limit of the wrong kind."""
    rules, name = study.rules, study.reading_name
    names = [rule.name for rule in rules.readings]
    if name not in names:
        raise UnusableInput(
            f'"{name}" is not read by the protocol {rules.id}',
            where=f"{STUDY_FILE}, reading",
            mend=f"write one of {', '.join(names)}",
        )
    limit = rules.limit
    if rules.log == "chops" and study.limit is not None and limit and name != limit.reading:
        raise UnusableInput(
            f'the limit of this test is on {limit.reading}, not on "{name}"',
            where=f"{STUDY_FILE}, reading",
            mend=f"leave reading out; leave limit out too if it was not meant of {limit.reading}: "
            "after how many strokes an edge is due the answer tells itself",
        )
    if isinstance(study.limit, str) and rules.reading(name).kind == "number":
        raise UnusableInput(
            f'"{study.limit}" is not a number',
            where=f"{STUDY_FILE}, limit",
            mend="write digits without quotes",
        )
    if not isinstance(study.limit, str) and study.limit is not None and study.limit <= 0:
        raise UnusableInput(
            f"{study.limit:g} is not above zero",
            where=f"{STUDY_FILE}, limit",
            mend="write the reading at which the edge counts as dull",
        )
