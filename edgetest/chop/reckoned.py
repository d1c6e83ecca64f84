"""Strokes for a piece that was not chopped, reckoned by notch geometry from those that were.

log strokes = blade + q log(width of the face) + p log(depth) + o log(tan of half the opening)
+ g log(hardness) + wood + board. A V-notch takes its width by its depth squared by that tangent;
blows that bite fuller make the depth's power less.
"""

from dataclasses import dataclass
from math import exp, hypot, log

import numpy as np

from edgetest.chop.as_chopped import (
    BOARDS_SD,
    DAY_SD,
    GREEN_PCT,
    PIECES_SD,
    Piece,
    alike,
    counts_of,
)
from edgetest.chop.count_design import HARDNESS_EXPONENT
from edgetest.chop.notch import PieceSection
from edgetest.chop.reckoned_misses import missed_boards
from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, format_estimate, json_fields
from edgetest.stats.regression import NormalPrior
from edgetest.stats.whole_counts import fit_whole_counts

# Mean and standard deviation, no source: the power of the depth (2 is a V-notch, 1 a kerf), of
# the width, and of either in a piece of which it is not noted how it lay (p - 1 up or down).
DEPTH_POWER, WIDTH_POWER, EITHER_WAY = (1.7, 0.35), (1.0, 0.15), (0.0, 0.75)
OPENING_POWER = (1.0, 0.3)  # of the tangent of half the notch's opening, no source
WOODS_SD = 0.10  # woods of one hardness, log scale, no source
NO_NOTCH = 3  # a piece severed in so few strokes is cut through, no notch is opened
FAR = 2.0  # times another thickness than any chopped, from where on it is said; a choice
SIZES_TELL = 1.3  # from this factor in depth on, the power of the depth is estimated


@dataclass(frozen=True)
class OtherPiece:
    """A piece to reckon for: its section, wood, side hardness (N) and how well that is known.

    `moisture_pct` is the water that its hardness is for, `moisture_from` a key of WATER_FROM.
    """

    section: PieceSection
    wood: str | None = None
    hardness_n: float | None = None
    hardness_sd_log: float = 0.0
    moisture_pct: float | None = None
    moisture_from: str = "asked"


# Where the water of a piece comes from that was not chopped, as it is told behind it.
WATER_FROM = {
    "asked": "",
    "own_pieces": " as chopped",
    "own_pieces_mean": " as chopped on average",
    "other_pieces": " as the wood that was chopped",
    "other_pieces_mean": " as the wood that was chopped on average",
    "assumed": ", assumed",
}
POWER_FROM = {
    "estimated": "from your pieces",
    "prior": "mostly assumed: your pieces are of nearly one depth",
}


@dataclass(frozen=True)
class Reckoned:
    """Strokes of one blade reckoned for another piece."""

    blade: str
    wood: str | None
    section: PieceSection
    strokes: Estimate
    depth_exponent: Estimate
    depth_exponent_from: str
    moisture_pct: float | None = None
    moisture_from: str = "asked"
    pieces: int = 0  # of this blade that it rests on
    left_out: int = 0  # pieces of it that opened no notch
    woods: tuple[str, ...] = ()  # of the pieces it rests on, each once
    own_wood: Estimate | None = None  # by the pieces of this wood alone, where others are in, too
    own_wood_pieces: int = 0

    @property
    def rests_words(self):
        """What the figure rests on, and which pieces it leaves out."""
        *most, last = self.woods or ("",)
        of = f" of {' and '.join(filter(None, (', '.join(most), last)))}" if last else ""
        words = (
            f"It rests on {_pieces(self.pieces)}{of} taken together, and on how"
            " strokes are taken to grow with size and hardness; its interval is of the mean of such"
            " pieces, and a single one may take more or fewer"
        )
        if self.left_out:
            words += (
                f"; {_pieces(self.left_out)} left out, of sizes that took {NO_NOTCH} strokes or"
                " fewer on average"
            )
        return words

    @property
    def wood_words(self):
        """Wood and water of the piece: "English oak, at 14 % water as chopped"."""
        wood = self.wood or "the same wood"
        if self.moisture_pct is None:
            return wood
        return f"{wood}, {water_words(self.moisture_pct)}{WATER_FROM[self.moisture_from]}"

    @property
    def size_words(self):
        """Size and way up of the piece; of one that may lie either way, that both are held."""
        either = ", flat or on edge (the interval holds both)"
        return self.section.summary() + either * bool(self.section.either_way)

    def to_dict(self):
        """Plain values for JSON."""
        power = {**self.depth_exponent.to_dict(), "from": self.depth_exponent_from}
        held = json_fields(self, without=("section", "depth_exponent", "depth_exponent_from"))
        return {
            **held, **self.section.to_dict(), "orientation": self.section.orientation or None,
            "method": self.strokes.method, "depth_exponent": power,
        }  # fmt: skip

    def summary(self):
        """The figure, said to be reckoned."""
        one = self.strokes
        shown = format_estimate(one.value, one.low, one.high)
        return (
            f"{self.blade}: {shown} strokes reckoned for {self.wood_words},"
            f" {self.size_words} (strokes grow with depth to the power"
            f" {self.depth_exponent.value:.2g}, {POWER_FROM[self.depth_exponent_from]})"
            f"{self.own_words(format_estimate)}. {self.rests_words}."
        )

    def own_words(self, shown):
        """What the pieces of this wood alone say; "" where no other wood is in the figure.

        Parameters
        ----------
        shown : callable(value, low, high)
            An estimate in words.
        """
        if self.own_wood is None:
            return ""
        one = self.own_wood
        said = shown(one.value, one.low, one.high)
        return f"; {_pieces(self.own_wood_pieces)} of this wood alone say {said}"


