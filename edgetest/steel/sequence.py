"""The trade's sequence for an unknown steel: which step comes next, and when to stop."""

from dataclasses import asdict, dataclass

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.estimate import chance
from edgetest.steel.case_result import CaseResult
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.quench import SOFT_HRC, QuenchResponse

STEPS = (
    "enough",
    "magnet_and_spark",
    "coupon",
    "quench_ladder",
    "temper_ladder",
    "case",
    "test_blade",
)
TITLES = {
    "enough": "Is there enough of the same piece?",
    "magnet_and_spark": "Magnet, and sparks beside two known steels",
    "coupon": "Coupon quenched and snapped",
    "quench_ladder": "Quench ladder: air, oil, warm water, a file after each",
    "temper_ladder": "Temper ladder",
    "case": "Case against grind",
    "test_blade": "Test blade against a reference blade",
}
SPARKS = ("like_low", "between", "like_high")
GRAINS = ("fine", "medium", "coarse")
# Odds from which a step is taken as settled, and below which as failed; no source.
LIKELY, UNLIKELY = 0.5, 0.2
SLOWER = ("oil", "air")  # quenches that may leave soft what water hardens
CAUTIONS = {
    "enough": (
        "Plated, galvanised, painted, leaded or unknown scrap gives off fumes that kill: keep it "
        "out of the fire until the coating is off and known.",
        "Where a part's failure could hurt someone, a laboratory decides, not a shop test.",
    ),
    "magnet_and_spark": ("Eye and breathing protection at the grinder; sparks set dust alight.",),
    "coupon": (
        "Quench with all hot metal under, ample oil, a lid and an extinguisher by hand.",
        "Break the coupon wrapped, behind glasses or a shield, nobody in line.",
    ),
    "quench_ladder": ("Quench fire: ample oil, a lid and an extinguisher by hand.",),
    "temper_ladder": ("Never temper in hot oil.",),
    "case": (
        "Pack in a sealed box with carburising compound made for it, in open air or under "
        "extraction: carbon monoxide. No cyanide. Local fire and fume codes come first.",
    ),
    "test_blade": (
        "Check tang and handle; free swing, nobody in line; stop at a crack.",
        "The test does not certify the steel: defer to local codes and a laboratory where a "
        "part's failure could hurt someone.",
    ),
}  # common practice, no source


@dataclass(frozen=True)
class Observations:
    """What has been seen so far; None where a step was not done."""

    blades_in_stock: float | None = None  # how many blades the piece or lot would make
    coating: str | None = None  # "none", "removed", or what it is: "galvanised", "unknown", …
    magnetic: bool | None = None
    sparks: str | None = None  # against a low- and a high-carbon steel sparked beside it
    spark_note: str = ""
    coupon_hrc: HardnessResult | None = None
    coupon_medium: str | None = None  # what it was quenched in; None is the fastest there is
    grain: str | None = None
    cracked: tuple[int, int] | None = None  # cracked, quenched
    quench: QuenchResponse | None = None
    tempered: HardnessResult | None = None
    hardness_wanted_hrc: tuple[float, float] = (57.0, 62.0)
    case: CaseResult | None = None
    verdict: str | None = None  # of the test blade, from `steel_verdict`
    least_blades: float = 4.0


@dataclass(frozen=True)
class StepState:
    """How one step of the sequence stands."""

    step: str
    title: str
    state: str  # "go", "stop", "do", "repeat", "skip" or "later"
    text: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Advice:
    """The sequence up to now: what to do next, or why to stop."""

    action: str  # "do", "repeat", "stop" or "finished"
    step: str | None
    text: str
    steps: tuple[StepState, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self)

    def to_frame(self):
        """One row a step."""
        import pandas as pd

        return pd.DataFrame(
            [{"step": s.title, "state": s.state, "text": s.text} for s in self.steps]
        )

    def summary(self):
        """What to do next, as a maker reads it out."""
        if self.step is None or self.action == "stop":
            return self.text
        verb = "Repeat" if self.action == "repeat" else "Next"
        title = TITLES[self.step]
        return f"{verb}: {title}{'' if title.endswith('?') else '.'} {self.text}"


def next_step(seen: Observations):
    """Walk the sequence and stop at the first step that is open or that ends it.

    Parameters
    ----------
    seen : Observations

    Returns
    -------
    Advice
        Steps after the open one are "later": nothing is asked before it is needed.

    Raises
    ------
    UnusableInput
        If an observation uses an unknown word.
    """
    for value, words, where in ((seen.sparks, SPARKS, "sparks"), (seen.grain, GRAINS, "grain")):
        if value is not None and value not in words:
            raise UnusableInput(f"{value!r} is no grade", where, f"use one of {', '.join(words)}")
    steps, action, open_step, said = [], None, None, ""
    for step in STEPS:
        if action is not None:
            steps.append(StepState(step, TITLES[step], "later", ""))
            continue
        state, text = _JUDGES[step](seen)
        cautions = CAUTIONS[step] if state in ("do", "repeat") else ()
        steps.append(StepState(step, TITLES[step], state, text, cautions))
        if state in ("do", "repeat", "stop"):
            action, open_step, said = state, step, text
    if action is None:
        action, said = "finished", "Every step is done: the verdict stands on all of it."
    return Advice(action, open_step, said, tuple(steps))


