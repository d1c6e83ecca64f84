"""Where are the tables behind the verdict on a steel: ours, or the maker's own file?"""

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.steel.own_pieces import own_pieces
from edgetest.steel.steel_seen import ORIGINS
from edgetest.steel.steel_tables import SteelTables, steel_tables
from edgetest.store.checking import read_toml
from edgetest.store.records import STUDY_FILE
from edgetest.store.study_paths import file_named

OURS = Path(__file__).with_name("steel_tables.toml")


@cache
def _ours() -> SteelTables:
    return steel_tables(tomllib.loads(OURS.read_text(encoding="utf-8")))


def own_tables_file(study, name) -> Path | None:
    """The file that `tables` in `[verdict]` names; None where it names none.

    Raises
    ------
    UnusableInput
        If it leads outside the study.
    """
    return file_named(study.folder, name, f"{STUDY_FILE}, verdict, tables") if name else None


def load_steel_tables(path=None) -> SteelTables:
    """The tables of the program, with the rows of the maker's own file in their place.

    Its rows `[[own_pieces]]` are pieces of the shop whose truth is settled.

    Raises
    ------
    UnusableInput
        If the file cannot be read, or a row of it cannot be used.
    """
    if path is None:
        return _ours()
    path = Path(path)
    own = read_toml(path)
    try:
        settled = own_pieces(own.pop("own_pieces", []), ORIGINS)
        return replace(steel_tables(own, base=_ours()), own=settled)
    except UnusableInput as fault:
        raise UnusableInput(fault.what, f"{path.name}, {fault.where}", fault.mend) from None
