"""What is written down of a chop test at the bench: pieces, looks, side views, notes."""

from edgetest.errors import UnusableInput
from edgetest.store.chop_log import COLUMNS
from edgetest.store.journal import append_reading, correct_reading, fill_row
from edgetest.store.workspace import save_photograph
from edgetest.study.bench.chop_actions import FACTS, TABLE, text_of


def sever(source, action, *, severed):
    """Write a severed piece down, or one that still stands; on disk on return.

    Raises
    ------
    UnusableInput
        If no stroke was counted, the size of the piece is missing, or another device was faster.
    """
    if not action.strokes:
        raise UnusableInput(
            "no stroke was counted", f"blade {action.name}, {action.piece}", "count the strokes"
        )
    return _fill(
        source,
        action,
        {
            "chops": f"{'' if severed else '>'}{action.strokes}",
            "near_misses": action.missed,
            **dict(action.facts),
        },
    )


def read(source, action, cells):
    """Write what was read of a row; on disk on return.

    Parameters
    ----------
    cells : dict of str to str
        By column, as typed.
    """
    facts = dict(action.facts) if action.row.kind == "single" else {}
    return _fill(source, action, {**facts, **cells})


def _fill(source, action, cells):
    """Fill a row; what it says already is not written again."""
    row = action.row
    said = {name: text_of(getattr(row, name)) for name in FACTS}
    new = {name: cell for name, cell in cells.items() if cell != "" and not said.get(name)}
    return fill_row(source.path, row.line, new, of=_keys(row), table=TABLE,
                    in_turn="chops" in new or "depth_mm" in new)  # fmt: skip


def _keys(row):
    """The cells that tell a row from another."""
    told = {"blade": row.blade, "kind": row.kind}
    return told if row.order is None else {**told, "order": f"{row.order:g}"}


def chop_photo(source, action, data, filename, *, scale=""):
    """Save a side view of the edge and name it in the row; both are on disk on return.

    Returns
    -------
    str
        Its name in the folder photos.
    """
    from edgetest.store.images import read_picture

    read_picture(data, name=filename)
    ending = filename.rpartition(".")[2].lower() if "." in filename else "jpg"
    piece = f"{action.piece} {action.row.order or ''}" if action.row.kind != "inspection" else (
        f"look {action.row.order or ''}"
    )  # fmt: skip
    stem = "_".join(f"{action.name} {piece} row {action.row.line}".split())
    name = "".join(c for c in stem if c.isalnum() or c in "_-")
    name = save_photograph(source.path, f"{name}.{ending}", data).name
    fill_row(
        source.path, action.row.line, {"photo": name, "scale": scale}, of=_keys(action.row),
        table=TABLE,
    )  # fmt: skip
    return name


def remark_row(source, action, *, note="", mishap=""):
    """Put a note or mishap into the row that is under way."""
    column, words = ("mishap", mishap) if mishap else ("note", note)
    before = getattr(action.row, column)
    if not before:
        return fill_row(
            source.path, action.row.line, {column: words}, of=_keys(action.row), table=TABLE
        )
    return correct_reading(
        source.path, action.row.line, column, f"{before}; {words}", was=before,
        of=_keys(action.row), table=TABLE,
    )  # fmt: skip


CELLS = tuple(name for name in COLUMNS if name not in ("blade", "kind", "order", "chops"))


def write_cell(source, action, column, cell):
    """Write any one column of the row that is under way, as typed; on disk on return.

    Raises
    ------
    UnusableInput
        If the cell cannot be read, or something else stands there already.
    """
    return fill_row(source.path, action.row.line, {column: cell}, of=_keys(action.row), table=TABLE)


def add_piece(source, blade, kind):
    """One more piece, chop or test for a tool, where the work stands."""
    mine = [row for row in source.chops.rows if (row.blade, row.kind) == (blade, kind)]
    order = max((row.order or 0 for row in mine), default=0) + 1
    row = {"blade": blade, "kind": kind, "order": order}
    return append_reading(source.path, row, table=TABLE)
