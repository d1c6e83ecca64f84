"""What does the figure of the ratio against the limit show, as numbers?

Paper and screen draw the same, so that they cannot disagree.
"""

from dataclasses import dataclass

import numpy as np

from edgetest.report.figures.plot_style import axis_label
from edgetest.report.letters import short_names

REACH = 10.0  # a band is drawn to at most so many times its ratio
ROOM = 1.04  # the axis goes so many times past the outermost limit
LETTERS = 24  # of a name beside the axis, which is as tall as some thirty letters are long


@dataclass(frozen=True)
class LevelBand:
    """The ratio of lives to each limit with its band; arrays of shape (n,), limits rising.

    `limit` is the study's own, marked; `label` and `of_pair` what the axes say.
    """

    at: np.ndarray
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    limit: float | None
    label: str
    of_pair: tuple[str, ...]

    @property
    def ends(self):
        """Of the horizontal axis."""
        return self.at[0] / ROOM, self.at[-1] * ROOM


def level_band(levels, *, limit, reading, pair):
    """What is drawn of the ratio against the limit.

    Parameters
    ----------
    levels : sequence of dict
        `limit`, `estimate`, `low`, `high` of each, as `AtLevel.to_dict` tells them.
    limit : float or None
        The limit of the study.
    reading : str
        Column of the log, for the axis.
    pair : tuple of str or None
        Heat treatment whose lives are divided, and the one by whose.

    Returns
    -------
    LevelBand
    """
    rows = sorted(levels, key=lambda row: row["limit"])
    at, value = (np.array([row[key] for row in rows]) for key in ("limit", "estimate"))
    low = np.array([row["low"] or row["estimate"] / REACH for row in rows])
    high = np.array([row["high"] or row["estimate"] * REACH for row in rows])
    return LevelBand(
        at=at,
        value=value,
        low=np.maximum(low, value / REACH),
        high=np.minimum(high, value * REACH),
        limit=limit,
        label=f"limit: {axis_label(reading)}",
        of_pair=("ratio of lives", *(_one_over_the_other(pair) if pair else ())),
    )


def _one_over_the_other(pair):
    """Names of a pair without quotation marks, short enough to stand beside the axis."""
    of, over = short_names([name.strip("“”") for name in pair], LETTERS)
    return of, f"over {over}"
