"""Is a hardness of the files that the shop names: a bracket of the set, and no tester's number?"""

from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.steel.scaled_hardness import own_scale
from edgetest.study.steel.row_kinds import hardness_cell
from edgetest.study.steel.steel_rows import IN_EVIDENCE, SteelRows
from edgetest.study.words import listed

KEYS = ("hardness_skin", "hardness_below", "hardness")


def files_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about brackets with an end that no file of the set has.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for table in ("pieces", "heats", "tempers"):
        for k, row in enumerate(getattr(rows, table), 1):
            for key in KEYS:
                for cell in getattr(row, key):
                    where = f"{IN_EVIDENCE}, {table} {k}, {key}"
                    if none := _of_no_file(cell, rows.files_hrc):
                        yield _asked(cell, none, rows.files_hrc, where)
                    elif _names_a_file(cell, rows):
                        yield _file_or_tester(cell, rows.files_hrc, where)


def _of_no_file(cell: float | str, files_hrc: tuple[float, ...]) -> list[str]:
    """Ends of a bracket that are no file of the set; none of a number that a tester read."""
    if own_scale(cell)[0] not in (None, "HRC"):
        return []
    read = hardness_cell(cell, files_hrc)
    ends = () if read.kind == "number" else (read.lower, read.upper)
    return [f"{end:g}" for end in ends if end is not None and end not in files_hrc]


def _names_a_file(cell: float | str, rows: SteelRows) -> bool:
    """Whether a bare number is that of a file, where files are named and no tester is."""
    if "files_hrc" not in rows.model_fields_set or "tester_u_hrc" in rows.model_fields_set:
        return False
    return isinstance(cell, int | float) and cell in rows.files_hrc


def _file_or_tester(cell, files_hrc: tuple[float, ...], where: str) -> UnusableInput:
    harder = [one for one in files_hrc if one > cell]
    bracket = f"{cell:g}-{min(harder):g}" if harder else f">{cell:g}"
    return UnusableInput(
        f"{cell:g} alone is taken as a tester's number, and the shop names files, no tester",
        where,
        f'where files read it, write the two between which it lies, such as "{bracket}"; where '
        "a tester did, write how far it errs as tester_u_hrc of [evidence]",
    )


def _asked(cell, none: list[str], files_hrc: tuple[float, ...], where: str) -> UnusableInput:
    set_of = listed([f"{one:g}" for one in sorted(files_hrc)])
    return UnusableInput(
        f'"{cell}" ends at {listed(none)}, and the files are {set_of}',
        where,
        "write the files between which it lies, or your own set as files_hrc of [evidence]; a "
        "tester's number stands alone, such as 61",
    )
