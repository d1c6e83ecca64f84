"""Open what an analysis starts from: a study's folder, or one log on its own."""

from dataclasses import dataclass
from pathlib import Path

from edgetest.doubts import Doubt
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.cells import Reading
from edgetest.store.checking import read_toml
from edgetest.store.chop_log import ChopLog, read_chops
from edgetest.store.history import notice_edits
from edgetest.store.logs import LIFE, Log, read_log
from edgetest.store.protocol import Protocol
from edgetest.store.records import STUDY_FILE, Study, load_study
from edgetest.store.study_paths import refuse_links
from edgetest.store.tables import read_table
from edgetest.store.workspace import log_path


@dataclass(frozen=True)
class Source:
    """A log with the study and the protocol it belongs to, where it belongs to one."""

    path: Path
    log: Log
    study: Study | None = None
    protocol: Protocol | None = None
    chops: ChopLog | None = None

    @property
    def title(self):
        """What the source is called in answers and documents."""
        return self.study.title if self.study else self.path.stem

    @property
    def photos_folder(self):
        """Where the photographs named in the log lie."""
        return self.path / "photos" if self.study else self.path.parent / "photos"

    @property
    def chop_test(self):
        """Whether all there is are chops: there is no wear curve then."""
        return self.chops is not None and not self.log.rows

    @property
    def faults(self):
        """Everything that is wrong with the log, and the chop log, in the order of the rows."""
        return (*self.log.faults, *(self.chops.faults if self.chops else ()))

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """None: a log that was only read has said nothing yet that could be doubted."""
        return ()

    def summary(self):
        """What the log holds."""
        rows, what = self._rows(), "chop log" if self.chop_test else "log"
        blades = len({row["blade"] for row in rows})
        return (
            f"{self.title}: {what} of {len(rows)} row{'s' * (len(rows) != 1)} "
            f"on {blades} blade{'s' * (blades != 1)}"
        )

    def to_dict(self):
        """Plain values for JSON: the title, the rows without their blank cells, the faults."""
        filled = [
            {name: cell for name, cell in row.items() if cell is not None and cell != ""}
            for row in self._rows()
        ]
        return {
            "title": self.title,
            "rows": filled,
            "faults": [str(fault) for fault in self.faults],
        }

    def _rows(self):
        """Every row as cells by column, readings among them."""
        held = self.log.rows if self.chops is None or self.log.rows else self.chops.rows
        rows = [dict(vars(row)) for row in held]
        cells = [row.pop("readings", {}) | row for row in rows]
        for row in cells:
            row.pop("from_board", None)  # a mark of the reckoning, no column of a log
            if LIFE in row:
                del row["cuts"]
        return [{name: cell_of(cell) for name, cell in row.items()} for row in cells]

    def to_frame(self):
        """One row of the log a row, without columns that nobody filled; of chops if that is all.

        Returns
        -------
        pandas.DataFrame
            `line` is the row's number in the file. A reading is a number; a grade or a bound
            stands as text, such as "<2.5".
        """
        import pandas as pd

        frame = pd.DataFrame(self._rows())
        return frame.loc[:, [not frame[name].isin(["", None]).all() for name in frame]]


def cell_of(cell):
    """A reading as a number or as text such as "<20"; any other cell as it is."""
    if not isinstance(cell, Reading) or cell.value is not None:
        return cell.value if isinstance(cell, Reading) else cell
    low, high = (None if end is None else f"{end:g}" for end in (cell.lower, cell.upper))
    if low and high:
        return f"{low}-{high}"
    return f"<{high}" if high else f">{low}" if low else cell.text


def open_source(path):
    """A study folder (or its study.toml), or a CSV or XLSX log on its own.

    Raises
    ------
    UnusableInput
        If there is no such thing, or a study has no log. Faults of the log's rows are not
        raised here: they stand in `faults`.
    """
    path = _place(path)
    if path.is_file():
        return _open_file(path, read_table(path))
    refuse_links(path)
    study = _study_of(path)
    notice_edits(path)
    log_file = log_path(path)
    if log_file is None:
        log = Log("log.csv", (), ())
        if study.rules.log == "log" and not study.of_steel:
            raise UnusableInput("there is no log.csv or log.xlsx here", str(path), _no_log(path))
    else:
        log = read_log(log_file, study=study)
    chops = _chops_of(path, study)
    if chops is None and study.rules.log == "chops":
        _shapes_or_refuse(path, study)
    return Source(path, log, study, study.rules, chops)


