"""What a fitted wear curve hands over: the curve, its life to the limit, the study's power."""

from dataclasses import dataclass, field, replace
from math import inf, isfinite

import numpy as np

from edgetest.doubts import Doubt, placed, sentences, told
from edgetest.estimate import Estimate, decimals, plain
from edgetest.wear.curve.laws import LAWS


@dataclass(frozen=True)
class Life:
    """Cuts until the limit, with its interval (a median: the law is fitted on the log scale).

    `extrapolated`: the life lies beyond the last stage. `censored`: the blade was stopped
    before its reading reached the limit. An interval without an upper end has `high` = inf.
    `between_stages` is where the curve crosses the limit when bent to pass through the two stages
    about it, whatever the law; None where no stage lies beyond the limit.
    `log_life_se` is the doubt from this blade's own readings and stations; `log_life_shared_u`
    from a scale error that all blades of the calibration share (cancels in a ratio);
    `log_life_law_u` from the power p that all blades of the study share (its sign is that of
    the life's change when p grows: in a ratio the difference of two blades counts).
    """

    cuts: float
    low: float
    high: float
    extrapolated: bool
    censored: bool
    limit: float
    log_life: float
    log_life_se: float
    df: float
    log_life_shared_u: float = 0.0
    log_life_law_u: float = 0.0
    last_stage: float = inf
    level: float = 0.95
    between_stages: float | None = None

    def to_dict(self):
        """Plain values for JSON; an open end is None."""
        return {
            "cuts": plain(self.cuts),
            "low": plain(self.low),
            "high": plain(self.high),
            "extrapolated": self.extrapolated,
            "censored": self.censored,
        }

    def summary(self):
        """The life as a maker reads it."""
        if not isfinite(self.cuts):
            return f"more than {self.low:.0f} cuts"
        places = decimals(self.low, self.high, self.cuts)
        upper = f"to {self.high:.{places}f}" if isfinite(self.high) else "or more"
        tail = ", beyond the last stage" if self.extrapolated else ""
        return f"{self.cuts:.{places}f} cuts ({self.low:.{places}f} {upper}{tail})"


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
    `fit_study`) of readings that stand out; `life_worn_volume` the life with p set to
    that of constant worn volume per cut (2 for a width); `study_doubts` what is doubtful about
    all blades alike.
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
    life_worn_volume: Life | None = None
    outlying: tuple[int, ...] = ()
    study_doubts: tuple[Doubt, ...] = ()
    level: float = 0.95
    t_quantile: float = field(default=1.96, repr=False)
    log_scale: float = field(default=np.nan, repr=False)
    psi: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    cov: np.ndarray = field(default_factory=lambda: np.empty((0, 0)), repr=False)

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
        if not len(self.psi):
            nothing = np.full(n.shape, np.nan)
            return CurveBand(n, nothing, nothing, nothing, self.level)
        law = LAWS[self.law]
        log_value = self.log_scale + law.log_shape(n, self.psi)
        slopes = np.column_stack([np.ones_like(n), law.slopes(n, self.psi)])
        half = self.t_quantile * np.sqrt(np.einsum("ni,ij,nj->n", slopes, self.cov, slopes))
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
            "life_worn_volume": self.life_worn_volume.to_dict() if self.life_worn_volume else None,
            "residual_cv": plain(self.residual_cv),
            "outlying": list(self.outlying),
            **told(self.doubts + self.study_doubts),
        }

    def to_frame(self):
        """One row a checkpoint: readings, their (geometric) mean and own spread, curve and band."""
        import pandas as pd

        cuts = np.unique(self.cuts)
        band = self.predict(cuts)
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

    def summary(self):
        """The blade's life as a sentence."""
        if self.life is None:
            reason = self.doubts[0].text if self.doubts else "no limit was given."
            return f"{self.blade}: no life: {reason}"
        return f"{self.blade}: {self.life.summary()} to {self.life.limit:g}"


@dataclass(frozen=True)
class StudyFit:
    """The wear curves of a study's blades and the power p they share."""

    law: str
    power: Estimate | None
    blades: tuple[CurveFit, ...]
    doubts: tuple[Doubt, ...]
    limit: float | dict[str, float] | None = None
    station_cv: float = np.nan
    level: float = 0.95

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

    def summary(self):
        """One line a blade, the power, and what is doubtful about the study's curves."""
        lines = [fit.summary() for fit in self.blades]
        if self.power is not None and self.law == "wedge":
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
    """An Estimate whose interval is symmetric on the log scale."""
    half = quantile * log_se
    with np.errstate(over="ignore"):
        low, high = float(value * np.exp(-half)), float(value * np.exp(half))
    return Estimate(float(value), low, high, unit, level, method)
