"""Strokes for one piece as it was chopped: the mean of each blade, wood, size and orientation.

Log strokes of a piece ~ its own mean + its board, with what pieces of a board and what boards
scatter estimated from all pieces of the test together (`whole_counts`).
"""

from dataclasses import dataclass, replace
from math import floor, hypot, inf, sqrt

import numpy as np

from edgetest.chop.board_means import boards_once, mean_of_boards
from edgetest.chop.notch import PieceSection, mean_section
from edgetest.doubts import Doubt, Where, doubt
from edgetest.estimate import Estimate, estimate_parts, json_fields
from edgetest.stats.regression import NormalPrior
from edgetest.stats.small_counts import small_counts
from edgetest.stats.whole_counts import UsualSd, WholeCounts, fit_whole_counts, scatters

# Scatter on the log scale, no source: pieces of one board (even wood scatters less than chance,
# knots more), boards of one wood (their hardness differs by 10 to 20 %), days and hands.
PIECES_SD, BOARDS_SD, DAY_SD = UsualSd(0.16), UsualSd(0.14), 0.07
HAND_SD = 0.10  # between hands, where several chopped; no source
FEW_STROKES = 6  # up to here half a stroke either way is 8 % and more, as wide as pieces scatter
_METHOD = "log-normal counts with a scatter of pieces and one of boards"
TENTHS_BELOW = 10.0  # strokes: half-width of a mean up to which its tenths are told
SAME_SIZE = 1.06  # sizes within this factor are one size
GREEN_PCT = 25.0  # from here on hardness is that of green wood (Wood Handbook, chapter 5)


@dataclass(frozen=True)
class Piece:
    """One severed piece, or one that still stands after its strokes."""

    blade: str
    strokes: float
    severed: bool
    section: PieceSection
    wood: str | None = None
    moisture_pct: float | None = None
    board: str = ""
    day: str = ""
    operator: str = ""
    notch_angle_deg: float | None = None
    row: int | None = None

    @property
    def shown(self):
        """Its strokes as the log says them: 18, or ">40"."""
        return int(self.strokes) if self.severed else f">{self.strokes:g}"

    @property
    def green(self):
        """Whether its wood was too wet for its hardness to change, or None."""
        return None if self.moisture_pct is None else self.moisture_pct >= GREEN_PCT


@dataclass(frozen=True)
class AsChopped:
    """Strokes for one piece of one wood, size and orientation with one blade."""

    blade: str
    wood: str | None
    moisture_pct: float | None
    section: PieceSection
    pieces: int
    standing: int
    boards: int
    strokes_per_piece: Estimate
    strokes: tuple[int | str, ...]
    rows: tuple[int, ...]
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        section = self.section
        return {
            "blade": self.blade,
            "wood": self.wood,
            "moisture_pct": self.moisture_pct,
            **section.to_dict(),
            "orientation": section.orientation or None,
            **json_fields(self, without=("blade", "wood", "moisture_pct", "section")),
        }

    @property
    def green(self):
        """Whether its wood counts as green, as `Piece.green`; None where that is not known."""
        return None if self.moisture_pct is None else self.moisture_pct >= GREEN_PCT

    def piece_words(self, *, water=""):
        """What was chopped, in words: English oak, 60 mm by 60 mm; with a word for its water."""
        wood = ", ".join(filter(None, [self.wood or "wood not noted", water]))
        return f"{wood}, {self.section.summary()}"

    def mean_words(self):
        """The mean and its interval: in tenths where counts that differ make a broken mean.

        12.5 of 12 and 13 strokes is told as the log has it, up to a half-width of 10: two digits
        of it are the most that JCGM 100:2008, 7.2.6, asks for.
        """
        one = self.strokes_per_piece
        value, low, high = one.value, one.low, one.high
        shown, interval = estimate_parts(value, low, high)
        broken = not self.standing and round(10 * value) % 10 != 0
        if "." in shown or not broken or (high - low) / 2 >= TENTHS_BELOW:
            return shown, interval
        return f"{value:.1f}", f"{low:.1f} to {high:.1f}"

    def summary(self, *, water=""):
        """The figure as a maker reads it, with the word for its water that is given."""
        one, piece = self.strokes_per_piece, self.piece_words(water=water)
        count = f"{self.pieces} piece{'s' * (self.pieces != 1)}"
        if one.high == inf:
            return (
                f"{self.blade}: no mean for {piece}: {self.standing} of {count} not"
                f" severed, strokes {', '.join(map(str, self.strokes))}; only a bound of the mean:"
                f" pieces differ, and such take at least {floor(one.low)} strokes on average;"
                " chop on until one falls to know more"
            )
        if self.standing:
            count += (
                f", {self.standing} of them not severed and taken as needing more than it got;"
                " chop on until it falls to know more"
            )
        shown, interval = self.mean_words()
        return f"{self.blade}: {shown} ({interval}) strokes for {piece}; {count}"


