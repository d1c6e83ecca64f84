"""How well the readings of a study repeat, kept in its folder for the fit and the plan."""

from datetime import date
from pathlib import Path
from typing import Annotated

from pydantic import Field

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import Record, read_toml, validate
from edgetest.store.field_kinds import Count, Day, Positive
from edgetest.store.files import locked
from edgetest.store.records import REPEATS_FILE, load_study
from edgetest.store.toml_edit import change_toml
from edgetest.study.words import counted


class KeptRepeats(Record):
    """One reading's repeatability: a table of `repeatability.toml`.

    `sd_repeat` and `sd_reproduce` are shares of the reading where `relative`, else in its unit.
    """

    sd_repeat: Positive
    sd_reproduce: Positive
    relative: Annotated[bool, Field(strict=True)]
    mean: Positive
    readings: Count
    people: Count = 1
    df: Count
    date: Day = ""
    table: str = ""
    note: str = ""

    def relative_at(self, value: float) -> float:
        """Relative standard uncertainty of one reading of this size."""
        return self.sd_repeat if self.relative else self.sd_repeat / value

    def words(self) -> str:
        """What it rests on: "12 readings by 2 people, repeats.csv, 2026-05-04"."""
        told = counted(self.readings, "reading")
        told += f" by {counted(self.people, 'person', 'people')}" if self.people > 1 else ""
        return ", ".join(part for part in (told, self.table, self.date) if part)


def kept_repeats(folder):
    """Repeatability of a study's readings, by the reading; {} where none is kept.

    Raises
    ------
    UnusableInput
        Naming table, key and mend of a fault in the file.
    """
    path = Path(folder) / REPEATS_FILE
    if not path.is_file():
        return {}
    found = {}
    for name, values in read_toml(path).items():
        where = f"{REPEATS_FILE}, {name}"
        if not isinstance(values, dict):
            raise UnusableInput("is not a table", where, f"write [{name}] and its keys")
        try:
            found[name] = validate(KeptRepeats, values, where)
        except UnusableInput as fault:
            anew = "or delete the file and run `edgetest repeatability` again"
            raise ManyFaults(
                UnusableInput(each.what, each.where, f"{each.mend}; {anew}")
                for each in getattr(fault, "faults", (fault,))
            ) from None
    return found


def keep_repeats(folder, reading, spread, *, table="", on=None):
    """Keep a repeatability with a study; that of the same reading is replaced.

    Parameters
    ----------
    folder : path-like
        The study.
    reading : str
        One of the readings that its protocol takes.
    spread : Repeatability
    table : str
        Name of the file that holds the repeated readings.
    on : date, optional
        Today, if not given.

    Returns
    -------
    Path
        `repeatability.toml` of the study.

    Raises
    ------
    UnusableInput
        A folder without a study, a reading that it does not take.
    """
    folder = Path(folder)
    names = [rule.name for rule in load_study(folder).rules.readings]
    if reading not in names:
        raise UnusableInput(
            f'"{reading}" is not read in this study', str(folder), f"one of: {', '.join(names)}"
        )
    kept = KeptRepeats(
        sd_repeat=_short(spread.sd_repeat),
        sd_reproduce=_short(spread.sd_reproduce),
        relative=spread.relative,
        mean=_short(spread.mean),
        readings=spread.readings,
        people=spread.set_ups,
        df=spread.df_repeat,
        date=(on or date.today()).isoformat(),
        table=table,
    )
    entry = {reading: kept.model_dump(exclude_defaults=True)}
    with locked(folder):
        return change_toml(folder / REPEATS_FILE, lambda before: before | entry)


def _short(number):
    """A number with the digits that are worth keeping."""
    return float(f"{number:.6g}")
