"""Every figure of a chopper's sheet from one call: chops, depth, damage, swing and energy."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from edgetest.chop.balance import (
    WATCH_U_S,
    Balance,
    SideBySide,
    measured_balance,
    period,
    side_by_side,
)
from edgetest.chop.count_results import ChopCounts
from edgetest.chop.counts import REFERENCE_HARDNESS_N, REFERENCE_WOOD, fit_counts
from edgetest.chop.damage_rates import Damage, damage_rates
from edgetest.chop.depth import DepthFit, fit_depths
from edgetest.chop.energy import Blow, Swing, depth_per_joule, joules_per_cm2, standard_blow
from edgetest.chop.predict import THICKNESS_U_MM, WIDTH_RELATIVE_U, Prediction, predict
from edgetest.chop.tool_outline import Outline
from edgetest.doubts import Doubt, placed, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.rates import share

# Kinds of pass or fail trial, as a chop log names them, and as a customer reads them.
TRIALS = {
    "rope": "rope cut",
    "knot": "knot chop",
    "flex": "flex",
    "bend": "bend",
    "nail": "nail",
    "bone": "bone",
    "antler": "antler",
    "shave": "shaving after the chopping",
}
# What a customer may take for tested; what is missing of it is said on the sheet.
USUAL_TESTS = ("chops to sever", "depth per chop", "chips", "rolls", "swing", *TRIALS.values())


@dataclass(frozen=True)
class Billets:
    """Severed billets, one element each; see `fit_counts`. `near_misses` are among `chops`."""

    blade: Sequence[str]
    chops: Sequence[float]
    area_cm2: Sequence[float]
    hardness_n: Sequence[float] | None = None
    hardness_sd_log: float = 0.0
    chops_before: Sequence[float] | None = None
    share_cut: Sequence[float] | None = None
    severed: Sequence[bool] | None = None
    board: Sequence[str] | None = None
    near_misses: Sequence[float] | None = None
    treatment: Sequence[str] | None = None


@dataclass(frozen=True)
class SingleChops:
    """Measured depths, one element a chop; see `fit_depths`."""

    blade: Sequence[str]
    chop: Sequence[float]
    depth_mm: Sequence[float]
    block: Sequence[str] | None = None
    treatment: Sequence[str] | None = None
    through: Sequence[bool] | None = None


@dataclass(frozen=True)
class Inspection:
    """Stretches of edge looked over for one kind of damage; see `damage_rates`."""

    kind: str
    blade: Sequence[str]
    count: Sequence[float]
    edge_length_mm: Sequence[float]
    when: str = "after"
    chops: Mapping[str, float] | None = None
    depth_um: Sequence[float] = ()
    depth_limit_um: float | None = None


@dataclass(frozen=True)
class SwingTest:
    """One tool weighed, balanced and swung as a pendulum; places along x from the butt."""

    mass_g: float
    balance_mm: float
    pivot_mm: float
    seconds: Sequence[float]
    swings: int
    amplitude_deg: float | None = None
    watch_u_s: float = WATCH_U_S
    mass_u_g: float = 1.0
    balance_u_mm: float = 1.0
    pivot_u_mm: float = 1.0


@dataclass(frozen=True)
class Hold:
    """Where a tool is held and where it strikes, along x from the butt, mm."""

    grip_mm: float
    strike_mm: float
    handle_front_mm: float | None = None
    length_mm: float | None = None


@dataclass(frozen=True)
class Trial:
    """A pass or fail test; `test` is a kind of `TRIALS`, or any other word."""

    test: str
    blade: str
    passed: int
    tried: int
    note: str = ""


@dataclass(frozen=True)
class TrialResult:
    """A trial with the exact interval of its share of passes."""

    trial: Trial
    passes: Estimate

    @property
    def title(self):
        """The trial as a customer reads it."""
        return TRIALS.get(self.trial.test, self.trial.test)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "test": self.trial.test,
            "title": self.title,
            "blade": self.trial.blade,
            "passed": int(self.trial.passed),
            "tried": int(self.trial.tried),
            "note": self.trial.note,
            "passes": self.passes.to_dict(),
        }

    def summary(self):
        """The trial in words; one pass is not a promise."""
        one, rate = self.trial, self.passes
        bound = "" if rate.low == 0 else f"; {rate.low:.0%} of tries or more would pass"
        return f"{one.blade}, {self.title}: passed {one.passed:d} of {one.tried:d}{bound}"


@dataclass(frozen=True)
class ToolSwing:
    """One tool's balance, measured, predicted or both, and its standard blow."""

    blade: str
    measured: Balance | None
    predicted: Prediction | None
    compared: SideBySide | None
    blow: Blow
    depth_per_joule: Estimate | None
    joules_per_cm2: Estimate | None

    @property
    def balance(self):
        """The measured balance where there is one, else the predicted."""
        return self.measured or (self.predicted.balance if self.predicted else None)

    def to_dict(self):
        """Plain values for JSON."""
        parts = {
            "measured": self.measured,
            "predicted": self.predicted,
            "compared": self.compared,
            "blow": self.blow,
            "depth_per_joule": self.depth_per_joule,
            "joules_per_cm2": self.joules_per_cm2,
        }
        return {
            "blade": self.blade,
            **{key: part.to_dict() if part else None for key, part in parts.items()},
        }

    def summary(self):
        """The tool in sentences."""
        parts = (self.measured, self.predicted, self.blow)
        return "\n".join(f"{self.blade}, {part.summary()}" for part in parts if part)


