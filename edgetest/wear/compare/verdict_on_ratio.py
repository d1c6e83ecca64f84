"""What a ratio of lives means to a maker: the verdict, the doubts, the blades still needed."""

from dataclasses import dataclass
from math import log

import numpy as np
from scipy.special import chdtri, nctdtr, ndtr, ndtri, stdtrit

from edgetest.estimate import plain
from edgetest.stats.group_sequential import GREATEST_MOST, LEAST_SIZE

POWER = 0.8  # common practice for planning; no source
MOST_BLADES = 400


def verdict_between(wide, narrow, margin):
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
    blades_verdict: str | None = None  # of the blades, where the heat treatments allow none

    def to_dict(self):
        """JSON-plain values."""
        return {
            "margin": self.margin,
            "verdict": self.verdict,
            "low": plain(self.low),
            "high": plain(self.high),
            "level": self.level,
            "reaches_margin": self.reaches_margin,
            "blades_verdict": self.blades_verdict,
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

    def spread(self):
        """How far the number can be trusted: "somewhere from 3 to 51"."""
        return f"somewhere from {self.low} to {'many more' if self.high is None else self.high}"

    def to_dict(self):
        """JSON-plain values."""
        return {
            "per_side": self.per_side,
            "low": self.low,
            "high": self.high,
            "purpose": self.purpose,
        }


@dataclass(frozen=True)
class Seen:
    """What a study has seen: log ratio, its standard error, scatter of log life, its df."""

    difference: float
    stderr: float
    sd: float
    df: float


_GRID = np.unique(np.round(np.geomspace(2, MOST_BLADES, 60)).astype(int))


def chance_to_settle(n, difference, sd, margin, level=0.95, *, in_blocks=False):
    """Chance that n blades a side end in any verdict but "cannot tell" (pooled t, or in pairs).

    Parameters
    ----------
    n : array_like of int
        Blades a side, 2 or more.
    difference, sd : array_like
        True log ratio and true blade-to-blade standard deviation of log life.
    margin, level : float
        As in `verdict_between`.
    in_blocks : bool
        One blade of each of two heat treatments in every block: n - 1 degrees of freedom.

    Returns
    -------
    ndarray
        Broadcast of the inputs. Exact for longer or shorter (noncentral t); normal with
        the t quantile for no relevant difference.
    """
    n = np.asarray(n, dtype=float)
    df = np.where(in_blocks & (n > 2), n - 1, 2 * n - 2)
    stderr = sd * np.sqrt(2 / n)
    shift = np.abs(difference) / stderr
    critical = stdtrit(df, 0.5 + level / 2)
    differs = 1 - nctdtr(df, np.minimum(shift, 35.0), critical)
    edge, narrow = log(1 + margin), stdtrit(df, level)
    room = edge - narrow * stderr
    same = ndtr((room - difference) / stderr) - ndtr((-room - difference) / stderr)
    return np.maximum(differs, np.where(room > 0, same, 0.0))


def blades_to_settle(seen, margin, level=0.95, *, at_least=2, in_blocks=False):
    """Blades a side that would settle a comparison which cannot tell yet.

    Parameters
    ----------
    seen : Seen
    margin, level : float
        As in `verdict_between`.
    at_least : int
        Smallest number worth naming: one more than there are.
    in_blocks : bool
        As in `chance_to_settle`.

    Returns
    -------
    BladesNeeded
        For an 80 % chance of a verdict. True scatter and difference are spread over what
        the data allow (quantiles of chi-square and t); the median of the numbers needed is
        given, and the range that holds 80 % of them.
    """
    share = (np.arange(9) + 0.5) / 9
    true_sd = seen.sd * np.sqrt(seen.df / chdtri(seen.df, share))[:, None]
    true = seen.difference + seen.stderr * (true_sd / seen.sd) * ndtri(share)[None, :]
    power = chance_to_settle(
        _GRID, true[..., None], true_sd[..., None], margin, level, in_blocks=in_blocks
    )
    reached = power >= POWER
    needed = np.where(reached.any(axis=-1), _GRID[reached.argmax(axis=-1)], MOST_BLADES + 1)
    numbers = np.quantile(needed.ravel(), [0.1, 0.5, 0.9], method="nearest")
    low, middle, high = (max(int(x), at_least) if x <= MOST_BLADES else None for x in numbers)
    return BladesNeeded(middle, low, high, purpose="verdict")


def verdict_sentence(verdict, second, first, margin, reaches_margin=False):
    """The verdict in a maker's words; the longer one is the subject."""
    share = f"{100 * margin:g} %"
    if verdict == "no_relevant_difference":
        return (
            f"No relevant difference: {second} and {first} hold their edge alike to within {share}."
        )
    if verdict == "cannot_tell":
        return f"Cannot tell yet which of {second} and {first} holds its edge longer."
    longer, other = (second, first) if verdict == "longer" else (first, second)
    sentence = f"{longer} holds its edge longer than {other}"
    if reaches_margin:
        return f"{sentence}, by more than {share}."
    return f"{sentence}; whether by more than {share} is not settled."


def needed_sentence(needed, counted="blades", scope="heat_treatments", *, margin=0.10):
    """How many blades, batches or blocks a side, and what to do about it."""
    fact = needed_fact(needed, counted, scope, margin=margin)
    if needed.per_side is None or needed.purpose == "claim" or scope in PART:
        return fact
    if needed.per_side > GREATEST_MOST:
        return (
            f"{fact} That is too many to fix looks for ({GREATEST_MOST} a side at most). Test new "
            "blades, where that is worth it, in a new study and read it once, at its end: of those "
            "read again and again, 9 to 20 in 100 claim a difference that is not there."
        )
    most = max(needed.per_side, LEAST_SIZE + 1)
    return (
        f"{fact} Fix looks before you cut new ones "
        f"(`edgetest plan STUDY --looks --most {most} --history STUDY`), with the ratio that you "
        "planned (--ratio), then add them to the study and draw them (`edgetest plan STUDY "
        "--anew`); of tests read again without looks, 9 to 20 in 100 claim a difference that is "
        "not there."
    )


# What further blades tell where those of each heat treatment came out of one batch or block.
PART = {
    "batches": "batches apart; only blades from more batches tell of the heat treatments",
    "blocks": "lots apart; only blades of each in every block tell of the heat treatments",
}


def needed_fact(needed, counted="blades", scope="heat_treatments", *, margin=0.10):
    """How many blades, batches or blocks a side, how far that number can be trusted, what for.

    Parameters
    ----------
    needed : BladesNeeded
    counted : str
        What the replicates are.
    scope : str
        What the ratio speaks of, as in `Comparison`.
    margin : float
        Within which they would be called alike.
    """
    if needed.per_side is None:
        return (
            "More blades than a shop will make would be needed to settle it; "
            "better readings help more and, where the test takes several rolls or boards, "
            "a control blade on each."
        )
    spread = f" ({needed.spread()})"
    if needed.purpose == "claim":
        return (
            f"About {needed.per_side} blades of each heat treatment{spread} would allow a claim "
            "about the heat treatments, if these scatter as blades usually do; one blade "
            "shows none of that."
        )
    about = f"About {needed.per_side} {counted} a side in all{spread}"
    if scope in PART:
        return f"{about}, of the same {scope}, would tell these {PART[scope]}."
    return (
        f"{about} would settle which lasts longer, or that both are alike to within "
        f"{100 * margin:g} %, if new ones differ as these did."
    )
