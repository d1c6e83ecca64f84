"""Speed of the wear fits beside a loop over scipy.optimize.curve_fit, same answers.

Run: OMP_NUM_THREADS=1 python -m tests.benchmarks.curve_speed
A study of 6 blades, 9 stages, 4 stations; 10,000 bootstrap samples of its readings (stations drawn
with replacement), so 60,000 fits; the loop does 600 of them and is scaled up.
"""

import platform
from time import process_time

import numpy as np
import scipy
from scipy.optimize import curve_fit

from edgetest.wear.curve.batch_fit import Curves, fit_shapes
from edgetest.wear.curve.laws import WEDGE
from edgetest.wear.curve.profile_likelihood import Profiled, profile_life
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions, fit_study

BLADES, STAGES, STATIONS, SAMPLES, LOOPED = 6, 9, 4, 10_000, 100
BLOCKS = 10  # samples refitted at a time stay in the processor's cache
LIMIT, LOG_POWER = 10.0, np.log(2.0)


def study(rng):
    """Cuts (9,) and log readings (6, 9, 4) of an invented study."""
    cuts = np.array([0, 5, 10, 20, 40, 80, 120, 200, 320.0])
    lives = np.array([200, 300, 250, 400, 380, 420.0])
    curve = 0.5 * np.log(4 + (LIMIT**2 - 4) / lives[:, None] * cuts)
    station = 0.05 * rng.standard_normal((BLADES, 1, STATIONS))
    noise = 0.05 * rng.standard_normal((BLADES, STAGES, STATIONS))
    return cuts, curve[:, :, None] + station + noise


def best_of(times, job):
    """Shortest processor time of several runs (one thread), and the last result."""
    spent = []
    for _ in range(times):
        begin = process_time()
        result = job()
        spent.append(process_time() - begin)
    return min(spent), result


def resample(log_readings, rng):
    """Bootstrap samples (R, 6, 9, 4): every blade's stations drawn with replacement."""
    drawn = rng.integers(STATIONS, size=(SAMPLES, BLADES, 1, STATIONS))
    return np.take_along_axis(log_readings[None], drawn, axis=3)


def looped(cuts, samples):
    """The same lives one fit at a time, in the same parameters."""

    def curve(n, log_scale, log_rate):
        return log_scale + 0.5 * np.log1p(np.exp(log_rate) * n)

    def slopes(n, log_scale, log_rate):
        grown = np.exp(log_rate) * n
        return np.stack([np.ones_like(n), 0.5 * grown / (1 + grown)], axis=1)

    out = np.empty(samples.shape[:2])
    for r, b in np.ndindex(*out.shape):
        y = samples[r, b].mean(axis=1)
        start = (y[0], np.log(np.expm1(2 * (y[-1] - y[0])) / cuts[-1]))
        (scale, rate), _ = curve_fit(curve, cuts, y, p0=start, jac=slopes)
        out[r, b] = np.log(np.expm1(2 * (np.log(LIMIT) - scale))) - rate
    return out


def refitted(cuts, means, psi):
    """Log lives (R, 6) of samples (R, 6, 9) as the wear fits take many curves at once."""
    curves = Curves(
        np.tile(cuts, (means[..., 0].size, 1)),
        means.reshape(-1, STAGES),
        np.ones((means[..., 0].size, STAGES)),
    )
    start = np.tile(psi, (len(means), 1))
    shapes = fit_shapes(WEDGE, curves, held={1: LOG_POWER}, start=start)
    return np.log(WEDGE.cuts_at(np.log(LIMIT) - shapes.log_scale, shapes.psi)).reshape(-1, BLADES)


def main():
    """Print the times side by side."""
    rng = np.random.default_rng(20261125)
    cuts, log_readings = study(rng)
    samples = resample(log_readings, rng)
    names = [f"blade {b}" for b, _, _ in np.ndindex(*log_readings.shape)]
    stages = [cuts[s] for _, s, _ in np.ndindex(*log_readings.shape)]
    places = [str(k) for _, _, k in np.ndindex(*log_readings.shape)]
    values = np.exp(log_readings).ravel()

    readings = wear_readings(names, stages, values, station=places)

    def fitted(power):
        return fit_study(readings, FitOptions(limit=LIMIT, power=power))

    fit = fitted(2.0)
    psi = np.stack([curve.psi for curve in fit.blades])

    def vectorised():
        means = samples @ np.full(STATIONS, 1 / STATIONS)
        return np.concatenate([refitted(cuts, part, psi) for part in np.split(means, BLOCKS)])

    here, lives = best_of(5, vectorised)
    there, beside = best_of(1, lambda: looped(cuts, samples[:LOOPED]))
    there *= SAMPLES / LOOPED
    error = np.abs(np.exp(lives[:LOOPED] - beside) - 1).max()
    print(f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}")
    print(f"60,000 refits here                     {here:8.3f} s")
    print(f"60,000 refits, loop over curve_fit     {there:8.2f} s   ({there / here:.0f} times)")
    print(f"largest relative difference of a life  {error:.1e}")
    for power in (2.0, None):
        spent, _ = best_of(5, lambda power=power: fitted(power))
        print(f"fit_study, p {'estimated' if power is None else 'set':<26s} {1e3 * spent:8.1f} ms")
    spent, _ = best_of(5, profiles(fit, cuts, log_readings))
    print(f"profile interval, per blade            {1e3 * spent / BLADES:8.2f} ms")


def profiles(fit, cuts, log_readings):
    """A job that finds the six intervals by profile likelihood."""
    sd = 0.05 / np.sqrt(STATIONS)
    means = log_readings.mean(axis=2)
    curves = Curves(np.tile(cuts, (BLADES, 1)), means, np.full(means.shape, 1 / sd))
    psi = np.stack([curve.psi for curve in fit.blades])
    log_life = np.array([curve.life.log_life for curve in fit.blades])
    se = np.array([curve.life.log_life_se for curve in fit.blades])
    at = np.full(BLADES, np.log(LIMIT))
    sought = Profiled(WEDGE, curves, psi, at, held=(1,))
    return lambda: profile_life(sought, log_life, se, np.full(BLADES, 2.0))


if __name__ == "__main__":
    main()