@dataclass(frozen=True)
class ChopReport:
    """All figures of a chopper's sheet; what was not done is None, empty, or in `not_tested`."""

    counts: ChopCounts | None
    near_misses: dict[str, Estimate]
    depths: DepthFit | None
    damage: tuple[tuple[str, Damage], ...]
    tools: tuple[ToolSwing, ...]
    trials: tuple[TrialResult, ...]
    not_tested: tuple[str, ...]
    level: float
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "counts": self.counts.to_dict() if self.counts else None,
            "near_misses": {name: one.to_dict() for name, one in self.near_misses.items()},
            "depths": self.depths.to_dict() if self.depths else None,
            "damage": [{"when": when, **one.to_dict()} for when, one in self.damage],
            "tools": [tool.to_dict() for tool in self.tools],
            "trials": [trial.to_dict() for trial in self.trials],
            "not_tested": list(self.not_tested),
            "level": self.level,
            **told(self.doubts),
        }

    def summary(self):
        """The sheet as a maker would read it out."""
        lines = [self.counts.summary()] if self.counts else []
        lines += [self.depths.summary()] if self.depths else []
        lines += [f"{when} the test, {one.summary()}" for when, one in self.damage]
        lines += [tool.summary() for tool in self.tools]
        lines += [trial.summary() for trial in self.trials]
        if self.not_tested:
            lines.append("not tested: " + ", ".join(self.not_tested))
        return "\n".join(lines)


def chop_report(
    *,
    rng,
    billets=None,
    single_chops=None,
    inspections=(),
    swing_tests=None,
    outlines=None,
    holds=None,
    trials=(),
    swing=None,
    reference_hardness_n=REFERENCE_HARDNESS_N,
    reference_wood=REFERENCE_WOOD,
    against=None,
    thickness_u_mm=THICKNESS_U_MM,
    width_relative_u=WIDTH_RELATIVE_U,
    level=0.95,
):
    """Every figure of the chopper's sheet that the test allows.

    Parameters
    ----------
    rng : numpy.random.Generator
        For the Monte Carlo of the swing figures.
    billets : Billets, optional
        Severed billets.
    single_chops : SingleChops, optional
        Depths of single chops.
    inspections : sequence of Inspection
        Chips and rolls, before or after the test.
    swing_tests : mapping of str to SwingTest, optional
        Pendulum test by blade.
    outlines : mapping of str to Outline, optional
        Geometry by blade.
    holds : mapping of str to Hold, optional
        Grip and strike point of every blade in `swing_tests` or `outlines`.
    trials : sequence of Trial
        Pass or fail tests.
    swing : Swing, optional
        The standard swing.
    reference_hardness_n, reference_wood : float, str
        Wood that chops are stated in.
    against : str, optional
        Blade that the others are compared with, where it was chopped with.
    thickness_u_mm, width_relative_u : float
        Uncertainty of the geometry; see `predict`.
    level : float
        Coverage of all intervals.

    Returns
    -------
    ChopReport

    Raises
    ------
    UnusableInput
        If there is nothing to report, or a part of the input cannot be used.
    """
    if not (billets or single_chops or inspections or swing_tests or outlines or trials):
        raise UnusableInput("no chops, damage, swing or trial", "chop test", "log at least one")
    counts = depths = None
    if billets:
        counts = _counts(billets, reference_hardness_n, reference_wood, against, level)
    if single_chops:
        depths = _depths(single_chops, against, level)
    damage = tuple((one.when, _damage(one, level)) for one in inspections)
    tools = _tools(
        swing_tests or {},
        outlines or {},
        holds or {},
        swing or Swing(),
        counts,
        depths,
        {"thickness_u_mm": thickness_u_mm, "width_relative_u": width_relative_u, "rng": rng},
        level,
    )
    results = tuple(TrialResult(one, share(one.passed, one.tried, level=level)) for one in trials)
    done = {one.kind for one in inspections if one.when == "after"}
    done |= {result.title for result in results}
    done |= {"chops to sever"} if billets else set()
    done |= {"depth per chop"} if single_chops else set()
    done |= {"swing"} if swing_tests else set()
    return ChopReport(
        counts=counts,
        near_misses=_near_misses(billets, level) if billets else {},
        depths=depths,
        damage=damage,
        tools=tools,
        trials=results,
        not_tested=tuple(test for test in USUAL_TESTS if test not in done),
        level=level,
        doubts=_all_doubts(counts, depths, damage, tools),
    )


