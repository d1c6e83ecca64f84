"""What to do next in a chop test at the bench: which tool, which piece, what is to be looked at.

The order is that of the rows of the chop log, which take the tools in turn. Strokes are
taps (bench.jsonl) until the piece falls; then they stand in the row with all there is to
know of the piece. Killed at any moment, the session goes on where the last tap left it.
"""

from dataclasses import dataclass

from edgetest.store.chop_log import SEVERED, TOUCH_UP, ChopRow
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.next_action import Due
from edgetest.study.bench.session_file import Session, Tap, read_session
from edgetest.study.chop.looks_departed import looked
from edgetest.study.words import counted

TABLE = "chops"
MOST_STROKES = 10_000  # a tap that would count past it is a mistake
# What is to be known of a piece of wood, in the order in which it is asked for.
PIECE = {
    "billet": (
        "species",
        "moisture_pct",
        "width_mm",
        "thickness_mm",
        "diameter_mm",
        "orientation",
        "density_kg_m3",
        "length_mm",
        "mass_g",
        "grain",
        "knots",
        "notch_angle_deg",
        "board",
    ),
    "lumber": (
        "species",
        "moisture_pct",
        "nominal",
        "orientation",
        "density_kg_m3",
        "grain",
        "knots",
        "notch_angle_deg",
        "board",
    ),
    "single": ("species", "moisture_pct", "board"),
}
FACTS = {
    "species": "Wood",
    "moisture_pct": "Moisture (%)",
    "width_mm": "Width (mm)",
    "thickness_mm": "Thickness (mm)",
    "diameter_mm": "or diameter, if round (mm)",
    "nominal": "Size as sold, such as 2x4",
    "orientation": "Lies flat or on edge (blank if square or round)",
    "density_kg_m3": "Density, if known (kg/m³)",
    "length_mm": "Length, if weighed (mm)",
    "mass_g": "Mass, if weighed (g)",
    "grain": "Grain",
    "knots": "Knots in the cut",
    "notch_angle_deg": "Angle of the notch, if measured (°)",
    "board": "Board",
}
OF_ONE_PIECE = ("mass_g", "knots", "notch_angle_deg")  # never taken over from the last piece
TITLES = {
    "chips_count": ("chips on the whole edge now, in all", ""),
    "rolls_count": ("rolls on the whole edge now, in all", ""),
    "largest_chip_mm": ("largest chip", "mm"),
    "depth_mm": ("depth of the chop", "mm"),
    "bend_deg": ("angle of the bend", "°"),
    "result": ("pass or fail", ""),
}
AS_IT_WAS = ("inspection", "shave")  # what leaves an edge as it was
NO_ROW = ChopRow(0, "", "")


