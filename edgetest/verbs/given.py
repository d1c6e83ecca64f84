"""What a verb is given: a path, a folder, a data frame, what another verb has opened, options."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from functools import wraps
from inspect import Parameter, signature
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec, TypeAlias, TypeGuard, TypeVar

from edgetest.errors import UnusableInput, nearest
from edgetest.estimate import is_number
from edgetest.store.tables import Table, table_of
from edgetest.study.sources import Source, open_chops, open_source, open_table

if TYPE_CHECKING:
    import pandas as pd

PathLike: TypeAlias = str | os.PathLike[str]
LogLike: TypeAlias = "PathLike | pd.DataFrame | Source"
P = ParamSpec("P")
R = TypeVar("R")
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


def several(given: Any) -> tuple[Any, ...]:
    """A sequence as a tuple; a text, a path or a number on its own is a sequence of one."""
    if given is None:
        return ()
    lone = is_number(given) or isinstance(given, str | os.PathLike)
    return (given,) if lone else tuple(given)


def offers(wishes: Any, **usual: Any) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Show the options that a verb takes as `**more` in its signature, and name one mistyped.

    Parameters
    ----------
    wishes : TypedDict
        The options by name.
    **usual
        What each of them is where it is not given.
    """

    def wrap(verb: Callable[P, R]) -> Callable[P, R]:
        written = signature(verb)
        own = [one for one in written.parameters.values() if one.kind is not one.VAR_KEYWORD]
        more = [
            Parameter(
                name, Parameter.KEYWORD_ONLY, default=usual[name], annotation=kind.__forward_arg__
            )
            for name, kind in wishes.__annotations__.items()
        ]
        shown = written.replace(parameters=[*own, *more])

        @wraps(verb)
        def checked(*args: P.args, **given: P.kwargs) -> R:
            refuse_unknown(verb.__name__, given, shown.parameters)
            return verb(*args, **given)

        vars(checked)["__signature__"] = shown
        return checked

    return wrap


def refuse_unknown(verb: str, given: Iterable[str], known: Iterable[str]) -> None:
    """Refuse an option that a verb does not have.

    Raises
    ------
    TypeError
        It names the verb, the word met, the nearest option, and all that there are.
    """
    known = tuple(known)
    for word in given:
        if word not in known:
            near = nearest(word, known)
            meant = f"did you mean {near}? " if near else ""
            options = ", ".join(sorted(known))
            raise TypeError(f'{verb}: there is no option "{word}"; {meant}There are: {options}')
