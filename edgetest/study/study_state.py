"""Where a study stands: rows, photographs measured and refused, faults, what is next."""

from dataclasses import dataclass
from pathlib import Path

from edgetest.store.logs import LIFE
from edgetest.study.photos.measured_table import read_measured
from edgetest.study.sources import open_source
from edgetest.study.wear.photo_values import PHOTOGRAPHED
from edgetest.study.words import counted

NEXT = {
    "mend": "mend the faults of its log",
    "cut": "cut and read: the log is empty",
    "steel": "see what its steel wants next",
    "measure": "measure its photographs",
    "limit": "say at which limit a blade's life ends",
    "treatments": "name a heat treatment for two groups of blades",
    "answer": "see its answer",
}


@dataclass(frozen=True)
class StudyState:
    """One study in counts; `next` is a code of `NEXT`."""

    title: str
    protocol: str
    invented: bool
    chops: bool
    blades: int
    rows: int
    photos: int
    measured: int
    refused: int
    missing: int
    faults: int
    next: str

    @property
    def to_measure(self):
        """Photographs that are there and not measured."""
        return self.photos - self.missing - self.measured - self.refused

    def summary(self):
        """The counts in a line."""
        parts = [counted(self.blades, "blade"), counted(self.rows, "row")]
        if self.photos:
            photos = counted(self.photos, "photograph")
            parts.append(photos if self.chops else f"{self.measured} of {photos} measured")
        parts += [f"{self.refused} refused"] * bool(self.refused)
        parts += [f"{self.missing} missing"] * bool(self.missing)
        parts += [counted(self.faults, "fault")] * bool(self.faults)
        return ", ".join(parts)


def state_of(folder):
    """The state of the study in a folder; nothing is measured or fitted for it.

    Raises
    ------
    UnusableInput
        Where study.toml cannot be read.
    """
    return state_of_source(open_source(Path(folder)))


def state_of_source(source):
    """The state of a study that is open."""
    study, chops = source.study, source.protocol.log == "chops"
    rows = source.chops.rows if chops and source.chops else source.log.rows
    filled = [row for row in rows if not row.waiting]
    names = {row.photo for row in rows if row.photo}
    there = {name for name in names if (source.photos_folder / name).is_file()}
    status = [row["numbers"]["status"] for name, row in read_measured(source.path).items()
              if name in there]  # fmt: skip
    counts = {
        "photos": len(names),
        "measured": status.count("measured"),
        "refused": status.count("refused"),
        "missing": len(names) - len(there),
        "faults": len(source.faults),
    }
    waiting = len(there) - len(status)
    return StudyState(
        title=source.title,
        protocol=source.protocol.title,
        invented=study.invented,
        chops=chops,
        blades=len(study.blades),
        rows=len(filled),
        next=_next(source, filled, waiting),
        **counts,
    )


def _next(source, filled, waiting):
    """The first thing that stands between a study and its answer."""
    study = source.study
    if source.faults:
        return "mend"
    if not filled:
        return "steel" if study.of_steel else "cut"
    if source.protocol.log == "chops":
        return "answer"
    if LIFE in source.log.reading_names:
        return _compared(study, filled)
    if waiting and study.reading_name in PHOTOGRAPHED:
        return "measure"
    if study.limit_value is None:
        return "limit"
    return _compared(study, filled)


def _compared(study, filled):
    """Whether there are two heat treatments to compare."""
    groups = {study.heat_treatment_of(row.blade) for row in filled if row.blade != study.control}
    return "answer" if len(groups - {None}) > 1 else "treatments"
