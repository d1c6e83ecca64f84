"""What a shop's studies say together, as it is told: known arms, pools, the book."""

from dataclasses import dataclass
from math import exp, isfinite

from edgetest.doubts import Doubt, sentences
from edgetest.estimate import Estimate, chance, format_estimate, json_fields
from edgetest.study.shop.drifts import Drifts
from edgetest.study.shop.study_lives import CONTROL

TOLD_WEIGHTS = 8  # studies whose weight is told one by one
NEXT_BLADES = 3  # of each side in the study that might come next


@dataclass(frozen=True)
class KnownArm:
    """Life of one steel and heat treatment over another's, in all studies together.

    Attributes
    ----------
    ratio : Estimate
        Of the mean over studies.
    next_low, next_high : float
        What it may truly be in the next study; 0 and inf where a factor of 100 would not hold it.
    studies : tuple of str
        Those that had it (of two heat treatments: both).
    shares : dict of str to float
        What each study weighs in the ratio.
    """

    arm: str
    against: str
    ratio: Estimate
    next_low: float
    next_high: float
    studies: tuple[str, ...]
    shares: dict[str, float]

    def to_dict(self):
        """JSON-plain values; an open end is None."""
        return json_fields(self)

    def weights(self):
        """How much each study weighs, the heaviest first; "" where there is one alone."""
        shares = sorted(((share, name) for name, share in self.shares.items() if share > 0),
                        key=lambda each: (-each[0], each[1]))  # fmt: skip
        if len(shares) < 2:
            return ""
        told = [f"{name} {100 * share:.0f} %" for share, name in shares[:TOLD_WEIGHTS]]
        rest = shares[TOLD_WEIGHTS:]
        if rest:
            told.append(f"{len(rest)} more {100 * sum(share for share, _ in rest):.0f} %")
        return ", ".join(told)

    def summary(self, anchor=""):
        """One line; what it is held against is named where that is not the anchor."""
        studies = f"{len(self.studies)} {'study' if len(self.studies) == 1 else 'studies'}"
        name = self.arm if self.against == anchor else f"{self.arm} against {self.against}"
        if not isfinite(self.ratio.high):
            return f"{name}: {self.ratio.value:.2g} times, seen in {studies}, no interval yet"
        if not isfinite(self.next_high):
            return (
                f"{name}: {self.ratio.summary()} ({studies}); of a next study nothing is known yet"
            )
        ahead = format_estimate(self.ratio.value, self.next_low, self.next_high)
        return f"{name}: {self.ratio.summary()} ({studies}); in a next study {ahead}"


@dataclass(frozen=True)
class NextStudy:
    """A comparison that may be worth the next rope: the chance that it would settle the two.

    `half_width` and `half_width_then` are of the log ratio, now and after it.
    """

    first: str
    second: str
    half_width: float
    half_width_then: float
    chance_to_settle: float

    def to_dict(self):
        """JSON-plain values."""
        return json_fields(self)

    def summary(self):
        """One line."""
        now = f"± {100 * (exp(self.half_width) - 1):.0f} %" if isfinite(self.half_width) else "open"
        then = f"± {100 * (exp(self.half_width_then) - 1):.0f} %"
        settled = chance(self.chance_to_settle)
        names = f"{self.second} against {self.first}"
        return f"{names}: {now} now, {then} then; {settled} chance to settle it"


@dataclass(frozen=True)
class Pool:
    """Studies of one protocol and reading that share what they compared.

    Attributes
    ----------
    anchor : str
        What all are held against: the control blade where there is one.
    pairs : tuple of KnownArm
        Those that studies compared with each other, without the anchor.
    blade_sd, blade_df : Estimate, int
        Scatter of log life between blades of one heat treatment, of one batch where batches are
        told apart, pooled.
    batch_sd, batch_why : Estimate or None, str
        Scatter between batches (oven loads) of one heat treatment in a study; where it cannot be
        told apart from blades or studies, why.
    between_sd : Estimate
        How far the true log ratio of two heat treatments differs from study to study.
    drifts : Drifts
        Change of log lives a year, over the studies' dates: the medium's, the control blade's.
    """

    protocol: str
    reading: str
    studies: tuple[str, ...]
    anchor: str
    arms: tuple[KnownArm, ...]
    pairs: tuple[KnownArm, ...]
    blade_sd: Estimate
    blade_df: int
    batch_sd: Estimate | None
    batch_why: str
    between_sd: Estimate
    drifts: Drifts
    next_studies: tuple[NextStudy, ...]
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """JSON-plain values."""
        return json_fields(self)

    @property
    def controlled(self):
        """Whether the anchor is a control blade."""
        return self.anchor.startswith(CONTROL)

    def facts(self):
        """Scatter between blades, batches and studies, and yearly changes, a sentence each."""
        lines = []
        if self.blade_df:
            of = "batch" if self.batch_sd else "heat treatment"
            lines.append(f"Blades of one {of} scatter by about {_percent(self.blade_sd)}.")
            lines.append(self._batches())
        if isfinite(self.between_sd.high):
            besides = "" if self.batch_sd else ", batches among it"
            lines.append(
                "From study to study a true ratio differs by about "
                f"{_percent(self.between_sd)}{besides}."
            )
        if len(self.studies) > 1:
            lines += self.drifts.sentences(self.anchor if self.controlled else "")
        return lines

    def _batches(self):
        """What batches add, or why that is not known."""
        if self.batch_sd:
            return f"Batches of one heat treatment differ by about {_percent(self.batch_sd)}."
        return f"What batches add cannot be told apart: {self.batch_why}."

    def summary(self):
        """What is known, as a maker reads it."""
        count = len(self.studies)
        lines = [f"{self.protocol}, {self.reading}: {count} {'study' if count == 1 else 'studies'}"]
        lines.append(f"  Life, times that of {self.anchor}:")
        lines += _with_weights(self.arms, self.anchor)
        if self.pairs:
            lines.append("  One against the other:")
            lines += _with_weights(self.pairs, "")
        lines += [f"  {line}" for line in self.facts()]
        if self.next_studies:
            lines.append(f"  Worth the next rope, {NEXT_BLADES} blades each:")
            lines += [f"    {each.summary()}" for each in self.next_studies]
        lines += [f"  {line}" for line in sentences(self.doubts)]
        return "\n".join(lines)


def _with_weights(known, anchor):
    """A line each, and below it what the studies weigh in it."""
    for each in known:
        yield f"    {each.summary(anchor)}"
        if weights := each.weights():
            yield f"      weights: {weights}"


def _percent(sd):
    """A standard deviation of logs with its interval, as "12 % (9 to 17 %)"."""
    value, low, high = (f"{100 * each:.0f}" for each in (sd.value, sd.low, sd.high))
    return f"{value} % ({low} to {high} %)"


@dataclass(frozen=True)
class ShopBook:
    """What the studies of a workspace say together, and what was left out, with the reason."""

    studies: int
    pools: tuple[Pool, ...]
    left_out: dict[str, str]

    def to_dict(self):
        """JSON-plain values."""
        return json_fields(self)

    def summary(self):
        """The book as text."""
        count = f"{self.studies} {'study' if self.studies == 1 else 'studies'} read"
        parts = [count, *(pool.summary() for pool in self.pools)]
        if self.left_out:
            lines = [f"  {name}: {why}" for name, why in self.left_out.items()]
            parts.append("\n".join(["Left out:", *lines]))
        return "\n\n".join(parts)
