"""The verdict as a result: odds, reasons, losses, and the next test."""

from dataclasses import asdict, dataclass, field

from edgetest.doubts import Doubt, told
from edgetest.estimate import Estimate, chance, plain
from edgetest.steel.decision import Losses, TestValue

VERDICTS = {
    "reuse": "Reuse",
    "reuse_light": "Reuse for light work",
    "do_not_reuse": "Do not reuse",
    "cannot_tell": "Cannot tell yet",
}
RULE = (
    "Take the action with the least expected loss; say 'cannot tell yet' while a criterion has no "
    "evidence or the quench contradicts itself, unless the rest already condemns the steel; and "
    "while some one test would save more hours than it costs."
)


@dataclass(frozen=True)
class CriterionResult:
    """One criterion: what is believed, the odds that it holds, what knowing it is worth."""

    name: str
    wanted: str
    value: Estimate
    probability_full: float
    probability_light: float
    evidence: bool
    worth_knowing_h: float  # expected loss saved if this criterion alone became certain
    if_holds: str
    if_fails: str
    without: str  # best action had this evidence not been gathered

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self) | {"value": self.value.to_dict()}


@dataclass(frozen=True)
class Verdict:
    """The verdict with its odds, reasons, losses, and the next test worth doing."""

    verdict: str
    scope: str
    piece: str | None
    route: str | None
    probability_fit: float
    probability_light_or_better: float
    fit_bounds: tuple[float, float]
    expected_loss_h: dict[str, float]
    criteria: tuple[CriterionResult, ...]
    decides: str | None
    tests: tuple[TestValue, ...]
    next_test: TestValue | None
    losses: Losses
    reasons: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    rule: str = field(default=RULE, repr=False)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "verdict": self.verdict,
            "title": VERDICTS[self.verdict],
            "scope": self.scope,
            "piece": self.piece,
            "route": self.route,
            "probability_fit": plain(self.probability_fit),
            "probability_light_or_better": plain(self.probability_light_or_better),
            "fit_bounds": list(self.fit_bounds),
            "expected_loss_h": self.expected_loss_h,
            "criteria": [c.to_dict() for c in self.criteria],
            "decides": self.decides,
            "tests": [asdict(t) for t in self.tests],
            "next_test": asdict(self.next_test) if self.next_test else None,
            "reasons": list(self.reasons),
            "losses": asdict(self.losses),
            **told(self.doubts),
            "rule": self.rule,
        }

    def to_frame(self):
        """One row a criterion."""
        import pandas as pd

        return pd.DataFrame(
            [
                {
                    "criterion": c.name,
                    "wanted": c.wanted,
                    "found": c.value.summary() if c.evidence else "no evidence",
                    "probability_full": c.probability_full,
                    "probability_light": c.probability_light,
                    "worth_knowing_h": c.worth_knowing_h,
                }
                for c in self.criteria
            ]
        )

    def summary(self):
        """The verdict as a maker reads it out."""
        about = f"piece {self.piece}" if self.scope == "piece" else "the lot"
        if self.route:
            about += f", {self.route}"
        said = (
            f"{VERDICTS[self.verdict]} ({about}): fit for full use with probability "
            f"{chance(self.probability_fit)}, for light work or better "
            f"{chance(self.probability_light_or_better)}."
        )
        if self.next_test:
            said += f" Next: {self.next_test.title}."
        return said
