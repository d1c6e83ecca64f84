"""What a ratio of lives means to a maker: the verdict, the doubts, the blades still needed."""

from dataclasses import dataclass
from math import isfinite, log

import numpy as np
from scipy.special import chdtri, nctdtr, ndtr, ndtri, stdtrit

from edgetest.estimate import WARNINGS as COMMON_WARNINGS
from edgetest.estimate import plain

WARNINGS = {
    "one_blade_per_treatment": COMMON_WARNINGS["one_blade_per_treatment"],
    "batch_confounded": (
        "All blades of a heat treatment came out of one batch: a lucky or unlucky batch cannot "
        "be told from the heat treatment. The answer is about the batches; harden each heat "
        "treatment in two or more batches to speak of the heat treatments."
    ),
    "batches_are_replicates": (
        "Blades of one batch share its luck, so each batch counts once, by its mean; more "
        "batches narrow the interval, more blades of the same batch hardly do."
    ),
    "unbalanced": (
        "The heat treatments have different numbers of blades, so each keeps its own scatter; "
        "the interval is wider than equal numbers would give. Test equal numbers."
    ),
    "intervals_disagree": (
        "The interval with one scatter for all blades and the one with a scatter of its own for "
        "each heat treatment lead to different verdicts; both are shown. More blades settle it."
    ),
    "measurement_floor": (
        "The blades agree better than the readings can, by luck: the interval that the readings "
        "alone allow is wider and is shown too. Trust the wider one; more stations or clearer "
        "photographs narrow it."
    ),
    "no_scatter": (
        "The lives within each heat treatment are all the same, so there is no scatter to judge "
        "by: the interval is the readings' own, or none. Give the readings more digits."
    ),
    "uneven_readings": (
        "Some blades' lives are known much more surely than others' (threefold or more); they "
        "count alike. Cut the poorly known blades further, or to more stages."
    ),
    "life_is_a_bound": (
        "A blade was stopped before the limit and only a least life is known for it; it enters "
        "as that bound. Cut it further, or choose a limit that all blades reach."
    ),
    "blocks_not_used": (
        "A blade was stopped before the limit, and too few lives are known to compare within "
        "blocks: the blocks are left out of the reckoning, which makes the interval wider. Cut "
        "that blade further, or test in more blocks."
    ),
    "no_control_in_block": (
        "A block has no run of the control blade, so its blades are taken as they stand. "
        "Run the control blade in every block."
    ),
    "control_not_used": (
        "The control blade ran in fewer than two blocks, so it cannot show drift between them. "
        "Run it in every block."
    ),
    "blade_left_out": (
        "A blade has no life (too few readings for a curve), so it is left out of the "
        "comparison. Cut it to more stages."
    ),
    "runs_averaged": (
        "A blade was run more than once; its runs are averaged and it counts once. Another "
        "blade tells more than another run."
    ),
    "few_blades": (
        "With two blades a side the scatter itself is hardly known; the interval is honest and "
        "wide. A third blade a side narrows it most of all."
    ),
    "incomplete_block": (
        "A block does not hold every heat treatment; it helps less than a complete one. Put one "
        "blade of each heat treatment into each block."
    ),
    "history_disagrees": (
        "The scatter of this study is far from that of the shop's earlier ones; trust the "
        "answer without the history, and look for what has changed."
    ),
}

VERDICTS = ("longer", "shorter", "no_relevant_difference", "cannot_tell")
POWER = 0.8  # common practice for planning; no source
MOST_BLADES = 400


def judge(wide, narrow, margin):
    """One of the four verdicts.

    Parameters
    ----------
    wide : tuple of float
        Ends of the log ratio's interval at the stated level (95 %).
    narrow : tuple of float
        Ends at twice its error (90 %): two one-sided tests at 5 % each [1]_.
    margin : float
        Relevant difference as a share of life; 0.10 means from 1/1.1 to 1.1.

    Returns
    -------
    str
        "no_relevant_difference" where the narrower interval lies within the margin, even if
        it leaves out 1; else "longer" or "shorter" where the wider one leaves out 1; else
        "cannot_tell".

    References
    ----------
    .. [1] D. J. Schuirmann, "A comparison of the two one-sided tests procedure and the
       power approach", J. Pharmacokinet. Biopharm. 15 (1987) 657-680.
    """
    edge = log(1 + margin)
    if -edge < narrow[0] and narrow[1] < edge:
        return "no_relevant_difference"
    if wide[0] > 0:
        return "longer"
    if wide[1] < 0:
        return "shorter"
    return "cannot_tell"


