"""What a fitted wear curve hands over: the curve, its life to the limit, the study's powers."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import Doubt, placed, sentences, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, plain
from edgetest.wear.curve.blade_life import Life
from edgetest.wear.curve.predicted_curve import PredictedCurves

NOT_KNOWN = np.log(1e12)  # half an interval of a log beyond which the number is not known at all


@dataclass(frozen=True)
class CurveBand:
    """A curve with the band that holds it at `level`, at `cuts`."""

    cuts: np.ndarray
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    level: float


@dataclass(frozen=True)
class CurveFit:
    """One blade's wear curve.

    `residuals` are natural logs of reading over curve, nan for bounds; `residual_cv` their
    spread, places along the edge in it; `outlying` the positions (in the arrays given to
    `fit_study`) of readings that stand out; `study_doubts` what is doubtful about all blades
    alike. `psi` and `parameters` are the law's; `curve` is the curve as the readings bear it out.
    `told_from`: cuts of the first number, where the readings do not show the fresh edge.
    """

    blade: str
    law: str
    parameters: dict[str, Estimate]
    life: Life | None
    residual_cv: float
    doubts: tuple[Doubt, ...]
    cuts: np.ndarray
    value: np.ndarray
    station: np.ndarray
    residuals: np.ndarray
    outlying: tuple[int, ...] = ()
    study_doubts: tuple[Doubt, ...] = ()
    level: float = 0.95
    t_quantile: float = field(default=1.96, repr=False)
    df: float = field(default=np.nan, repr=False)
    log_scale: float = field(default=np.nan, repr=False)
    psi: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    curve: PredictedCurves | None = field(default=None, repr=False)
    told_from: float = 0.0

    def predict(self, cuts):
        """The curve and its band (mean curve over the stations) at `cuts`.

        Parameters
        ----------
        cuts : array_like, shape (n,)

        Returns
        -------
        CurveBand
            In the unit of the readings; nan where the blade could not be fitted.
        """
        n = np.atleast_1d(np.asarray(cuts, dtype=float))
        if self.curve is None:
            nothing = np.full(n.shape, np.nan)
            return CurveBand(n, nothing, nothing, nothing, self.level)
        log_value, stderr = (part[0] for part in self.curve.with_error(n[None, :]))
        half = self.t_quantile * stderr
        with np.errstate(over="ignore"):  # far beyond the readings a band may have no upper end
            value, low, high = (np.exp(log_value + k * half) for k in (0, -1, 1))
        return CurveBand(n, value, low, high, self.level)

    def to_dict(self):
        """Plain values for JSON, with the keys of the contract and the worn-volume life beside."""
        parameters = {
            name: {"value": plain(e.value), "low": plain(e.low), "high": plain(e.high)}
            for name, e in self.parameters.items()
        }
        return {
            "blade": self.blade,
            "law": self.law,
            "parameters": parameters,
            "life": self.life.to_dict() if self.life else None,
            "residual_cv": plain(self.residual_cv),
            "outlying": list(self.outlying),
            **told(self.doubts + self.study_doubts),
        }

    def to_frame(self):
        """One row a checkpoint: readings, their (geometric) mean and own spread, curve and band."""
        import pandas as pd

        cuts = np.unique(self.cuts)
        band = self.predict(np.where(cuts < self.told_from, np.nan, cuts))
        rows = []
        for i, n in enumerate(cuts):
            values = self.value[(self.cuts == n) & np.isfinite(self.value)]
            logs = np.log(values)
            rows.append(
                {
                    "cuts": n,
                    "readings": len(values),
                    "mean": float(np.exp(logs.mean())) if len(values) else np.nan,
                    "spread_cv": float(logs.std(ddof=1)) if len(values) > 1 else np.nan,
                    "curve": band.value[i],
                    "low": band.low[i],
                    "high": band.high[i],
                }
            )
        return pd.DataFrame(rows)

    def summary(self, of=""):
        """The blade's life as a sentence; `of` says the limit's unit and reading."""
        if self.life is None:
            reason = self.doubts[0].text if self.doubts else "no limit was given."
            return f"{self.blade}: no life: {reason}"
        to = f" to {self.life.limit:g} {of}".rstrip()
        return f"{self.blade}: {self.life.summary(to)}"


@dataclass(frozen=True)
class ReadingsAt:
    """Log readings of a study's runs at given cuts, one element a run.

    `log_reading` of the run's mean edge and its standard error `log_se` by its own readings, on
    `df`; `law_u` (n, K) as `Life.log_life_law_u`, of the log reading; `inside`: whether the cuts
    lie within the run's stages. nan where a run could not be fitted.
    """

    run: tuple[str, ...]
    log_reading: np.ndarray
    log_se: np.ndarray
    df: np.ndarray
    law_u: np.ndarray
    inside: np.ndarray


@dataclass(frozen=True)
class StudyFit:
    """The wear curves of a study's blades and the powers of its heat treatments.

    `power` is the mean that the heat treatments' `powers` lie about (the power itself where there
    is one heat treatment); `power_root` (T, T) a root of the covariance of the log powers of the
    curves as read, a row a heat treatment of `treatments` (T,), `treatment_of` by run.
    """

    law: str
    power: Estimate | None
    blades: tuple[CurveFit, ...]
    doubts: tuple[Doubt, ...]
    limit: float | dict[str, float] | None = None
    station_cv: float = np.nan
    level: float = 0.95
    powers: dict[str, Estimate] = field(default_factory=dict)
    power_root: np.ndarray = field(default_factory=lambda: np.zeros((0, 0)), repr=False)
    treatment_of: dict[str, int] = field(default_factory=dict, repr=False)
    lives_to: Callable[[float], dict[str, Life | None]] | None = field(default=None, repr=False)

    def to_limit(self, limit):
        """The same curves with their lives to another limit.

        Parameters
        ----------
        limit : float

        Returns
        -------
        StudyFit
            The doubts are those of the first limit's lives.

        Raises
        ------
        UnusableInput
            If it is not above 0.
        """
        if not 0 < limit < np.inf:
            raise UnusableInput(f"{limit} met", "limit", "give a number above 0")
        lives = self.lives_to(limit) if self.lives_to else {}
        blades = (replace(fit, life=lives.get(fit.blade)) for fit in self.blades)
        return replace(self, limit=limit, blades=tuple(blades))

    def log_readings_at(self, cuts):
        """Log readings of every run at `cuts`, as the readings bear its curve out.

        Parameters
        ----------
        cuts : float

        Returns
        -------
        ReadingsAt
        """
        n = len(self.blades)
        value, stderr, df = np.full((3, n), np.nan)
        law_u, inside = np.zeros((n, len(self.power_root))), np.zeros(n, dtype=bool)
        for i, fit in enumerate(self.blades):
            if fit.curve is None:
                continue
            found = fit.curve.at(np.array([[float(cuts)]]))
            value[i], stderr[i], by_power = (float(part[0, 0]) for part in found)
            if len(self.power_root):
                law_u[i] = by_power * self.power_root[self.treatment_of[fit.blade]]
            df[i] = fit.df
            inside[i] = fit.cuts.min() <= cuts <= fit.cuts.max()
        names = tuple(fit.blade for fit in self.blades)
        return ReadingsAt(names, value, stderr, df, law_u, inside)

    def __getitem__(self, blade):
        """The fit of one blade, by its name."""
        for fit in self.blades:
            if fit.blade == blade:
                return fit
        raise KeyError(blade)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "law": self.law,
            "power": self.power.to_dict() if self.power else None,
            "powers": {name: each.to_dict() for name, each in self.powers.items()},
            "limit": dict(self.limit) if isinstance(self.limit, dict) else plain(self.limit),
            "blades": [fit.to_dict() for fit in self.blades],
            **told(self.doubts),
        }

    def to_frame(self):
        """One row a blade: life, interval, spread."""
        import pandas as pd

        rows = []
        for fit in self.blades:
            life = fit.life
            rows.append(
                {
                    "blade": fit.blade,
                    "life_cuts": life.cuts if life else np.nan,
                    "life_low_cuts": life.low if life else np.nan,
                    "life_high_cuts": life.high if life else np.nan,
                    "extrapolated": bool(life and life.extrapolated),
                    "censored": bool(life and life.censored),
                    "residual_cv": fit.residual_cv,
                    "warnings": " ".join(dict.fromkeys(one.code for one in fit.doubts)),
                }
            )
        return pd.DataFrame(rows)

    def summary(self, of="", titles=None):
        """One line a blade, the power, and what is doubtful about the study's curves.

        `titles` are those of the heat treatments by their ids.
        """
        lines = [fit.summary(of) for fit in self.blades]
        if len(self.powers) > 1:
            named = {(titles or {}).get(name, name): p for name, p in self.powers.items()}
            each = "; ".join(f"{name}: {p.summary()}" for name, p in named.items())
            lines.append(f"power of the wear law, {each}")
        elif self.power is not None:
            lines.append(f"power of the wear law: {self.power.summary()}")
        return "\n".join([*lines, *sentences(self.all_doubts())])

    def in_file(self, name):
        """The same fit, its blades' doubts telling the file that their rows stand in."""
        blades = (replace(fit, doubts=placed(fit.doubts, file=name)) for fit in self.blades)
        return replace(self, blades=tuple(blades))

    def all_doubts(self):
        """Doubts of the study's curves (where there are any), then of each blade's."""
        own = self.doubts if self.blades else ()
        return (*own, *(one for fit in self.blades for one in fit.doubts))


def estimate_from_log(value, log_se, quantile, unit, level, method):
    """An Estimate whose interval is symmetric on the log scale; open where that says nothing."""
    half = quantile * log_se
    if half > NOT_KNOWN:
        return Estimate(float(value), 0.0, np.inf, unit, level, method)
    low, high = float(value * np.exp(-half)), float(value * np.exp(half))
    return Estimate(float(value), low, high, unit, level, method)
