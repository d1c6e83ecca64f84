"""What a temper takes off the hardness of a quenched plain steel: two tempering charts."""

from dataclasses import dataclass

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.temper import combined_temper
from edgetest.units import as_typed

HOTTEST_CASE_TEMPER_C = 340.0  # where the charts end
# Two charts for plain steel of 0.95 % carbon, oil quenched to 66 HRC, read on public pages of a
# kiln maker (rockbladekilns.com: two tempers of 40 min) and of a knife maker (noonsknives: time
# not said, taken as two hours): °C, and the middle of the hardness printed. Neither page was
# found for a second reading. A steel of 0.45 % loses about as much (from memory).
AS_QUENCHED_HRC = 66.0
CHARTS = (
    (80.0, ((150, 65), (180, 63.5), (200, 60.5), (230, 57.5), (260, 55.5), (290, 53.5),
            (320, 52.5), (340, 50))),
    (120.0, ((149, 65), (177, 63.5), (204, 62.5), (232, 61.5), (260, 59.5), (288, 57.5),
             (316, 55.5), (343, 53.5))),
)  # fmt: skip
NOTHING_YET = 7.5  # parameter of an hour at 100 °C: softens nothing
LEAST_SD_HRC = 0.7  # of steels about the charts, where these agree; our choice, no source


@dataclass(frozen=True)
class CaseTemper:
    """The temper of a hardened case; two hours in all at 180 °C is common practice, no source."""

    temperature_c: float = 180.0
    time_min: float = 60.0
    repeats: int = 2

    def __post_init__(self):
        if not 0 <= self.temperature_c <= HOTTEST_CASE_TEMPER_C:
            what = f"{as_typed(self.temperature_c, 'c')} is beyond the tempering charts"
            mend = f"give a temper of up to {HOTTEST_CASE_TEMPER_C:g} °C"
            raise UnusableInput(what, "temper, temperature_c", mend)
        if not self.time_min > 0 or not self.repeats >= 1:
            what = f"{self.repeats:g} times {self.time_min:g} min is no temper"
            raise UnusableInput(what, "temper, time_min", "give the minutes, and once or more")

    def softening_hrc(self):
        """Hardness it takes off, HRC: (middle of the two charts, standard uncertainty)."""
        hours = self.time_min * self.repeats / 60
        parameter = combined_temper([(self.temperature_c, hours)])
        low, high = sorted(float(np.interp(parameter, *chart)) for chart in _CURVES)
        return (low + high) / 2, float(np.hypot(LEAST_SD_HRC, (high - low) / 2))

    def words(self):
        """The temper as a maker says it: "2 times 60 min at 180 °C"."""
        at = f"{as_typed(self.time_min, 'min')} at {as_typed(self.temperature_c, 'c')}"
        return at if self.repeats == 1 else f"{self.repeats} times {at}"

    def to_dict(self):
        """Plain values for JSON."""
        middle, sd = self.softening_hrc()
        return {
            "temperature_c": self.temperature_c,
            "time_min": self.time_min,
            "repeats": self.repeats,
            "softens_hrc": middle,
            "softens_u_hrc": sd,
        }


def most_taken_hrc(celsius, hours):
    """The most that one temper takes off, HRC, by the softer chart; None beyond the charts.

    Parameters
    ----------
    celsius, hours : float
        Temper temperature, °C, and time in all.
    """
    if celsius > HOTTEST_CASE_TEMPER_C:
        return None
    parameter = combined_temper([(celsius, hours)])
    return max(float(np.interp(parameter, *chart)) for chart in _CURVES)


def _curve(minutes, points):
    """A chart as tempering parameter and hardness lost, both rising."""
    parameters = [combined_temper([(celsius, minutes / 60)]) for celsius, _ in points]
    lost = [AS_QUENCHED_HRC - hrc for _, hrc in points]
    return np.array([NOTHING_YET, *parameters]), np.array([0.0, *lost])


_CURVES = tuple(_curve(*chart) for chart in CHARTS)
USUAL_TEMPER = CaseTemper()
