"""Every figure of a chopper's sheet from one call: chops, depth, damage, swing and energy."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import isfinite

import numpy as np

from edgetest.chop.balance import Balance, Hold
from edgetest.chop.balances_compared import SideBySide, side_by_side
from edgetest.chop.chopper_treatments import treatments_compared
from edgetest.chop.count_design import Billets
from edgetest.chop.count_results import BladeRatio, ChopCounts
from edgetest.chop.counts import DOUGLAS_FIR, fit_counts
from edgetest.chop.damage_rates import Damage, Inspection, damage_rates
from edgetest.chop.depth import SingleChops, fit_depths
from edgetest.chop.depth_results import DepthFit
from edgetest.chop.energy import Blow, Swing, depth_per_joule, joules_per_cm2, standard_blow
from edgetest.chop.pendulum import SwingTest, hung_as, measured_balance
from edgetest.chop.predict import Prediction, predict
from edgetest.chop.ratio_by_wood import ratios_by_wood
from edgetest.chop.swing_counts import outline_doubts
from edgetest.chop.tool_dulling import dulling_by_tool
from edgetest.chop.tool_outline import Outline
from edgetest.doubts import Doubt, doubt, placed
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields
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
OF_SHAPE = ("grind_not_typed", "no_slender_blade")  # of a prediction, beside what was measured
# What a customer may take for tested; what is missing of it is said on the sheet.
USUAL_TESTS = ("chops to sever", "depth per chop", "chips", "rolls", "swing", *TRIALS.values())


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
        return {**json_fields(self.trial), "title": self.title, "passes": self.passes.to_dict()}

    def summary(self):
        """The trial in words; one pass is not a promise."""
        one, rate = self.trial, self.passes
        low, high = (f"{100 * end:.0f} %" for end in (rate.low, rate.high))
        told = f"{low} to {high}"
        if rate.high == 1:
            told = f"{low} or more"
        elif rate.low == 0:
            told = f"at most {high}"
        such = f"{told} of such tries would pass" if one.tried else "not tried"
        return f"{one.blade}, {self.title}: passed {one.passed:d} of {one.tried:d}; {such}"


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
        return json_fields(self)

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
    treatments: tuple[BladeRatio, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        damage = [{"when": when, **one.to_dict()} for when, one in self.damage]
        return {**json_fields(self, without=("damage",)), "damage": damage}

    def summary(self):
        """The sheet as a maker would read it out."""
        lines = [self.counts.summary()] if self.counts else []
        lines += [f"heat treatments: {one.summary()}" for one in self.treatments]
        lines += [self.depths.summary()] if self.depths else []
        lines += [f"{when} the test, {one.summary()}" for when, one in self.damage]
        lines += [tool.summary() for tool in self.tools]
        lines += [trial.summary() for trial in self.trials]
        if self.not_tested:
            lines.append("not tested: " + ", ".join(self.not_tested))
        return "\n".join(lines)


@dataclass(frozen=True)
class ChopTest:
    """What was done with some blades; by blade: swing tests, geometry, how they are held, and
    the heat treatments where these are compared.
    """

    billets: Billets | None = None
    single_chops: SingleChops | None = None
    inspections: tuple[Inspection, ...] = ()
    swing_tests: Mapping[str, SwingTest] = field(default_factory=dict)
    outlines: Mapping[str, Outline] = field(default_factory=dict)
    holds: Mapping[str, Hold] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
    treatment_of: Mapping[str, str] = field(default_factory=dict)

    @property
    def tools(self):
        """The blades that were swung or drawn."""
        return tuple(dict.fromkeys([*self.swing_tests, *self.outlines]))

    def not_done(self):
        """What of the usual tests is missing."""
        done = {one.kind for one in self.inspections if one.when == "after"}
        done |= {TRIALS.get(one.test, one.test) for one in self.trials}
        parts = (self.billets, self.single_chops, self.swing_tests)
        names = ("chops to sever", "depth per chop", "swing")
        done |= {name for name, part in zip(names, parts, strict=True) if part}
        return tuple(test for test in USUAL_TESTS if test not in done)


def chop_report(
    test, *, rng, reference=DOUGLAS_FIR, against=None, swing=None, level=0.95, foretell=predict
):
    """Every figure of the chopper's sheet that the test allows.

    Parameters
    ----------
    test : ChopTest
        Every blade that was swung or drawn has its hold.
    rng : numpy.random.Generator
        For the Monte Carlo of the swing figures.
    reference : ReferenceWood
        Wood that chops are stated in.
    against : str, optional
        Blade that the others are compared with, where it was chopped with.
    swing : Swing, optional
        The standard swing.
    level : float
        Coverage of all intervals.
    foretell : callable
        `edgetest.chop.predict.predict`, or one that keeps what it told.

    Returns
    -------
    ChopReport

    Raises
    ------
    UnusableInput
        If there is nothing to report, or a part of the input cannot be used.
    """
    if not (test.billets or test.single_chops or test.inspections or test.tools or test.trials):
        raise UnusableInput("no chops, damage, swing or trial", "chop test", "log at least one")
    counts = depths = None
    if test.billets:
        second = _known(against, test.billets)
        counts = fit_counts(test.billets, reference=reference, against=second, level=level)
        counts = replace(
            counts,
            dulling_by_tool=dulling_by_tool(test.billets, level=level),
            by_wood=ratios_by_wood(test.billets, counts.ratios, level=level),
        )
        counts = replace(counts, doubts=_without_claims(counts))
    if test.single_chops:
        second = _known(against, test.single_chops)
        depths = fit_depths(test.single_chops, against=second, level=level)
    damage = tuple((one.when, damage_rates(one, level=level)) for one in test.inspections)
    kinds, said = treatments_compared(test, counts, depths, damage, against, level)
    tools = tuple(
        _tool(name, test, swing or Swing(), counts, depths, rng, level, foretell)
        for name in test.tools
    )
    return ChopReport(
        counts=counts,
        near_misses=_near_misses(test.billets, level) if test.billets else {},
        depths=depths,
        damage=damage,
        tools=tools,
        trials=tuple(
            TrialResult(one, share(one.passed, one.tried, level=level)) for one in test.trials
        ),
        not_tested=test.not_done(),
        level=level,
        treatments=kinds,
        doubts=(*said, *_all_doubts(counts, depths, damage, tools)),
    )


def _without_claims(counts):
    """The doubts of the counts without those of what all woods together say, where they differ."""
    apart = {(one.first, one.second) for one in counts.by_wood if one.apart}
    return tuple(
        doubt(one.code, narrower="", where=one.where) if apart and one.code == "underdispersed"
        else one
        for one in counts.doubts
        if one.code != "rests_on_even_counts" or (one.where.blade, one.where.other) not in apart
    )  # fmt: skip


def _known(blade, columns):
    """The blade where the columns have it, else None."""
    return blade if blade in map(str, columns.blade) else None


def _near_misses(billets, level):
    """Share of strokes that missed, by blade, of the pieces where they were counted."""
    if billets.near_misses is None:
        return {}
    blade = np.asarray([str(name) for name in billets.blade])
    missed, made = np.asarray(billets.near_misses, float), np.asarray(billets.chops, float)
    known = np.isfinite(missed)
    counted = {name: known & (blade == name) for name in dict.fromkeys(blade.tolist())}
    return {
        name: share(missed[own].sum(), made[own].sum(), level=level)
        for name, own in counted.items()
        if own.any()
    }


def _tool(name, test, swing, counts, depths, rng, level, foretell):
    """Balance and blow of a tool that was swung or drawn."""
    if name not in test.holds:
        what = f"no grip and strike point for {name}"
        raise UnusableInput(what, "balance", "give both, in mm from the butt")
    hold, measured, predicted, compared = test.holds[name], None, None, None
    if name in test.outlines:
        predicted = foretell(test.outlines[name], hold, rng=rng, level=level)
        balance = predicted.balance
    if name in test.swing_tests:
        balance = measured = measured_balance(test.swing_tests[name], hold, rng=rng, level=level)
    if measured and predicted:
        compared = side_by_side(measured, predicted.balance)
        inertias = (measured.inertia_balance_kg_cm2, predicted.balance.inertia_balance_kg_cm2)
        hung = hung_as(test.swing_tests[name], hold)
        more = outline_doubts(hung, *inertias, test.swing_tests[name].swings)
        measured = replace(measured, doubts=(*measured.doubts, *more))
        balance = measured
    blow = standard_blow(balance, swing)
    fresh = {line.name: line.fresh_mm for line in depths.blades} if depths else {}
    rates = {
        one.blade: one.chops_per_100_cm2
        for one in (counts.blades if counts else ())
        if one.chops_per_100_cm2.low > 0 and isfinite(one.chops_per_100_cm2.high)
    }  # where nearly all pieces still stand there is no energy to tell
    return ToolSwing(
        name,
        measured,
        predicted,
        compared,
        blow,
        depth_per_joule(fresh[name], blow) if name in fresh else None,
        joules_per_cm2(rates[name], blow) if name in rates else None,
    )


def _all_doubts(counts, depths, damage, tools):
    """The doubts of every part, in the order of the sheet; a tool's name its blade."""
    parts = [one.doubts for one in (counts, depths, *(one for _, one in damage)) if one]
    for tool in tools:
        drawn = tool.predicted.balance.doubts if tool.predicted else ()
        of_shape = [one for one in drawn if one.code in OF_SHAPE]
        compared = tool.compared.doubts if tool.compared else ()
        own = dict.fromkeys([*tool.balance.doubts, *of_shape, *compared])
        parts.append(placed(own, blade=tool.blade))
    parts += [tool.blow.doubts for tool in tools]
    return tuple(dict.fromkeys(one for part in parts for one in part))