@dataclass(frozen=True)
class Practical:
    """Whether the difference matters: verdict against a margin, and its interval."""

    margin: float
    verdict: str
    low: float  # ratio, interval of the two one-sided tests
    high: float
    level: float
    reaches_margin: bool  # longer or shorter by the margin at least, with the stated level

    def to_dict(self):
        """JSON-plain values."""
        return {
            "margin": self.margin,
            "verdict": self.verdict,
            "low": plain(self.low),
            "high": plain(self.high),
            "level": self.level,
            "reaches_margin": self.reaches_margin,
        }


@dataclass(frozen=True)
class BladesNeeded:
    """Blades a side (in all, not more) that should settle it, with the doubt of that number.

    None stands for more than `MOST_BLADES`. `low` to `high` holds 80 % of what the scatter
    and the difference seen so far allow.
    """

    per_side: int | None
    low: int | None
    high: int | None
    purpose: str

    def to_dict(self):
        """JSON-plain values."""
        return {
            "per_side": self.per_side,
            "low": self.low,
            "high": self.high,
            "purpose": self.purpose,
        }


_GRID = np.unique(np.round(np.geomspace(2, MOST_BLADES, 60)).astype(int))


def chance_to_settle(n, difference, sd, margin, level=0.95):
    """Chance that n blades a side end in any verdict but "cannot tell" (balanced, pooled t).

    Parameters
    ----------
    n : array_like of int
        Blades a side, 2 or more.
    difference, sd : array_like
        True log ratio and true blade-to-blade standard deviation of log life.
    margin, level : float
        As in `judge`.

    Returns
    -------
    ndarray
        Broadcast of the inputs. Exact for longer or shorter (noncentral t); normal with
        the t quantile for no relevant difference.
    """
    n = np.asarray(n, dtype=float)
    df = 2 * n - 2
    stderr = sd * np.sqrt(2 / n)
    shift = np.abs(difference) / stderr
    critical = stdtrit(df, 0.5 + level / 2)
    differs = 1 - nctdtr(df, np.minimum(shift, 35.0), critical)
    edge, narrow = log(1 + margin), stdtrit(df, level)
    room = edge - narrow * stderr
    same = ndtr((room - difference) / stderr) - ndtr((-room - difference) / stderr)
    return np.maximum(differs, np.where(room > 0, same, 0.0))


def blades_to_settle(difference, sd, df, stderr, margin, level=0.95, at_least=2):
    """Blades a side that would settle a comparison which cannot tell yet.

    Parameters
    ----------
    difference, stderr : float
        Log ratio seen and its standard error.
    sd, df : float
        Scatter of log life seen and its degrees of freedom.
    margin, level : float
        As in `judge`.
    at_least : int
        Smallest number worth naming: one more than there are.

    Returns
    -------
    BladesNeeded
        For an 80 % chance of a verdict. True scatter and difference are spread over what
        the data allow (quantiles of chi-square and t); the median of the numbers needed is
        given, and the range that holds 80 % of them.
    """
    share = (np.arange(9) + 0.5) / 9
    true_sd = sd * np.sqrt(df / chdtri(df, share))[:, None]
    true_difference = difference + stderr * (true_sd / sd) * ndtri(share)[None, :]
    power = chance_to_settle(_GRID, true_difference[..., None], true_sd[..., None], margin, level)
    reached = power >= POWER
    needed = np.where(reached.any(axis=-1), _GRID[reached.argmax(axis=-1)], MOST_BLADES + 1)
    numbers = np.quantile(needed.ravel(), [0.1, 0.5, 0.9], method="nearest")
    low, middle, high = (max(int(x), at_least) if x <= MOST_BLADES else None for x in numbers)
    return BladesNeeded(middle, low, high, purpose="verdict")


def cap_probability(probability, df):
    """A probability, stated no further than so few blades can bear.

    With two blades a side (df 2) a computed 99.5 % came true 96 % of the time in the
    simulation of the guide on comparing; the cap is 96 % there, 98.6 % at df 4 (three a
    side) and 99.5 % at df 8 (five a side).
    """
    if not isfinite(df):
        return probability
    most = 1 - 0.113 / max(df, 1.0) ** 1.5
    return min(max(probability, 1 - most), most)


def verdict_sentence(verdict, second, first, margin, reaches_margin=False):
    """The verdict in a maker's words."""
    share = f"{100 * margin:g} %"
    if verdict == "no_relevant_difference":
        return (
            f"No relevant difference: {second} and {first} hold their edge alike to within {share}."
        )
    if verdict == "cannot_tell":
        return f"Cannot tell yet which of {second} and {first} holds its edge longer."
    sentence = {
        "longer": f"{second} holds its edge longer than {first}",
        "shorter": f"{second} loses its edge sooner than {first}",
    }[verdict]
    if reaches_margin:
        return f"{sentence}, by more than {share}."
    return f"{sentence}; whether by more than {share} is not settled."