def _pieces(number):
    return f"{number} piece{'s' * (number != 1)}"


def water_words(moisture_pct):
    """Water of a wood in words: "green", or "at 14 % water"."""
    return "green" if moisture_pct >= GREEN_PCT else f"at {moisture_pct:.0f} % water"


def reckon(pieces, hardness_n, wanted, *, level=0.95):
    """Strokes of every blade for a piece of another size, section, orientation or wood.

    Parameters
    ----------
    pieces : sequence of Piece
    hardness_n : sequence of float or None
        Side hardness of each piece, N; None where a wood is not known.
    wanted : OtherPiece
    level : float

    Returns
    -------
    (tuple of Reckoned, tuple of Doubt)
        Blades that only went through pieces that open no notch are left out and told.

    Raises
    ------
    UnusableInput
        If another wood is wanted and the hardness of either is not known.
    """
    pieces = list(pieces)
    kept = _with_notch(pieces)
    blades = list(dict.fromkeys(pieces[i].blade for i in kept))
    piece = ", ".join(filter(None, (wanted.wood, wanted.section.summary())))
    doubts = [
        doubt("no_notch", piece=piece, where=Where(blade=name))
        for name in dict.fromkeys(piece.blade for piece in pieces)
        if name not in blades
    ]
    if wanted.section.lies == "not noted":
        doubts.append(doubt("orientation_not_noted", where=Where(value=wanted.section.summary())))
    if not blades:
        return (), tuple(doubts)
    own = [pieces[i] for i in kept]
    design, prior, contrast, extra = _columns(own, [hardness_n[i] for i in kept], wanted, blades)
    misses = missed_boards(design, own, prior)
    # Halved, so that a 95 % interval about the figure reaches as far as the farthest miss.
    extra = hypot(extra, abs(misses[0].apart) / 2 if misses else 0.0)
    fit = fit_whole_counts(design, counts_of(own), prior=prior, within=PIECES_SD, between=BOARDS_SD)
    depths = [piece.section.log_face_depth[1] for piece in own]
    known = "estimated" if np.ptp(depths) >= log(SIZES_TELL) else "prior"
    place = np.zeros(design.shape[1])
    place[len(blades) + 1] = 1.0
    power = fit.coefficient(place, level=level)
    found = []
    for number, blade in enumerate(blades):
        contrast[: len(blades)] = np.arange(len(blades)) == number
        strokes = fit.mean_count(
            contrast, extra_sd=hypot(extra, DAY_SD), level=level, unit="strokes a piece",
            method="reckoned by notch geometry: width times depth to a power",
        )  # fmt: skip
        if strokes.value <= NO_NOTCH:
            doubts.append(doubt("no_notch", piece=piece, where=Where(blade=blade)))
            continue
        water = wanted.moisture_pct, wanted.moisture_from
        on = _rests_on(pieces, own, blade)
        found.append(
            Reckoned(blade, wanted.wood, wanted.section, strokes, power, known, *water, *on)
        )
    doubts += [*_far(depths, wanted.section), *_missed(misses, piece)] if found else []
    return tuple(found), tuple(doubts)


def _rests_on(pieces, own, blade):
    """How many pieces of a blade a figure rests on and leaves out, and their woods."""
    mine = [piece for piece in own if piece.blade == blade]
    left = sum(piece.blade == blade for piece in pieces) - len(mine)
    woods = tuple(dict.fromkeys(piece.wood for piece in mine if piece.wood))
    return len(mine), left, woods


