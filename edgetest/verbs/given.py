"""What a verb is given: a path, a folder, a data frame, or what another verb has opened."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeGuard

from edgetest.errors import UnusableInput
from edgetest.store.tables import Table, table_of
from edgetest.study.sources import Source, open_chops, open_source, open_table

if TYPE_CHECKING:
    import pandas as pd

PathLike: TypeAlias = str | os.PathLike[str]
LogLike: TypeAlias = "PathLike | pd.DataFrame | Source"
FRAME = "data frame"  # what a frame is called where a file would give its name


def given_log(log: LogLike) -> Source:
    """The source of a verb, opened; its faults stand in it and are not raised here."""
    if isinstance(log, Source):
        return log
    return open_table(frame_table(log)) if is_frame(log) else open_source(path_of(log, "a log"))


def given_chops(log: LogLike) -> Source:
    """A chop test, opened; a wear log beside it is not read."""
    if isinstance(log, Source) or is_frame(log):
        return given_log(log)
    return open_chops(path_of(log, "a chop test"))


def is_frame(given: object) -> TypeGuard[pd.DataFrame]:
    """Whether this is a pandas DataFrame; pandas is not loaded to find out."""
    pandas = sys.modules.get("pandas")
    return pandas is not None and isinstance(given, pandas.DataFrame)


def frame_table(frame: pd.DataFrame) -> Table:
    """A data frame as a table of texts; its heading counts as row 1, as in a spreadsheet."""
    cells = frame.astype(object).where(frame.notna(), None)
    return table_of(list(frame.columns), cells.itertuples(index=False, name=None), FRAME)


def path_of(given: Any, wanted: str) -> Path:
    """A path, or the error that says what was given instead.

    Raises
    ------
    UnusableInput
    """
    if isinstance(given, str | os.PathLike):
        return Path(given)
    kind = type(given).__name__
    raise UnusableInput(
        f"{kind} is not {wanted}", "what was given", "give a path, a study's folder or a DataFrame"
    )
