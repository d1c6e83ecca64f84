"""From the rows of a chop log to what the numbers take: billets and single chops."""

from collections import Counter
from dataclasses import dataclass

from edgetest.chop.as_chopped import Piece
from edgetest.chop.count_design import Billets
from edgetest.chop.depth import LEAST_DEPTHS, SingleChops
from edgetest.chop.notch import PieceSection
from edgetest.chop.wood import Wood, hardness_of_billets
from edgetest.doubts import Where, doubt, placed
from edgetest.errors import ManyFaults
from edgetest.estimate import json_fields
from edgetest.store.chop_log import SEVERED, TOUCH_UP
from edgetest.study.chop.piece_woods import (
    board_densities,
    own_woods,
    section_of,
    severed_rows,
    wood_faults,
    wood_of_row,
)


@dataclass(frozen=True)
class Severing:
    """One severed piece as it entered the count, or the reason why it did not."""

    row: int
    blade: str
    kind: str
    board: str
    chops: float
    severed: bool
    section: PieceSection
    chops_before: int
    near_misses: int | None
    wood: Wood | None
    knots: int | None = None
    grain: str = ""
    day: str = ""
    operator: str = ""
    notch_angle_deg: float | None = None

    @property
    def area_cm2(self):
        """Cross-section, cm²."""
        return self.section.area_cm2

    @property
    def piece(self):
        """The piece as the numbers take it."""
        wood = self.wood
        return Piece(
            self.blade,
            self.chops,
            self.severed,
            self.section,
            wood=wood.name if wood else None,
            moisture_pct=wood.moisture_pct if wood else None,
            board=self.board,
            day=self.day,
            operator=self.operator,
            notch_angle_deg=self.notch_angle_deg,
            row=self.row,
        )

    def to_dict(self):
        """Plain values for JSON."""
        wood = self.wood
        return {
            **json_fields(self, without=("wood", "section", "day", "operator")),
            "area_cm2": self.area_cm2,
            **self.section.to_dict(),
            "orientation": self.section.orientation or None,
            "wood": wood.name if wood else None,
            "moisture_pct": wood.moisture_pct if wood else None,
            "moisture_state": (wood.state or None) if wood else None,
            "hardness_reckoned": wood.reckoned if wood else None,
            "wood_source": wood.source if wood else None,
            "side_hardness_n": wood.side_hardness_n.value if wood else None,
            "grain": self.grain or None,
        }


@dataclass(frozen=True)
class MeasuredChop:
    """One single chop whose depth was read; `through` where it is only a lower bound."""

    row: int
    blade: str
    board: str
    chops_before: int
    depth_mm: float
    through: bool

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


def strokes(rows):
    """Chops that a row's blade had made before it and after it, by line of the log.

    Rows stand in the order in which the work was done. Rows that are left out count too:
    their chops dulled the edge. Single chops carry their number in the run (`order`), so
    those between two that were measured count as well.

    Parameters
    ----------
    rows : sequence of ChopRow

    Returns
    -------
    dict of int to (int, int)
    """
    made: dict[str, int] = {}
    last: dict[str, int] = {}
    found = {}
    for row in rows:
        before = made.get(row.blade, 0)
        if row.kind in SEVERED and row.chops is not None:
            added = round(_count(row.chops)[0])
            found[row.line] = (before, before + added)
        elif row.kind == "single" and not row.waiting:
            earlier = last.get(row.blade, 0)
            number = row.order if row.order is not None else earlier + 1
            added = number - earlier if number > earlier else max(number, 1)
            last[row.blade] = number
            found[row.line] = (before + added - 1, before + added)
        else:
            added = 0
            found[row.line] = (before, before)
        made[row.blade] = before + added
    return found


def strokes_of_edge(rows):
    """Chops that the edge had made before each row and after it, counted anew from a touch-up.

    Parameters
    ----------
    rows : sequence of ChopRow

    Returns
    -------
    dict of int to (int, int)
    """
    made, begun, found = strokes(rows), {}, {}
    for row in rows:
        if row.kind == TOUCH_UP and not row.exclude:
            begun[row.blade] = made[row.line][1]
        found[row.line] = tuple(count - begun.get(row.blade, 0) for count in made[row.line])
    return found


