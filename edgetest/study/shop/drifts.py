"""How do medium and control blade change over a shop's years, each by itself?"""

import re
from dataclasses import dataclass
from math import exp

import numpy as np

from edgetest.estimate import Estimate, json_fields
from edgetest.stats.contrast import contrast, quantile

# Of the variance that a study's blades share over that of a mean life: looked through.
RATIOS = np.concatenate([[0.0], np.geomspace(1e-2, 1e3, 60)])
TINY = 1e-9
# A change is told where its interval would be, with means of studies scattering by a usual 20 % in
# life, at most a factor of 2 to either side (both our choice). What the lives themselves scatter
# does not decide: intervals told for being narrow by luck would hold less often than they say.
USUAL_SD = 0.2
WIDEST_A_YEAR = 0.7


@dataclass(frozen=True)
class Drifts:
    """Change of log life a year; None where it cannot be told.

    Attributes
    ----------
    medium : Estimate or None
        Of fresh blades of the same heat treatment: rope, board or card, and whatever else of the
        shop changes with them.
    control : Estimate or None
        Of the control blade against those.
    together : Estimate or None
        Of the control blade's own lives: both at once.
    """

    medium: Estimate | None = None
    control: Estimate | None = None
    together: Estimate | None = None

    def to_dict(self):
        """JSON-plain values."""
        return json_fields(self)

    def sentences(self, control):
        """One line each; what cannot be told is said with what would tell it.

        Parameters
        ----------
        control : str
            The control blade; "" where there is none.
        """
        if self.medium:
            yield f"By fresh blades the medium changes lives by {_a_year(self.medium)}."
        else:
            yield (
                "Whether the medium changes over the years cannot be told: it takes a heat "
                "treatment in four studies or more, over two years or more."
            )
        if not control:
            return
        name = control[:1].upper() + control[1:]
        if self.control:
            yield f"{name} changes by {_a_year(self.control)} against fresh blades."
        elif self.together:
            yield f"{name} and the medium together change by {_a_year(self.together)}."
        else:
            yield (
                f"Whether {control} changes over the years cannot be told: it takes four dated "
                "studies or more with it, over two years or more."
            )


def _a_year(slope):
    """A yearly change as a share, with its interval: "-2 % (-4 to +1 %) a year"."""
    value, low, high = (100 * (exp(each) - 1) for each in (slope.value, slope.low, slope.high))
    return f"{value:+.0f} % ({low:+.0f} to {high:+.0f} %) a year"


def drifts(studies, control, level=0.95):
    """Slopes over the dates of studies.

    Parameters
    ----------
    studies : sequence of StudyLives
    control : str
        The control blade's arm, "" where there is none.
    level : float

    Returns
    -------
    Drifts
        The control's against its studies' heat treatments by least squares about studies and
        heat treatments; the medium's by generalised least squares about heat treatments, a
        study's blades sharing what REML says [1]_; both by t, the latter with the degrees of
        freedom of studies.

    References
    ----------
    .. [1] H. D. Patterson, R. Thompson, "Recovery of inter-block information when block sizes are
       unequal", Biometrika 58 (1971) 545.
    """
    means = _means(studies)
    own = [each for each in means if each[1] != control]
    held = [each for each in means if each[1] == control]
    return Drifts(
        _medium(own, level), _against_fresh(means, control, level), _line(held, level)
    )  # fmt: skip


def _means(studies):
    """Study, arm, year and mean log life of each arm of each dated study."""
    found = []
    for number, study in enumerate(studies):
        year = years_of(study.date)
        for arm in sorted({run.arm for run in study.read_runs}) if year is not None else ():
            lives = [run.log_life for run in study.read_runs if run.arm == arm]
            found.append((number, arm, year, float(np.mean(lives))))
    return found


def _columns_of(values):
    """Indicators, a column a value."""
    names = sorted(set(values))
    return np.array([[float(each == name) for name in names] for each in values])