def as_chopped(pieces, *, level=0.95):
    """Mean strokes for a piece, by blade, wood, size and orientation.

    Parameters
    ----------
    pieces : sequence of Piece
    level : float
        Coverage of the intervals.

    Returns
    -------
    tuple of AsChopped
        Kinds in the order in which they were first chopped, the blades of each in one order. The
        mean is that of pieces like these from boards like these, each board weighing alike, with
        the edge in the state that it had on their average.
    """
    pieces = list(pieces)
    if not pieces:
        return ()
    cells = alike(pieces)
    means = _means([[pieces[i] for i in cell] for cell in cells], level)
    return tuple(
        _figure([pieces[i] for i in cell], mean, level)
        for cell, mean in zip(cells, means, strict=True)
    )


def _means(cells, level):
    """The mean count of each cell of which a piece fell, else None.

    Cells of few strokes are summed over (`small_counts`), as if no other were of their boards; the
    scatters of pieces and boards are what all cells say of them.
    """
    within, between, log_prior = scatters(PIECES_SD, BOARDS_SD)
    many = [own for own in cells if _fell(own) and not _few(own)]
    fit = _fitted(many) if many else None
    weight = np.exp(log_prior) if fit is None else fit.weight
    sums = [
        small_counts(counts_of(own), within, between) if _fell(own) and _few(own) else None
        for own in cells
    ]
    for each in sums:
        weight = weight if each is None else weight * each.evidence()
    weight = weight / weight.sum()
    contrasts = iter(np.eye(len(many)))
    for own, each in zip(cells, sums, strict=True):
        asked = {"extra_sd": _people_sd(own), "level": level, "unit": "strokes a piece"}
        if each is not None:
            yield each.mean_count(weight, method=f"{_METHOD} (summed over the mean)", **asked)
        elif fit is not None and _fell(own):
            told = replace(fit, weight=weight)
            yield told.mean_count(
                next(contrasts), method=f"{_METHOD} (mixed model, Laplace's method)", **asked
            )
        else:
            yield None


def _fitted(cells):
    """All pieces of these cells together, a mean of its own for each cell."""
    places = np.repeat(np.arange(len(cells)), [len(own) for own in cells])
    free = NormalPrior(np.zeros(len(cells)), np.full(len(cells), np.inf))
    counts = counts_of([piece for own in cells for piece in own])
    design = np.eye(len(cells))[places]
    return fit_whole_counts(design, counts, prior=free, within=PIECES_SD, between=BOARDS_SD)


def _fell(own):
    """Whether a piece of the cell was severed."""
    return any(piece.severed for piece in own)


def _few(own):
    """Whether the middle piece took so few that their rounding is as wide as pieces scatter."""
    return np.median([piece.strokes for piece in own]) <= FEW_STROKES


def alike(pieces):
    """Places of pieces of one blade, wood, size and orientation, each group a list.

    Sizes are parted for all blades together, from the smallest piece up, so that what one blade
    chopped stands beside pieces of the same size of another; pieces of one board and size are not
    parted. Kinds come in the order in which they were begun, and in each kind the blades in one
    order.
    """
    smallest: list[Piece] = []  # of each wood, size and orientation
    cells: dict[tuple, list[int]] = {}
    for own in _of_a_board(pieces):
        kinds = (n for n, first in enumerate(smallest)
                 if all(_one_size(pieces[place], first) for place in own))  # fmt: skip
        kind = next(kinds, len(smallest))
        if kind == len(smallest):
            smallest.append(pieces[own[0]])
        for place in own:
            cells.setdefault((pieces[place].blade, kind), []).append(place)
    kinds_from: dict[int, int] = {}
    for (_, kind), cell in cells.items():
        kinds_from[kind] = min(*cell, kinds_from.get(kind, len(pieces)))
    blades = list(dict.fromkeys(piece.blade for piece in pieces))
    order = sorted(cells, key=lambda key: (kinds_from[key[1]], blades.index(key[0])))
    return [sorted(cells[key]) for key in order]