def _counts(billets, hardness, wood, against, level):
    """Chops to sever."""
    known = set(map(str, billets.blade))
    return fit_counts(
        billets.blade,
        billets.chops,
        billets.area_cm2,
        hardness_n=billets.hardness_n,
        hardness_sd_log=billets.hardness_sd_log,
        chops_before=billets.chops_before,
        share_cut=billets.share_cut,
        severed=billets.severed,
        board=billets.board,
        treatment=billets.treatment,
        against=against if against in known else None,
        reference_hardness_n=hardness,
        reference_wood=wood,
        level=level,
    )


def _depths(chops, against, level):
    """Depth per chop."""
    known = set(map(str, chops.blade))
    return fit_depths(
        chops.blade,
        chops.chop,
        chops.depth_mm,
        block=chops.block,
        treatment=chops.treatment,
        through=chops.through,
        against=against if against in known else None,
        level=level,
    )


def _damage(one, level):
    """Chips or rolls of one inspection."""
    return damage_rates(
        one.blade,
        one.count,
        one.edge_length_mm,
        kind=one.kind,
        chops=one.chops,
        depth_um=one.depth_um,
        depth_limit_um=one.depth_limit_um,
        level=level,
    )


def _near_misses(billets, level):
    """Share of strokes that missed, by blade, where they were counted."""
    if billets.near_misses is None:
        return {}
    blade = np.asarray([str(name) for name in billets.blade])
    missed, made = np.asarray(billets.near_misses, float), np.asarray(billets.chops, float)
    names = dict.fromkeys(blade.tolist())
    return {
        name: share(missed[blade == name].sum(), made[blade == name].sum(), level=level)
        for name in names
    }


def _tools(swing_tests, outlines, holds, swing, counts, depths, geometry, level):
    """Balance and blow of every tool that was swung or drawn."""
    tools = []
    for name in dict.fromkeys([*swing_tests, *outlines]):
        if name not in holds:
            what = f"no grip and strike point for {name}"
            raise UnusableInput(what, "balance", "give both, in mm from the butt")
        measured = predicted = None
        if name in outlines:
            predicted = _predicted(outlines[name], holds[name], geometry, level)
            balance = predicted.balance
        if name in swing_tests:
            measured = _measured(swing_tests[name], holds[name], geometry["rng"], level)
            balance = measured
        blow = standard_blow(balance, swing)
        compared = side_by_side(measured, predicted.balance) if measured and predicted else None
        fresh = {line.name: line.fresh_mm for line in depths.blades} if depths else {}
        rates = {one.blade: one.chops_per_100_cm2 for one in counts.blades} if counts else {}
        tools.append(
            ToolSwing(
                name,
                measured,
                predicted,
                compared,
                blow,
                depth_per_joule(fresh[name], blow) if name in fresh else None,
                joules_per_cm2(rates[name], blow) if name in rates else None,
            )
        )
    return tuple(tools)


def _measured(test, hold, rng, level):
    """Balance from the swing test."""
    timed = period(
        test.seconds, test.swings, amplitude_deg=test.amplitude_deg, watch_u_s=test.watch_u_s
    )
    return measured_balance(
        test.mass_g,
        test.balance_mm,
        test.pivot_mm,
        timed,
        grip_mm=hold.grip_mm,
        strike_mm=hold.strike_mm,
        handle_front_mm=hold.handle_front_mm,
        length_mm=hold.length_mm,
        rng=rng,
        mass_u_g=test.mass_u_g,
        balance_u_mm=test.balance_u_mm,
        pivot_u_mm=test.pivot_u_mm,
        level=level,
    )


def _predicted(shape: Outline, hold, geometry: dict[str, Any], level):
    """Balance from the geometry."""
    return predict(
        shape,
        grip_mm=hold.grip_mm,
        strike_mm=hold.strike_mm,
        handle_front_mm=hold.handle_front_mm,
        level=level,
        **geometry,
    )


def _all_doubts(counts, depths, damage, tools):
    """The doubts of every part, in the order of the sheet; a tool's name its blade."""
    parts = [one.doubts for one in (counts, depths, *(one for _, one in damage)) if one]
    for tool in tools:
        own = (*tool.balance.doubts, *(tool.compared.doubts if tool.compared else ()))
        parts.append(placed(own, blade=tool.blade))
    parts += [tool.blow.doubts for tool in tools]
    return tuple(dict.fromkeys(one for part in parts for one in part))
