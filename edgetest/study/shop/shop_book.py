"""What does a shop know of each steel and heat treatment, from all of its studies together?"""

from collections import Counter
from dataclasses import dataclass
from itertools import combinations
from math import exp, inf, log

import numpy as np
from scipy.special import ndtr, ndtri
from scipy.stats import chi2

from edgetest.doubts import doubt
from edgetest.estimate import Estimate
from edgetest.stats.between_studies import FEWER
from edgetest.stats.linked_studies import Ahead, StudyEffects, linked_studies, parts_of
from edgetest.stats.true_spread import PRIOR_SCALE
from edgetest.study.near_labels import slips
from edgetest.study.shop.copied_studies import copied_studies
from edgetest.study.shop.drifts import drifts, years_of
from edgetest.study.shop.load_scatter import LoadScatter, load_scatter
from edgetest.study.shop.shop_result import (
    NEXT_BLADES,
    KnownArm,
    NextStudy,
    Pool,
    ShopBook,
)
from edgetest.study.shop.study_effects import effects_of, fewer_df, scatters_of, within_study
from edgetest.study.shop.study_lives import CONTROL, StudyLives

YEARLY = 0.02  # of log life, by which a control blade may change a year; own choice
MOST_PAIRS = 200  # of arms looked at for the next study
TOLD_NEXT = 3
TOLD_ALIKE = 5  # pairs of names in one sentence
UNKNOWN_SCATTER = "no heat treatment of its protocol has two blades: their scatter is unknown"
COPY = "its readings stand in {first} already, so they count once"
TWO_FIFTHS = 0.4  # limits this far apart, as a log ratio, are named; own choice


def shop_book(remembered, results=(), *, invented=False, level=0.95):
    """Pool the studies that a shop remembers, each protocol and reading apart.

    Parameters
    ----------
    remembered : sequence of StudyLives
    results : sequence of KnownResult
        Of tests whose logs are gone.
    invented : bool
        Take studies of invented data too.
    level : float
        Coverage of the intervals.

    Returns
    -------
    ShopBook
        Effects within a study by least squares about its rolls, between studies by linked random
        effects (`edgetest.stats.linked_studies`).
    """
    kept, left_out = _kept(remembered, invented)
    noted: dict[tuple[str, str], list] = {}
    for result in results:
        noted.setdefault((result.protocol, result.reading), []).append(_member(result))
    pools: list[Pool] = []
    for kind in sorted({*kept, *noted}):
        members = kept.get(kind, [])
        scatter = _scatter(members, level)
        if members and not scatter.df:
            left_out |= {study.name: UNKNOWN_SCATTER for study, _ in members}
            members = []
        part = [Member(s.name, s, effects_of(found, scatter.sds, scatter.loads.sd))
                for s, found in members]  # fmt: skip
        part += noted.get(kind, [])
        alike = _alike(each.effects.arms for each in part)
        for numbers in parts_of([each.effects.arms for each in part]):
            pools.append(_pool(kind, [part[number] for number in numbers], scatter, level, alike))
    return ShopBook(len(remembered), tuple(pools), left_out)


def _kept(remembered, invented):
    """The studies that compare something, by protocol and reading; why others are left out."""
    left_out: dict[str, str] = {}
    kept: dict[tuple[str, str], list] = {}
    for study in remembered:
        if study.invented and not invented:
            left_out[study.name] = "its data is invented"
            continue
        found = within_study(study.read_runs, study.control) if not study.fault else None
        if found is None:
            left_out[study.name] = study.fault or "it compares nothing"
            continue
        kept.setdefault((study.protocol, study.reading), []).append((study, found))
    for kind, members in kept.items():
        copies = copied_studies([study for study, _ in members])
        left_out |= {name: COPY.format(first=first) for name, first in copies.items()}
        kept[kind] = [each for each in members if each[0].name not in copies]
    return kept, left_out