@dataclass(frozen=True)
class ChopAction:
    """The next thing to do; `kind` is "strokes", "read" or "done".

    `name` is what the screen calls the tool; `strokes` and `missed` are counted by taps;
    `when` is where a look at the edge stands, "before" or "after" all strokes of its tool;
    `due` is what is to be read of the row; `facts` is what is known of the piece by now, from
    this one or, where nothing was said, from the last one like it; `left` counts the rows
    that are not done.
    """

    kind: str
    row: ChopRow = NO_ROW
    name: str = ""
    strokes: int = 0
    missed: int = 0
    stage: int = MOST_STROKES
    read_to: int = 0
    due: tuple[Due, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    last_tap: Tap | None = None
    left: int = 0
    when: str = ""

    @property
    def run(self):
        """What the taps of this row are kept under, as a run is."""
        return run_of(self.row)

    @property
    def piece(self):
        """The piece or the test, in words: "billet 2"."""
        order = self.row.order
        return self.row.kind + (f" {order}" if order and self.row.kind in SEVERED else "")

    @property
    def to_go(self):
        """Strokes until the chop that is measured."""
        return max(self.stage - self.strokes, 0)

    def summary(self):
        """The action as it is called out."""
        if self.kind == "done":
            return "Every row of the chop test is done."
        blade = f"Blade {self.name}"
        if self.kind == "strokes" and self.row.kind == "single":
            return f"{blade}, chop to number {self.stage}: {self.to_go} to go"
        if self.kind == "strokes":
            return f"{blade}, {self.piece}: {counted(self.strokes, 'chop')}"
        if self.row.kind in SEVERED:
            return f"{blade}, look at the edge after {self.piece}"
        if self.row.kind == "single":
            return f"{blade}, measure chop {self.row.order}"
        if self.row.kind == "inspection":
            return f"{blade}, look at the edge" + (f" {self.when} the test" if self.when else "")
        return f"{blade}, {self.row.kind}: pass or fail"


def run_of(row):
    """What the taps of a row are kept under: ("billet 2", blade); single chops count through."""
    if row.kind == "single":
        return row.kind, row.blade
    number = row.order if row.order is not None else f"row {row.line}"
    return " ".join(f"{row.kind} {number} {row.block}".split()), row.blade


def next_chop(source, *, line=None):
    """The first row that is not done, or the one asked for.

    Parameters
    ----------
    source : Source
        A sound study whose protocol is a chop test.
    line : int, optional
        Row of the log that a person wants now.

    Returns
    -------
    ChopAction
    """
    open_rows = waiting_chops(source)
    if not open_rows:
        return ChopAction("done")
    row = next((row for row in open_rows if row.line == line), open_rows[0])
    session = read_session(source.path)
    strokes = session.cuts(run_of(row))
    known = {
        "row": row,
        "name": shown_names(source)[row.blade],
        "strokes": strokes,
        "missed": session.missed(run_of(row)),
        "facts": tuple(facts_of(source, row, session).items()),
        "last_tap": session.last_tap(run_of(row)),
        "left": len(open_rows),
        "when": _when(source, row),
    }
    if row.kind in SEVERED and row.chops is None:
        return ChopAction("strokes", **known)
    if row.kind == "single" and row.order is not None:
        read_to = _measured_to(source, row)
        known |= {"strokes": max(strokes, read_to), "stage": row.order, "read_to": read_to}
        if known["strokes"] < row.order:
            return ChopAction("strokes", **known)
    return ChopAction("read", due=_due(source, row), **known)


def _when(source, row):
    """Whether a row stands before or after all strokes of its tool; "" between them."""
    struck = [
        each.line for each in source.chops.rows
        if each.blade == row.blade and each.kind in (*SEVERED, "single")
    ]  # fmt: skip
    if struck and row.line < min(struck):
        return "before"
    return "after" if struck and row.line > max(struck) else ""


def waiting_chops(source):
    """Rows of the chop log on which something is still to be done, in their order."""
    if source.chops is None:
        return ()
    left_out, rows = read_session(source.path).left_out, source.chops.rows
    return tuple(
        row
        for row in rows
        if not row.exclude and (run_of(row), _stage_of(row)) not in left_out
        and _due(source, row) and not _look_too_late(row, rows)
    )  # fmt: skip


def _look_too_late(row, rows):
    """Whether a row misses a look alone, and its edge was looked at since, or went on.

    Such a look cannot be made any more: the edge is another one by now.
    """
    if row.kind != "inspection" and (row.kind not in SEVERED or row.chops is None):
        return False
    later = [each for each in rows if each.blade == row.blade and each.line > row.line]
    return any(looked(each) or not (each.waiting or each.kind in AS_IT_WAS) for each in later)


def _stage_of(row):
    """What a row that is let go is kept under besides its run."""
    return row.order or 0


def _measured_to(source, row):
    """Number of the last single chop of a tool on this board that has been measured."""
    mine = [
        each.order
        for each in source.chops.rows
        if each.kind == "single" and run_of(each) == run_of(row) and not each.waiting
    ]
    return max((order for order in mine if order is not None), default=0)


def _due(source, row):
    """What is still to be read of a row."""
    if row.kind == TOUCH_UP:
        return []
    rules = {rule.name: rule for rule in source.protocol.readings}
    taken = taken_of(row.kind, source.protocol)
    chips = row.chips_count
    if chips and "chips_count" in taken:
        taken = (*taken, "largest_chip_mm")
    found = []
    for name in taken:
        if getattr(row, name) not in (None, ""):
            continue
        rule = rules.get(name)
        title, unit = TITLES.get(name, (rule.title, rule.unit) if rule else (name, ""))
        kind = "pass_fail" if name == "result" else "number"
        found.append(Due(name, title, unit, kind, rule.check if rule else ""))
    return tuple(found)


def taken_of(kind, protocol):
    """What is read of a row of a chop log, by its kind."""
    if kind in SEVERED:
        read = {rule.name for rule in protocol.readings}
        return ("chops", "chips_count") if "chips_count" in read else ("chops",)
    return {
        "single": ("depth_mm",),
        "inspection": ("chips_count", "rolls_count"),
        "bend": ("bend_deg", "result"),
    }.get(kind, ("result",))


def facts_of(source, row, session: Session):
    """What is known of a row's piece: as noted, else as the row says, else as the last one like it.

    Returns
    -------
    dict of str to str
        By column; blank where nothing is known.
    """
    columns = PIECE.get(row.kind, ())
    noted = session.facts.get(run_of(row), {})
    before = [
        each for each in source.chops.rows
        if each.kind == row.kind and not each.waiting and each.line != row.line
    ]  # fmt: skip
    above = [each for each in before if each.line < row.line]  # rows stand as the work was done
    last = next(reversed(above or before), None)
    found = {}
    for column in columns:
        said = text_of(getattr(row, column))
        kept = last is not None and column not in OF_ONE_PIECE
        usual = text_of(getattr(last, column)) if kept else ""
        found[column] = noted.get(column, said or usual)
    return found


def text_of(value):
    """A cell as it is typed."""
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)