def _of_a_board(pieces):
    """Places of pieces of one board and size together; from the smallest up, all and in each."""
    found: list[list[int]] = []
    for place in sorted(range(len(pieces)), key=lambda i: pieces[i].section.area_cm2):
        piece = pieces[place]
        firsts = ((own, pieces[own[0]]) for own in found if piece.board)
        near = (own for own, first in firsts
                if first.board == piece.board and _one_size(piece, first))  # fmt: skip
        mine = next(near, None)
        if mine is None:
            found.append([place])
        else:
            mine.append(place)
    return found


def _one_size(piece, other):
    """Whether two pieces, of whichever blades, are of one wood, size and orientation."""
    wood = (piece.wood, piece.green) == (other.wood, other.green)
    return wood and piece.section.like(other.section, SAME_SIZE)


def counts_of(pieces):
    """Pieces as whole counts, grouped by board; pieces whose board is not noted are of one."""
    boards = [board_of(piece) for piece in pieces]
    names = list(dict.fromkeys(boards))
    return WholeCounts(
        np.array([piece.strokes for piece in pieces], float),
        np.array([not piece.severed for piece in pieces]),
        np.array([names.index(board) for board in boards]),
    )


def board_of(piece):
    """What tells a board from others: a board is of one wood."""
    return piece.wood, piece.board


def _figure(own, estimate, level):
    """One wood, size and orientation of one blade."""
    blade = own[0].blade
    boards = len({piece.board for piece in own})
    if estimate is None:  # every piece still stands: as if each had fallen at the next stroke
        least = _least(own, level)
        estimate = Estimate(
            least.value, least.low, inf, "strokes a piece", level, "all still stood: a lower bound"
        )
    elif all(piece.severed for piece in own):
        mean = mean_of_boards([(one.strokes, one.board) for one in own])
        estimate = replace(_holding(estimate, mean), value=mean)
    wet = [piece.moisture_pct for piece in own if piece.moisture_pct is not None]
    return AsChopped(
        blade=blade,
        wood=own[0].wood,
        moisture_pct=float(np.mean(wet)) if wet else None,
        section=mean_section([piece.section for piece in own]),
        pieces=len(own),
        standing=sum(not piece.severed for piece in own),
        boards=boards,
        strokes_per_piece=estimate,
        strokes=tuple(piece.shown for piece in own),
        rows=tuple(piece.row for piece in own if piece.row is not None),
        doubts=tuple(_doubts(own, boards)),
    )


def _holding(estimate, mean):
    """The interval, with the mean well within: one odd piece may lie outside the model.

    On the side where the mean lies beyond it, it reaches half its width further (log scale).
    """
    beyond = sqrt(estimate.high / estimate.low)
    if mean > estimate.high:
        return replace(estimate, high=mean * beyond)
    if mean < estimate.low:
        return replace(estimate, low=mean / beyond)
    return estimate


def _people_sd(own):
    """Standard deviation of a log mean from the days and the hands that it is of."""
    day_sd = DAY_SD / sqrt(len({piece.day for piece in own}))
    hands = len({piece.operator for piece in own})
    if hands == 1:  # the figure is that hand's
        return day_sd
    return hypot(day_sd, HAND_SD / sqrt(hands))


def _least(own, level):
    """The figure if each piece had fallen at the next stroke."""
    fallen = [replace(piece, strokes=piece.strokes + 1, severed=True) for piece in own]
    (mean,) = _means([fallen], level)
    return mean


def _doubts(own, boards):
    """What the figure leans on."""
    where = Where(blade=own[0].blade, row=own[0].row)
    if len(own) > 1 and boards == 1:
        wood = own[0].wood or "the wood that was not noted"
        if own[0].board:  # pieces of another size may be of other boards
            size = mean_section([piece.section for piece in own]).summary()
            yield doubt("one_board", where=where, pieces=f"{wood}, {size},")
        else:
            yield doubt("boards_not_noted", where=where, wood=wood)
    if all(piece.severed for piece in own):
        yield from boards_once(own[0].blade, [(one.strokes, one.board) for one in own], where)
    if own[0].section.lies == "not noted":
        yield doubt("orientation_not_noted", where=where)
    if all(not piece.severed for piece in own):
        yield doubt("none_severed", where=where)