def _no_log(folder):
    """What to do where a study's folder holds no log."""
    for path in sorted(folder.iterdir()):
        if path.name in ("log.csv", "log.xlsx"):  # it is no file, or it would have been read
            kind = "a folder" if path.is_dir() else "no file"
            return f"{path.name} is {kind}: rename it, and put the log there as a file"
        if path.suffix.lower() in (".csv", ".xlsx", ".xls", ".ods", ".txt", ".tsv") and (
            "log" in path.stem.casefold() and not path.stem.startswith("log_before_")
        ):
            as_csv = path.suffix.lower() not in (".csv", ".xlsx")
            how = (
                "save it as CSV UTF-8 called log.csv"
                if as_csv
                else f"rename it log{path.suffix.lower()}"
            )
            return f"{path.name} lies there: {how}"
    return "`edgetest new` writes an empty one, log.csv; put the readings into it"


def open_table(table):
    """A log that is held in memory: a wear log, or a chop log by its columns."""
    return _open_file(Path(table.name), table)


def _open_file(path, table):
    """The source that one table is, a wear log or a chop log."""
    if is_chop_log(table):
        return Source(path, Log(table.name, (), ()), chops=read_chops(table))
    return Source(path, read_log(table))


def open_chops(path):
    """A chop test: a study folder (or its study.toml), or a chop log on its own.

    A wear log beside it is not read: `log` is empty. A study that has shapes or handling and no
    chop log yet is opened with an empty one.

    Raises
    ------
    UnusableInput
        If there is no such thing, a log holds cuts, or a study has no chops, shapes or handling.
    """
    path = _place(path)
    if path.is_file():
        if "cuts" in read_table(path).columns:
            mend = "give a log with the columns kind and chops, or fit this one"
            raise UnusableInput("is a log of cuts, not of chops", path.name, mend)
        return Source(path, Log(path.name, (), ()), chops=read_chops(path))
    refuse_links(path)
    study = _study_of(path)
    chops = _chops_of(path, study)
    if chops is None:
        _shapes_or_refuse(path, study)
        chops = ChopLog("chops.csv", (), ())
    return Source(path, Log("log.csv", (), ()), study, study.rules, chops)


def _place(path):
    """The file or folder; a study.toml stands for its folder."""
    path = Path(path)
    if not path.exists():
        raise UnusableInput("there is no such file or folder", str(path), "check the name")
    return path.parent if path.name == STUDY_FILE else path


def _study_of(folder):
    """The study of a folder; where it has faults, those of its tools' tables with them."""
    try:
        return load_study(folder)
    except ManyFaults as many:
        from edgetest.study.chop.chop_faults import faults_of_tables

        more = faults_of_tables(read_toml(folder / STUDY_FILE))
        raise ManyFaults([*many.faults, *more]) from None


def _chops_of(folder, study):
    """The chop log of a study, or None."""
    file = log_path(folder, "chops")
    return read_chops(file, study) if file is not None else None


def _shapes_or_refuse(folder, study):
    """A chop test without a chop log says something only where a tool is weighed or drawn."""
    if not (study.handling or study.outline):
        raise UnusableInput(
            "there is no chops.csv or chops.xlsx here",
            where=str(folder),
            mend="type the first piece with `edgetest enter`, which begins one; `edgetest new` "
            "with the protocol billet_chop begins a new study with one",
        )


def is_chop_log(table):
    """Whether a table of its own is a chop log: it has kinds of work or chops, and no cuts."""
    columns = read_table(table).columns
    return not {"cuts", LIFE} & set(columns) and ("kind" in columns or "chops" in columns)


def sound(source):
    """The source itself, or all faults of its log raised together."""
    source.log.require()
    return source
