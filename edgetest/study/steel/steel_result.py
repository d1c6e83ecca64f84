"""The verdict on an unknown steel as a result: routes, cases, advice, doubts in words."""

from dataclasses import dataclass, field, replace

from edgetest.doubts import Doubt, each_once, told
from edgetest.steel.belief import DamageEvidence
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.hours_through import PackHours
from edgetest.steel.outcome import VERDICTS, Verdict
from edgetest.steel.quench import QuenchResponse
from edgetest.steel.sequence import CAUTIONS, STEPS, Advice
from edgetest.steel.steel_verdict import Criteria
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.steel.evidence_records import Evidence, Wishes
from edgetest.study.steel.steel_lives import LifeRatio, life_against_reference
from edgetest.study.steel.steel_pack import Core
from edgetest.study.wear.wear_result import StudyResult


@dataclass(frozen=True)
class RouteResult:
    """One way to work the steel: its evidence and its verdict."""

    route: str
    verdict: Verdict
    hardness: HardnessResult | None
    quench: QuenchResponse | None
    lives: tuple[LifeRatio, ...]
    damage: tuple[DamageEvidence, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            **self.verdict.to_dict(),
            "hardness": self.hardness.to_dict() if self.hardness else None,
            "quench": self.quench.to_dict() if self.quench else None,
            "lives": [ratio.to_dict() for ratio in self.lives],
            "damage": [vars(one) for one in self.damage],
        }


@dataclass(frozen=True)
class SteelResult:
    """The verdict on an unknown steel with all that it rests on.

    `answer` is the verdict's code, also where the sequence of the work decides it before
    any odds do (`decided_by_sequence`); `best` is the verdict of the route with the least
    expected loss.
    """

    study: Study
    evidence: Evidence
    wishes: Wishes
    answer: str
    decided_by_sequence: bool
    best: Verdict
    routes: tuple[RouteResult, ...]
    advice: Advice
    cases: tuple[tuple[str, CaseResult], ...]
    hours: PackHours | None
    core: Core
    criteria: Criteria
    analysis: StudyResult | None
    doubts: tuple[Doubt, ...]
    protocol: Protocol | None = field(default=None, repr=False)

    @property
    def title(self):
        """What the study is called."""
        return self.study.title

    @property
    def best_route(self):
        """The route that the verdict speaks of, with its evidence."""
        return next(each for each in self.routes if each.route == self.best.route)

    def next_words(self):
        """What to do next: the sequence's open step, else the test that saves most; else ""."""
        if self.advice.action in ("do", "repeat") and self.advice.step != "test_blade":
            return self.advice.summary()
        test = self.best.next_test
        if test is not None:
            return (
                f"Next: {test.title}; {test.hours:g} h of work, expected to save "
                f"{test.saves_h:.1f} h of wrong decisions."
            )
        return self.advice.summary() if self.advice.action == "do" else ""

    def cautions(self):
        """What to mind at the step that is planned, else at the test blade."""
        step = self.advice.step if self.advice.step else STEPS[-1]
        return CAUTIONS[step]

    def to_dict(self):
        """Plain values for JSON: the verdict, then what it rests on."""
        return {
            **self.best.to_dict(),
            "study": self.title,
            "verdict": self.answer,
            "title": VERDICTS[self.answer],
            "summary": self.summary(),
            "next": self.next_words() or None,
            "cautions": list(self.cautions()),
            "decided_by_sequence": self.decided_by_sequence,
            "advice": self.advice.to_dict(),
            "routes": [route.to_dict() for route in self.routes],
            "core": self.core.to_dict(),
            "cases": [{"section": name, **case.to_dict()} for name, case in self.cases],
            "hours": self.hours.to_dict() if self.hours else None,
            **told(self.all_doubts()),
        }

    def all_doubts(self):
        """Every doubt once: of study, verdict and the edge's case."""
        of_case = self.cases[0][1].doubts if self.cases else ()
        return each_once((*self.doubts, *self.best.doubts, *of_case))

    def summary(self):
        """The verdict as a maker reads it out."""
        if self.decided_by_sequence:
            return f"{VERDICTS[self.answer]}: {self.advice.text}"
        return replace(self.best, next_test=None).summary()

    def words(self):
        """The verdict, each route's, the case, what to do next, what to mind."""
        lines = [self.summary(), ""]
        lines += [f"- {line}" for line in self.reasons()]
        for route in self.routes:
            if route.route != self.best.route:
                lines.append(f"- {replace(route.verdict, next_test=None).summary()}")
        lines += [f"- {name}: {case.summary()}" for name, case in self.cases]
        lines += [f"- {one.text}" for one in self.all_doubts()]
        lines += ["", *filter(None, [self.next_words()])]
        lines += [f"Mind: {caution}" for caution in self.cautions()]
        return "\n".join(lines)

    def reasons(self):
        """The reasons of the verdict, without those that name the next test."""
        lives = [life_against_reference(ratio) for ratio in self.best_route.lives]
        own = [text for text in self.best.reasons if not text.startswith("Next: ")]
        return [*lives, *own]