def _far(depths, section):
    """The doubt about a piece of another thickness than any that was chopped."""
    away = min((section.log_face_depth[1] - one for one in depths), key=abs)
    if abs(away) > log(FAR):
        times, than = f"{exp(abs(away)):.2g}", "thicker" if away > 0 else "thinner"
        where = Where(value=section.summary())
        yield doubt("reckoned_far", times=times, than=than, where=where)


def _missed(misses, wanted):
    """The doubt about boards of which the others would have foretold other strokes."""
    if misses:
        mine, one = misses[0].pieces, misses[0].strokes
        took = " and ".join(str(piece.shown) for piece in mine)
        water = "" if mine[0].moisture_pct is None else f", {water_words(mine[0].moisture_pct)}"
        piece = f"{mine[0].wood or 'wood not noted'}{water}, {mine[0].section.summary()}"
        what = f"{mine[0].blade} took {took} strokes for {piece}"
        others = f", and {len(misses) - 1} more" if len(misses) > 1 else ""
        shown = format_estimate(one.value, one.low, one.high)
        yield doubt("reckoned_misses", what=what, reckoned=shown, others=others,
                    wanted=wanted)  # fmt: skip


def _with_notch(pieces: list[Piece]) -> list[int]:
    """Places of the pieces that open a notch, of blades that severed at least one of them."""
    cells = [
        cell for cell in alike(pieces) if np.mean([pieces[i].strokes for i in cell]) > NO_NOTCH
    ]
    felled = {pieces[i].blade for cell in cells for i in cell if pieces[i].severed}
    return sorted(i for cell in cells for i in cell if pieces[i].blade in felled)


def _columns(pieces, hardness_n, wanted, blades):
    """Design, its prior, the wanted piece's row (blades blank), and what no column knows."""
    geometry = np.array([[*p.section.log_face_depth, p.section.either_way] for p in pieces])
    target = np.array([*wanted.section.log_face_depth, 0.0])
    middle = geometry.mean(axis=0) * [1, 1, 0]
    names = [piece.blade for piece in pieces]
    parts = [np.array([[name == blade for blade in blades] for name in names], float)]
    parts.append(geometry - middle)
    row = [*np.zeros(len(blades)), *(target - middle)]
    priors = [(0.0, np.inf)] * len(blades) + [WIDTH_POWER, DEPTH_POWER, EITHER_WAY]
    extra = EITHER_WAY[1] * wanted.section.either_way
    opening = _openings(pieces)
    if opening is not None:  # the figure is for the mean opening of the notches that were cut
        parts.append(opening[:, None])
        row.append(0.0)
        priors.append(OPENING_POWER)
    if None not in hardness_n and wanted.hardness_n is not None:
        logs = np.log(hardness_n)
        parts.append((logs - logs.mean())[:, None])
        row.append(log(wanted.hardness_n) - logs.mean())
        priors.append(HARDNESS_EXPONENT)
    elif wanted.wood is not None and wanted.wood not in [piece.wood for piece in pieces]:
        what = f"the chopped wood has no known hardness, so nothing follows for {wanted.wood}"
        raise UnusableInput(what, "the piece to reckon for", "write the species of every piece")
    members, more, beyond = _woods(pieces, wanted)
    parts, row, priors = [*parts, members], [*row, *more[0]], [*priors, *more[1]]
    extra = hypot(extra, beyond)
    mean, sd = (np.array(column, float) for column in zip(*priors, strict=True))
    return np.hstack(parts), NormalPrior(mean, sd), np.array(row, float), extra


def _openings(pieces):
    """Log tangents of half the notches' opening about their mean, where all were measured."""
    angles = [piece.notch_angle_deg for piece in pieces]
    if None in angles:
        return None
    logs = np.log(np.tan(np.radians(np.array(angles, float)) / 2))
    return logs - logs.mean()


def _woods(pieces, wanted):
    """Columns of the woods, the wanted piece's row and their priors, and what a new wood adds."""
    woods = list(dict.fromkeys(piece.wood for piece in pieces))
    scatter = hypot(WOODS_SD, HARDNESS_EXPONENT[0] * (wanted.hardness_sd_log or 0.2))
    told = woods if len(woods) > 1 else []
    members = np.array([[piece.wood == wood for wood in told] for piece in pieces], float)
    row = [float(wood == wanted.wood) for wood in told]
    # The error of a single wood is in its blades' columns, so both woods' errors count then.
    beyond = 0.0 if wanted.wood in woods else scatter * (1 if told else 2**0.5)
    return members.reshape(len(pieces), len(told)), (row, [(0.0, scatter)] * len(told)), beyond