def _enough(seen):
    if seen.coating not in (None, "none", "removed"):
        return "stop", (
            f"Coating: {seen.coating}. Do not heat it: fumes. Have the coating removed and known "
            "first, or leave the piece."
        )
    if seen.blades_in_stock is None:
        return "do", "Count the blades the same piece would make, and look for any coating."
    if seen.blades_in_stock < seen.least_blades:
        return "stop", (
            f"It makes {seen.blades_in_stock:g} blades; below {seen.least_blades:g} the testing "
            "costs more than known steel."
        )
    return "go", f"Enough for {seen.blades_in_stock:g} blades."


def _magnet_and_spark(seen):
    if seen.magnetic is None:
        return "do", "Try a magnet, then spark it beside a low- and a high-carbon steel you know."
    if not seen.magnetic:
        return "stop", (
            "Not magnetic when cold: of a kind that a quench does not harden. No use for an edge."
        )
    if seen.sparks is None:
        return (
            "do",
            "Spark it beside a low- and a high-carbon steel you know, same wheel, same day.",
        )
    said = {
        "like_low": "Sparks like the low-carbon steel: hardens poorly as it is; perhaps by case.",
        "between": "Sparks between the two known steels: a coupon decides.",
        "like_high": "Sparks like the high-carbon steel or more: a coupon decides.",
    }[seen.sparks]
    return "go", f"{said} Sparks rank carbon, they do not name a steel."


def _coupon(seen):
    if seen.coupon_hrc is None and seen.quench is None:
        return "do", "Harden a coupon of the same piece, file it, snap it, and grade the break."
    if seen.grain is None:
        return (
            "do",
            "Snap the hardened coupon and grade the break: satin is fine, sugary is coarse.",
        )
    if seen.grain == "coarse":
        return "repeat", "Coarse break: overheated. Normalise, cycle, and harden a fresh coupon."
    if seen.cracked is not None and seen.cracked[1] and 2 * seen.cracked[0] >= seen.cracked[1]:
        return "repeat", (
            f"{seen.cracked[0]} of {seen.cracked[1]} cracked: try a slower quench, or warm water "
            "after fine grinding, before going on."
        )
    hardness = seen.coupon_hrc
    if not _soft(hardness):
        return "go", f"The coupon hardened and broke {seen.grain}."
    found = hardness.hardness.summary()
    if seen.coupon_medium in SLOWER:
        return (
            "go",
            f"The coupon stayed soft in {seen.coupon_medium} ({found}): water may harden it.",
        )
    return "go", f"The coupon stayed soft ({found}): only a case can help."


def _soft(hardness):
    """Whether a coupon surely stayed below what any edge needs."""
    return hardness is not None and hardness.probability_in_range(SOFT_HRC) < UNLIKELY


def _needs_case(seen):
    """Whether the steel stays soft by itself, so that only a case gives an edge."""
    if seen.quench is not None:
        return "does_not_harden" in codes(seen.quench.doubts)
    return seen.coupon_medium not in SLOWER and _soft(seen.coupon_hrc)


def _quench_ladder(seen):
    if seen.quench is None:
        if _needs_case(seen):
            return "skip", "Soft already in the fastest quench tried; a ladder adds nothing."
        return "do", "Harden coupons in air, oil and warm water; file after each, slowest first."
    if seen.quench.contradictory:
        return "repeat", seen.quench.summary()
    if seen.quench.hardens_in == "unclear":
        return "repeat", "Too near the mark: repeat with more files or a Rockwell reading."
    return "go", seen.quench.summary()


def _temper_ladder(seen):
    if _needs_case(seen):
        return "skip", "A core that does not harden needs no temper ladder; temper the case later."
    low, high = seen.hardness_wanted_hrc
    if seen.tempered is None:
        return (
            "do",
            f"Temper in steps of about 14 °C and read each, aiming at {low:g} to {high:g} HRC.",
        )
    p = seen.tempered.probability_in_range(low, high)
    found = seen.tempered.hardness.summary()
    text = f"{found}; within {low:g} to {high:g} with probability {chance(p)}."
    if p >= LIKELY:
        return "go", text
    if seen.tempered.probability_in_range(high) > LIKELY:
        return "repeat", f"{text} Still too hard: temper again, one step hotter."
    return "repeat", f"{text} Not in the range: harden again and temper cooler, or try more files."


def _case(seen):
    if not _needs_case(seen):
        return "skip", "Hardens by itself: no case wanted."
    if seen.case is None:
        return (
            "do",
            "Work out the case against the grind before packing: edge thin first, then pack.",
        )
    if seen.case.probability_edge_hard < UNLIKELY:
        return (
            "stop",
            f"{seen.case.summary()} Not for an edge in this section: stop, or grind thinner first.",
        )
    return "go", seen.case.summary()


def _test_blade(seen):
    if seen.verdict is None:
        return "do", "Make a test blade and run it beside a reference blade of known steel."
    if seen.verdict == "cannot_tell":
        return "repeat", "The verdict is still open: do the next test it names."
    if seen.verdict == "do_not_reuse":
        return "stop", "The test blade condemns the steel."
    return "go", "The test blade supports the steel."


_JUDGES = {
    "enough": _enough,
    "magnet_and_spark": _magnet_and_spark,
    "coupon": _coupon,
    "quench_ladder": _quench_ladder,
    "temper_ladder": _temper_ladder,
    "case": _case,
    "test_blade": _test_blade,
}