@dataclass(frozen=True)
class ShopScatter:
    """Of log life: between blades and the control's runs, with their df; between oven loads.

    `fewer` is the share of the degrees of freedom that the blades' tails leave.
    """

    sds: tuple[float, float]
    df: int
    fewer: float
    loads: LoadScatter

    def blades(self, level):
        """Between blades of one load, where loads are told apart, with its interval."""
        found, told = self.loads.found, "what rolls and heat treatments leave over"
        if found:
            ends = found.within, found.within_low, found.within_high
            return Estimate(*ends, "", level, f"{told} within batches, chi-square")
        sd = self.sds[0]
        low, high = 0.0, inf
        if few := self.df * self.fewer:
            low, high = (sd * (few / chi2.ppf(0.5 + side * level / 2, few)) ** 0.5
                         for side in (1, -1))  # fmt: skip
        return Estimate(sd, low, high, "", level, f"{told}, chi-square")

    def batches(self, level):
        """Between loads, with its interval; None where it cannot be told apart."""
        found = self.loads.found
        if found is None:
            return None
        return Estimate(found.between, found.between_low, found.between_high, "", level,
                        "generalised pivot of nested scatter")  # fmt: skip


def _scatter(members, level):
    """The scatter of all studies of a protocol together."""
    blades, control, df = scatters_of([found for _, found in members])
    if not df:
        return ShopScatter((blades, control), 0, FEWER, LoadScatter(None, ""))
    runs = [(study.read_runs, study.control) for study, _ in members]
    loads = load_scatter(runs, blades / control, level)
    if loads.found:
        blades = loads.found.within
    left = sum(float(found.squares[0]) for _, found in members)
    fewer = fewer_df(left, sum(found.tails for _, found in members))
    return ShopScatter((blades, control), df, fewer, loads)


@dataclass(frozen=True)
class Member:
    """One study in a pool; `study` is None of a result whose log is gone."""

    name: str
    study: StudyLives | None
    effects: StudyEffects


def _member(result):
    """A noted result as a study of two arms, its interval read as a 95 % one of a normal law."""
    se = log(result.high / result.low) / (2 * ndtri(0.975))
    effects = StudyEffects((result.against, result.arm), np.array([log(result.ratio)]),
                           np.array([[se**2]]))  # fmt: skip
    return Member(result.study, None, effects)


def _pool(kind, part, scatter, level, alike):
    """One pool of studies that are linked."""
    names = tuple(each.name for each in part)
    steady = {arm for each in part for arm in each.effects.arms if arm.startswith(CONTROL)}
    linked = linked_studies([each.effects for each in part], _anchor(part), steady,
                            Ahead(_ahead(part), scatter.loads.sd**2))  # fmt: skip
    anchor, *others = linked.arms
    having = [(each.name, each.effects.arms) for each in part]
    arms = sorted((_known(linked, having, arm, anchor, level) for arm in others),
                  key=lambda each: -each.ratio.value)  # fmt: skip
    names_by_life = [each.arm for each in arms]
    pairs = [_known(linked, having, first, second, level)
             for first, second in list(combinations(names_by_life, 2))[:MOST_PAIRS]
             if any({first, second} <= set(held) for _, held in having)]  # fmt: skip
    between = Estimate(linked.between_sd, linked.between_low, linked.between_high, "", 0.95,
                       "Paule-Mandel, interval by the Q profile")  # fmt: skip
    return Pool(
        kind[0], kind[1], names, anchor, tuple(arms), tuple(pairs),
        scatter.blades(level), scatter.df, scatter.batches(level), scatter.loads.why, between,
        drifts([each.study for each in part if each.study], _control(anchor), level),
        _next_studies(linked, scatter, level) if scatter.df else (),
        _doubts(part, linked, alike),
    )  # fmt: skip


def _ahead(part):
    """Variance that the control blade's yearly change adds in a next study."""
    years = [years_of(each.study.date) for each in part if each.study]
    days = [year for year in years if year is not None]
    if len(days) < 2:
        return 0.0
    years = (max(days) - min(days)) / (len(days) - 1) + max(days) - np.mean(days)
    return float((YEARLY * years) ** 2)


