"""Severed billets as a regression: checked columns, the design matrix and its priors.

log(chops) = log(cross-section) + blade + board + g * log(hardness / reference) + d * chops so
far; boards are drawn towards their mean. The prior of g follows from the Wood Handbook:
strengths across a cut grow about as specific gravity (powers 0.85 to 1.13), side hardness as
its 1.49th to 2.09th power, so chops should grow as hardness to about 0.5 to 0.67. No source
was found that measured it with a chopper.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput

HARDNESS_EXPONENT = (0.55, 0.20)
# Loss per 100 chops, log scale: a blade that needs 35 % more chops after 100 is one sd away.
DULLING_SD = 0.3
# Boards of one kind, log scale: no source; the same 15 % as between billets.
BOARD_SD = 0.15


@dataclass(frozen=True)
class Severed:
    """Billets as logged, checked: one element each, `exposure` in 100 cm² cut."""

    blade: np.ndarray
    chops: np.ndarray
    area_cm2: np.ndarray
    exposure: np.ndarray
    standing: np.ndarray
    given_up: bool
    hardness_n: np.ndarray | None
    chops_before: np.ndarray | None
    board: tuple[str, ...]
    treatment: tuple[str, ...]

    @property
    def one_wood(self):
        """Whether hardness does not tell the billets apart."""
        return self.hardness_n is None or bool(np.ptp(np.log(self.hardness_n)) < 1e-9)


@dataclass(frozen=True)
class Design:
    """Columns of the regression: blades first, then hardness, dulling and boards where in."""

    names: tuple[str, ...]
    boards: tuple[str, ...]
    matrix: np.ndarray
    prior_mean: np.ndarray
    prior_sd: np.ndarray
    at_chops: float
    hardness: int | None
    dulling: int | None
    from_fresh: bool


def check_billets(
    blade, chops, area_cm2, *, hardness_n, chops_before, share_cut, severed, board, treatment
):
    """Columns of a chop log as `Severed`; see `edgetest.chop.counts.fit_counts`."""
    blade = np.asarray([str(name) for name in blade])
    n = len(blade)
    area = _column(area_cm2, n, "area_cm2")
    cut = np.ones(n) if share_cut is None else _column(share_cut, n, "share_cut")
    if np.any(cut > 1):
        raise UnusableInput("a share above 1", "share_cut", "1 is severed, 0.5 is half through")
    standing = np.zeros(n, bool) if severed is None else ~_labels(severed, n, "severed")
    treatment = () if treatment is None else _labels(treatment, n, "treatment").tolist()
    for name in dict.fromkeys(blade.tolist()):
        kinds = {kind for kind, own in zip(treatment, blade, strict=False) if own == name}
        if len(kinds) > 1:
            what = f"blade {name} has the heat treatments {' and '.join(sorted(map(str, kinds)))}"
            raise UnusableInput(what, "treatment", "give every blade one heat treatment")
    return Severed(
        blade=blade,
        chops=_column(chops, n, "chops", minimum=1),
        area_cm2=area,
        exposure=area * cut / 100,
        standing=standing,
        given_up=bool(np.any(cut < 1) or standing.any()),
        hardness_n=None if hardness_n is None else _column(hardness_n, n, "hardness_n"),
        chops_before=(
            None if chops_before is None else _column(chops_before, n, "chops_before", minimum=0)
        ),
        board=() if board is None else tuple(map(str, _labels(board, n, "board"))),
        treatment=tuple(map(str, treatment)),
    )


def _column(values, n, where, *, minimum=None):
    """One column of the log as floats, each checked."""
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
    """A column of words or yes and no, one a billet."""
    values = np.asarray(list(values))
    if values.shape != (n,):
        what = f"{values.size} values for {n} billets"
        raise UnusableInput(what, where, "give one value a billet")
    return values.astype(bool) if where == "severed" else values


def design_of(billets, reference_hardness_n, exponent):
    """The design matrix of checked billets, with the prior of every column.

    Returns
    -------
    Design
    """
    names = tuple(dict.fromkeys(billets.blade.tolist()))
    columns = [((billets.blade == name).astype(float), 0.0, np.inf) for name in names]
    hardness = dulling = None
    at_chops, from_fresh = 0.0, False
    if billets.hardness_n is not None:
        hardness = len(columns)
        columns.append((np.log(billets.hardness_n / reference_hardness_n), *exponent))
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
    for name in boards:
        columns.append((np.array([one == name for one in billets.board], float), 0.0, BOARD_SD))
    parts, mean, sd = zip(*columns, strict=True)
    return Design(
        names=names,
        boards=boards,
        matrix=np.column_stack(parts),
        prior_mean=np.array(mean),
        prior_sd=np.array(sd),
        at_chops=at_chops,
        hardness=hardness,
        dulling=dulling,
        from_fresh=from_fresh,
    )