def _told(means, fixed, slope):
    """Design with the slope last, log lives; None where the slope is none of its own."""
    design = np.column_stack([*fixed, slope])
    full, bare = (np.linalg.matrix_rank(each) for each in (design, design[:, :-1]))
    if full == bare:
        return None
    return design, np.array([life for *_, life in means]), full


def _against_fresh(means, control, level):
    """Slope of the control against the other arms of its studies."""
    both = [each for each in means if any(e[0] == each[0] and e[1] == control for e in means)]
    if len({number for number, *_ in both}) < 3:
        return None
    years = np.array([year for _, _, year, _ in both])
    slope = (years - years.mean()) * [arm == control for _, arm, *_ in both]
    fixed = [_columns_of([arm for _, arm, *_ in both]), _columns_of([each[0] for each in both])]
    found = _told(both, fixed, slope)
    if found is None or len(both) - found[2] < 1:
        return None
    design, y, rank = found
    df = len(both) - rank
    return _slope(design, y, np.eye(len(both)), df, level, "least squares about studies, t")


def _medium(means, level):
    """Slope of the heat treatments' own lives."""
    studies = [number for number, *_ in means]
    df = len(set(studies)) - 2
    if df < 1:
        return None
    years = np.array([year for _, _, year, _ in means])
    found = _told(means, [_columns_of([arm for _, arm, *_ in means])], years - years.mean())
    if found is None or len(means) - found[2] < 1:
        return None
    design, y, _ = found
    shared = _columns_of(studies) @ _columns_of(studies).T

    lack = [_restricted(design, y, np.eye(len(y)) + each * shared) for each in RATIOS]
    ratio = RATIOS[int(np.argmin(lack))]
    return _slope(design, y, np.eye(len(y)) + ratio * shared, df, level, "REML, t of studies")


def _restricted(design, y, cov):
    """Minus twice the restricted log likelihood of a covariance up to its size."""
    root = np.linalg.inv(np.linalg.cholesky(cov))
    x, z = root @ design, root @ y
    basis, sizes, _ = np.linalg.svd(x, full_matrices=False)
    kept = sizes > TINY * sizes[0]
    left = z - basis[:, kept] @ (basis[:, kept].T @ z)
    free = len(y) - kept.sum()
    squares = max(float(left @ left), TINY)
    return free * np.log(squares) + np.linalg.slogdet(cov)[1] + 2 * np.log(sizes[kept]).sum()


def _slope(design, y, cov, df, level, method):
    """The last coefficient by generalised least squares, with its interval by t."""
    root = np.linalg.inv(np.linalg.cholesky(cov))
    x, z = root @ design, root @ y
    gain = np.linalg.pinv(x)[-1]
    left = z - x @ (np.linalg.pinv(x) @ z)
    free = len(y) - np.linalg.matrix_rank(x)
    found = contrast(float(gain @ z), float(left @ left) / free * float(gain @ gain), df, level,
                     method)  # fmt: skip
    value, half = float(found.difference), float(found.half_width)
    usual = USUAL_SD * float(np.linalg.norm(np.linalg.pinv(design)[-1]))
    if quantile(df, level) * usual > WIDEST_A_YEAR:
        return None
    return Estimate(value, value - half, value + half, "a year", level, method)


def _line(means, level):
    """Slope of one arm's mean log lives, by least squares and t."""
    years = np.array([year for _, _, year, _ in means])
    if len(means) < 3 or np.ptp(years) == 0:
        return None
    design = np.column_stack([np.ones(len(years)), years - years.mean()])
    y = np.array([life for *_, life in means])
    return _slope(design, y, np.eye(len(y)), len(y) - 2, level, "least squares, t")


def years_of(day):
    """A day, a month or a year as years, the middle of what is open; None for other words."""
    found = re.fullmatch(r"(\d{4})(?:-(\d\d)(?:-(\d\d))?)?", day.strip())
    if found is None:
        return None
    year, month, date = found.groups()
    if month is None:
        return int(year) + 0.5
    return int(year) + (int(month) - 1 + (0.5 if date is None else (int(date) - 1) / 31)) / 12