def _known(linked, having, arm, against, level):
    """One arm against another; `having` are the studies' names and arms."""
    effect = linked.effect(arm, against, level)
    value, low, high = (_exp(end) for end in (effect.log_effect, effect.low, effect.high))
    method = "random effects, Hartung-Knapp-Sidik-Jonkman"
    ratio = Estimate(value, low, high, "times", level, method)
    anchor = linked.arms[0]
    needed = {arm} if against == anchor else {arm, against}
    names = [name for name, _ in having]
    return KnownArm(
        arm, against, ratio, _exp(effect.next_low), _exp(effect.next_high),
        tuple(name for name, held in having if needed <= set(held)),
        dict(zip(names, effect.shares, strict=True)),
    )  # fmt: skip


def _anchor(part):
    """The control blade that most studies ran, else the arm that most compared."""
    counts: dict[str, int] = {}
    for each in part:
        for arm in each.effects.arms:
            counts[arm] = counts.get(arm, 0) + 1
    return max(counts, key=lambda arm: (arm.startswith(CONTROL), counts[arm], arm))


def _control(anchor):
    """The anchor where it is a control blade, else none."""
    return anchor if anchor.startswith(CONTROL) else ""


def _exp(end):
    """Ratio of a log effect's end."""
    return exp(end) if end < 700 else float("inf")


def _next_studies(linked, scatter, level):
    """The comparisons that one more study would settle most probably, of those still open."""
    variance = 2 * (scatter.sds[0] ** 2 / NEXT_BLADES + scatter.loads.sd**2)
    found = []
    for first, second in list(combinations(linked.arms, 2))[:MOST_PAIRS]:
        effect = linked.effect(second, first, level, ahead=False)
        if effect.low > 0 or effect.high < 0:
            continue
        then = linked.half_width_with(second, first, variance, level)
        settles = _settles(effect, variance + linked.between_sd**2, then)
        half = (effect.high - effect.low) / 2
        found.append(NextStudy(first, second, half, then, settles))
    found.sort(key=lambda each: -each.chance_to_settle)
    return tuple(found[:TOLD_NEXT])


def _settles(effect, further, then):
    """Chance that the mean lies farther than a half-width from nought after one more study.

    Of two heat treatments of which little is known the difference is hardly as large as it was
    seen: it is drawn to nought by how much heat treatments usually differ. Without that the first
    of three was said to be settled in 60 % of shops and was in 35 (48 shops, odd seeds of
    `tests.benchmarks.shop_years`), with it in 48 and 45 (96 shops).
    """
    before = effect.se**2
    share = PRIOR_SCALE**2 / (PRIOR_SCALE**2 + before)
    weight = before / (before + further)  # of the further study in the mean
    middle = effect.log_effect * (1 - weight * (1 - share))
    moves = weight * (share * before + further) ** 0.5
    return float(ndtr((middle - then) / moves) + ndtr((-middle - then) / moves))


def _alike(arms):
    """Pairs of names that may be one: a slip of the pen apart, or one control of two titles."""
    count = Counter(arm for each in arms for arm in each)
    controls = [arm for arm in count if arm.startswith(CONTROL)]
    titles = [(one, other) for one, other in combinations(controls, 2)
              if one.split(",")[0] == other.split(",")[0]]  # fmt: skip
    return list(dict.fromkeys([*titles, *slips(count)]))


def _alike_in(arms, alike):
    """The doubt about names of a pool that may be one with others."""
    names = [pair for pair in alike if {*pair} & {*arms}]
    if names:
        words = "; ".join(f"“{one}” and “{other}”" for one, other in names[:TOLD_ALIKE])
        yield doubt("shop_names_alike", names=words)


def _doubts(part, linked, alike):
    """What limits a pool; `alike` are names of all pools that may be one."""
    found = []
    if len(part) == 1:
        found.append(doubt("shop_one_study"))
    elif not linked.df:
        found.append(doubt("shop_nothing_twice"))
    studies = [each.study for each in part if each.study]
    limits = sorted({study.limit for study in studies if study.limit})
    if limits and log(limits[-1] / limits[0]) > TWO_FIFTHS:
        words = ", ".join(f"{limit:g}" for limit in limits)
        found.append(doubt("shop_limits_differ", limits=words))
    bounds = sorted({arm for study in studies for arm in study.bounds})
    if bounds:
        found.append(doubt("shop_bounds_left_out", arms="; ".join(bounds)))
    return (*found, *_alike_in(linked.arms, alike))