def severings(log, study=None):
    """Every severed piece that counts, with its wood; faults of wood and size together.

    Parameters
    ----------
    log : ChopLog
    study : Study, optional
        Its `[[woods]]` are known beside the table's.

    Returns
    -------
    tuple of Severing

    Raises
    ------
    ManyFaults
        Everything that is wrong with the woods and sizes of the whole log.
    """
    faults = wood_faults(log, study)
    if faults:
        raise ManyFaults(faults)
    made, own, found = strokes_of_edge(log.rows), own_woods(study), []
    shared = board_densities([*severed_rows(log)])
    for row in severed_rows(log):
        chops, severed = _count(row.chops)
        found.append(
            Severing(
                row.line,
                row.blade,
                row.kind,
                row.board_or_block,
                chops,
                severed,
                section_of(row),
                made[row.line][0],
                row.near_misses,
                wood_of_row(row, own, shared.get(row.line)),
                row.knots,
                row.grain,
                row.day or row.date,
                row.operator,
                row.notch_angle_deg,
            )
        )
    return tuple(found)


def billets(pieces, treatment_of):
    """What `chop_report` takes of severed pieces, and what had to be left open or assumed.

    Parameters
    ----------
    pieces : sequence of Severing
    treatment_of : mapping of str to str
        Heat treatment of each blade that has one; empty where they are not to be compared.

    Returns
    -------
    (Billets or None, list of Doubt)
    """
    if not pieces:
        return None, []
    boards = _whole(piece.board or None for piece in pieces)
    woods = _whole(piece.wood for piece in pieces)
    hardness = {}
    if woods is not None:
        values, shared = hardness_of_billets(woods, boards)
        hardness = {"hardness_n": values, "hardness_sd_log": shared}
    names = [piece.blade for piece in pieces]
    severed = Billets(
        blade=names,
        chops=[piece.chops for piece in pieces],
        area_cm2=[piece.area_cm2 for piece in pieces],
        chops_before=[piece.chops_before for piece in pieces],
        severed=[piece.severed for piece in pieces],
        board=boards,
        near_misses=[piece.near_misses for piece in pieces],
        treatment=[treatment_of.get(name, "") for name in names] if treatment_of else None,
        wood=woods_told([piece.piece for piece in pieces]),
        **hardness,
    )
    return severed, _doubts(pieces)


def woods_told(pieces):
    """The wood of each piece in words, "" where it is not noted; one both green and dry says which.

    Parameters
    ----------
    pieces : sequence of Piece

    Returns
    -------
    list of str
    """
    waters = {None: "water not noted", True: "green", False: "dry"}
    of_wood = Counter(wood for wood, _ in {(one.wood, one.green) for one in pieces})
    return [
        f"{one.wood}, {waters[one.green]}" if one.wood and of_wood[one.wood] > 1
        else one.wood or ""
        for one in pieces
    ]  # fmt: skip


def _doubts(pieces):
    """What is not known or assumed of each piece and its wood."""
    found = []
    for code, held in (("wood_unknown", "wood"), ("near_misses_not_counted", "near_misses")):
        for piece in pieces:
            if getattr(piece, held) is None:
                found.append(doubt(code, where=Where(row=piece.row, blade=piece.blade)))
    for piece in pieces:
        about = piece.wood.doubts if piece.wood else ()
        found += placed(about, row=piece.row, blade=piece.blade)
    return found


def _whole(values):
    """A column, or None where one of its values is not known."""
    column = list(values)
    return None if None in column else column


def measured_chops(log):
    """Every single chop whose depth was read."""
    made = strokes_of_edge(log.rows)
    found = []
    for row in log.of_kind("single"):
        depth = row.depth_mm
        if depth is None or depth.kind in ("below", "missing"):
            continue
        if depth.kind == "between":
            value = (depth.lower + depth.upper) / 2
        else:
            value = depth.value if depth.kind == "number" else depth.lower
        place = row.board_or_block
        found.append(
            MeasuredChop(
                row.line, row.blade, place, made[row.line][0], value, depth.kind == "above"
            )
        )
    return tuple(found)


def single_chops(chops, treatment_of):
    """What `chop_report` takes of single chops, or None where there are none."""
    if not chops:
        return None
    names = [chop.blade for chop in chops]
    return SingleChops(
        blade=names,
        chop=[chop.chops_before for chop in chops],
        depth_mm=[chop.depth_mm for chop in chops],
        block=_whole(chop.board or None for chop in chops),
        treatment=[treatment_of.get(name, "") for name in names] if treatment_of else None,
        through=[chop.through for chop in chops],
    )


def depths_of(chops, treatment_of, doubts):
    """The single chops, and None of too few, which is added to the doubts."""
    if sum(not chop.through for chop in chops) >= LEAST_DEPTHS:
        return single_chops(chops, treatment_of)
    doubts += [doubt("few_depths_in_all")] if chops else []
    return None


def _count(reading):
    """A number of chops and whether the piece fell; a range by its middle."""
    if reading.kind == "above":
        return float(reading.lower), False
    if reading.kind == "between":
        return float(round((reading.lower + reading.upper) / 2)), True
    return float(reading.value if reading.value is not None else reading.upper), True
