"""Severed billets as a log-linear regression: checked columns, design matrix, normal priors.

log(chops) = log(cross-section) + blade + board + g * log(hardness / reference) + d * chops so
far; boards are drawn towards their mean. The prior of g follows from the Wood Handbook:
strengths across a cut grow about as specific gravity (powers 0.85 to 1.13), side hardness as
its 1.49th to 2.09th power, so chops should grow as hardness to about 0.5 to 0.67. No source
was found that measured it with a chopper.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.stats.regression import NormalPrior

# Mean and standard deviation of the prior of g, the power of hardness.
HARDNESS_EXPONENT = (0.55, 0.20)
# Loss per 100 chops, log scale: a blade that needs 35 % more chops after 100 is one sd away.
DULLING_SD = 0.3
# Boards of one kind, log scale: no source; the same 15 % as between billets.
BOARD_SD = 0.15


@dataclass(frozen=True)
class Billets:
    """Severed billets, one element each.

    Parameters
    ----------
    blade : sequence of str, length n
        Blade of each billet.
    chops : array_like of int, shape (n,)
        Every stroke to sever it, near misses included.
    area_cm2 : array_like, shape (n,)
        Cross-section, cm².
    hardness_n : array_like, shape (n,), optional
        Side hardness of each billet at its moisture, N; without it the figures are for the
        wood as chopped.
    hardness_sd_log : float
        Standard deviation of log(hardness) shared by all billets (one board): it widens the
        figures in reference wood, not the ratios.
    chops_before : array_like, shape (n,), optional
        Chops the edge had made before each billet. Without it no dulling is fitted.
    share_cut : array_like, shape (n,), optional
        Share of the cross-section cut (1 = severed); a billet given up half way is 0.5.
    severed : array_like of bool, shape (n,), optional
        False where a billet was given up and its share cut is not known: its chops are then
        a lower bound.
    board : sequence of str, length n, optional
        Board (or day) of each billet, where billets of one board went to several blades.
    near_misses : array_like of int, shape (n,), optional
        Strokes that missed the cut, among `chops`; None or NaN where they were not counted.
    treatment : sequence of str, length n, optional
        Heat treatment of each billet's blade; two or more are compared, blades as replicates.
    wood : sequence of str, length n, optional
        Wood of each billet, "" where it is not known: the tools are compared in each by itself.
    """

    blade: Sequence[str]
    chops: Sequence[float]
    area_cm2: Sequence[float]
    hardness_n: Sequence[float] | None = None
    hardness_sd_log: float = 0.0
    chops_before: Sequence[float] | None = None
    share_cut: Sequence[float] | None = None
    severed: Sequence[bool] | None = None
    board: Sequence[str] | None = None
    near_misses: Sequence[float | None] | None = None
    treatment: Sequence[str] | None = None
    wood: Sequence[str] | None = None


@dataclass(frozen=True)
class Severed:
    """Billets as arrays, checked: one element each, `exposure` in 100 cm² cut.

    `given_up` has how many billets did not fall, of the blades with such.
    """

    blade: np.ndarray
    chops: np.ndarray
    area_cm2: np.ndarray
    exposure: np.ndarray
    standing: np.ndarray
    given_up: dict[str, int]
    hardness_n: np.ndarray | None
    chops_before: np.ndarray | None
    board: tuple[str, ...]
    treatment_of: dict[str, str]

    @property
    def one_wood(self):
        """Whether hardness does not tell the billets apart."""
        return self.hardness_n is None or bool(np.ptp(np.log(self.hardness_n)) < 1e-9)


@dataclass(frozen=True)
class CountDesign:
    """Columns of the regression: blades first, then hardness, dulling and boards where in."""

    names: tuple[str, ...]
    boards: tuple[str, ...]
    matrix: np.ndarray
    prior: NormalPrior
    at_chops: float
    hardness: int | None
    dulling: int | None
    from_fresh: bool


def check_billets(billets):
    """Columns of `Billets` as arrays, each checked.

    Returns
    -------
    Severed

    Raises
    ------
    UnusableInput
        If columns differ in length, a number cannot be, or a blade has two heat treatments.
    """
    blade = np.asarray([str(name) for name in billets.blade])
    n = len(blade)
    area = _column(billets.area_cm2, n, "area_cm2")
    cut = np.ones(n) if billets.share_cut is None else _column(billets.share_cut, n, "share_cut")
    if np.any(cut > 1):
        raise UnusableInput("a share above 1", "share_cut", "1 is severed, 0.5 is half through")
    severed = np.asarray(_labels(billets.severed, n, "severed") or [True] * n, dtype=bool)
    treatment_of: dict[str, str] = {}
    for name, kind in zip(blade, _labels(billets.treatment, n, "treatment"), strict=False):
        if treatment_of.setdefault(str(name), str(kind)) != str(kind):
            both = " and ".join(sorted((treatment_of[name], str(kind))))
            what = f"blade {name} has the heat treatments {both}"
            raise UnusableInput(what, "treatment", "give every blade one heat treatment")
    return Severed(
        blade=blade,
        chops=_column(billets.chops, n, "chops", minimum=1),
        area_cm2=area,
        exposure=area * cut / 100,
        standing=~severed,
        given_up=dict(Counter(map(str, blade[(cut < 1) | ~severed]))),
        hardness_n=_column(billets.hardness_n, n, "hardness_n"),
        chops_before=_column(billets.chops_before, n, "chops_before", minimum=0),
        board=tuple(map(str, _labels(billets.board, n, "board"))),
        treatment_of=treatment_of,
    )


def _column(values, n, where, *, minimum=None):
    """One column of the log as floats, each checked; None where it was not taken."""
    if values is None:
        return None
    values = np.asarray(values, dtype=float)
    if values.shape != (n,):
        what = f"{values.size} values for {n} billets"
        raise UnusableInput(what, where, "give one value a billet")
    bad = ~np.isfinite(values) | (values <= 0 if minimum is None else values < minimum)
    if np.any(bad):
        row = int(np.flatnonzero(bad)[0])
        least = "above zero" if minimum is None else f"of {minimum:g} or more"
        what = f"billet {row + 1} has {values[row]:g}"
        raise UnusableInput(what, where, f"give a number {least}")
    return values


def _labels(values, n, where):
    """A column of words or yes and no, one a billet; empty where it was not taken."""
    if values is None:
        return []
    values = list(values)
    if len(values) != n:
        what = f"{len(values)} values for {n} billets"
        raise UnusableInput(what, where, "give one value a billet")
    return values


def design_of(billets, reference_hardness_n):
    """The design matrix of checked billets, with the prior of every column.

    Returns
    -------
    CountDesign
    """
    names = tuple(dict.fromkeys(billets.blade.tolist()))
    columns = [((billets.blade == name).astype(float), 0.0, np.inf) for name in names]
    hardness = dulling = None
    at_chops, from_fresh = 0.0, False
    if billets.hardness_n is not None:
        hardness = len(columns)
        columns.append((np.log(billets.hardness_n / reference_hardness_n), *HARDNESS_EXPONENT))
    if billets.chops_before is not None:
        middle = billets.chops_before + billets.chops / 2
        at_chops = float(np.average(middle, weights=billets.chops))
        if np.ptp(middle) > 0:
            dulling = len(columns)
            columns.append(((middle - at_chops) / 100, 0.0, DULLING_SD))
            # A fresh edge is not guessed from one that was far from fresh throughout.
            from_fresh = bool(billets.chops_before.min() <= np.ptp(middle))
    boards = tuple(dict.fromkeys(billets.board))
    boards = boards if len(boards) > 1 else ()
    board = np.asarray(billets.board)
    for name in boards:
        columns.append(((board == name).astype(float), 0.0, BOARD_SD))
    parts, mean, sd = zip(*columns, strict=True)
    return CountDesign(
        names=names,
        boards=boards,
        matrix=np.column_stack(parts),
        prior=NormalPrior(np.array(mean), np.array(sd)),
        at_chops=at_chops,
        hardness=hardness,
        dulling=dulling,
        from_fresh=from_fresh,
    )
