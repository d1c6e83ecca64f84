"""A result with its heat treatments under their titles, as a customer is to read them."""

from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Any

from edgetest.doubts import sentences
from edgetest.study.bench.blinding import name_of_code
from edgetest.study.wear.group_titles import bare_titles_of, titled_comparison
from edgetest.study.wear.headline import Headline
from edgetest.study.wear.other_levels import LevelWords
from edgetest.study.wear.page_one import NOTHING_SAID, PageOne, page_one
from edgetest.wear.compare.chances import opposite

CONTROL = "Control blade"
# Doubts that say which blades the answer is not of: page 1 of a document shows them.
LEFT_OUT = ("blade_excluded", "look_after_stop")


@dataclass(frozen=True)
class Titled:
    """A study's result as a document reads it: titles, the comparison as plain values."""

    study: Any
    protocol: Any
    log: Any
    reading: str
    limit: float | str | None
    photos: tuple
    readings: tuple
    fit: Any
    has_curves: bool
    comparison: dict | None
    headline: Headline
    alternatives: tuple
    summary: str
    beside: tuple[str, ...] = ()  # readings at equal cuts and card totals, in sentences
    levels: tuple[dict, ...] = ()  # the ratio of lives to other limits, turned as the words are
    level_words: LevelWords | None = None
    limit_of_fresh: float | None = None
    departures: tuple = ()
    page_one: PageOne = NOTHING_SAID
    blades_left_out: tuple[str, ...] = ()  # a sentence for each reason
    leaning: tuple[str, ...] = ()  # how far the hand lies from photographs: "9 % larger"


def with_titles(result):
    """The result with titles for ids; a title that two share would hide a difference: ids then."""
    titles = bare_titles_of(result.study)
    comparison = result.comparison and titled_comparison(result.comparison, titles)
    words = result.level_words() if result.compared.levels else None
    named = _run_names(result)
    blades = tuple(replace(one, blade=named.get(one.blade, one.blade)) for one in result.fit.blades)
    return Titled(
        study=result.study,
        protocol=result.protocol,
        log=result.log,
        reading=result.reading,
        limit=result.limit if isinstance(result.limit, str) or isfinite(result.limit) else None,
        photos=result.photos,
        readings=tuple(
            replace(
                each,
                heat_treatment=titles.get(each.heat_treatment, each.heat_treatment),
                run=named.get(each.run, each.run),
            )
            for each in result.readings
        ),
        fit=replace(result.fit, blades=blades),
        has_curves=result.has_curves,
        comparison=longer_above(comparison.to_dict()) if comparison else None,
        headline=result.headline,
        alternatives=result.compared.alternatives,
        summary=result.summary(),
        beside=tuple(result.beside_lives()),
        levels=_levels_with_own(result, turned=words is not None and words.turned),
        level_words=words,
        limit_of_fresh=result.limit_of_fresh,
        departures=result.departures,
        leaning=tuple(o.where.value for o in result.doubts if o.code == "hand_leans"),
        blades_left_out=tuple(sentences(o for o in result.doubts if o.code in LEFT_OUT)),
        page_one=page_one(result),
    )


def _levels_with_own(result, *, turned):
    """The ratio to each limit; the study's own among them, so that a line passes through it."""
    levels = [level.to_dict(turned=turned) for level in result.compared.levels]
    own, limits = result.limit, [level["limit"] for level in levels]
    if not limits or isinstance(own, str) or not min(limits) < own < max(limits) or own in limits:
        return tuple(levels)
    ratio = result.comparison.ratio.inverted() if turned else result.comparison.ratio
    if ratio.low > 0 and ratio.high < inf:
        ends = {key: getattr(ratio, key) for key in ("estimate", "low", "high")}
        levels.append({"limit": own, **ends})
    return tuple(sorted(levels, key=lambda level: level["limit"]))


def _run_names(result):
    """What figures and tables call a run whose blade went by a code: "BMW (H1)"."""
    names = name_of_code(result.study)
    return {
        each.run: each.run.replace(each.blade, f"{each.blade} ({names[each.blade]})", 1)
        for each in result.readings if each.blade in names
    }  # fmt: skip


def longer_above(numbers):
    """The numbers of a comparison with the heat treatment that lasts longer above the other.

    Parameters
    ----------
    numbers : dict
        As `Comparison.to_dict` tells them.

    Returns
    -------
    dict
        Ratio, chances and verdict of the longer one over the other, as the sentences say them.
    """
    numbers = {**numbers, "pairs": [_pair_turned(pair) for pair in numbers["pairs"]]}
    if _as_it_is(numbers["ratio"]):
        return numbers
    practical, chances = numbers["practical"], ("longer", "next_blade_outlasts")
    return {
        **numbers,
        "first": numbers["second"],
        "second": numbers["first"],
        "practical": {**practical, **_inverted(practical),
                      "verdict": _of_first(practical["verdict"])},
        **{key: numbers[key] and {**numbers[key], **_inverted(numbers[key])}
           for key in ("ratio", "other_interval", "with_history")},
        "chances": _of_the_other(numbers["chances"]),
        **{f"probability_{key}": None if (p := numbers[f"probability_{key}"]) is None else 1 - p
           for key in chances},
    }  # fmt: skip


def _as_it_is(ratio):
    """Whether the second lasts as long as the first or longer, or no ratio is known."""
    return ratio["estimate"] is None or ratio["estimate"] >= 1


def _of_first(verdict):
    """The verdict on the first over the second."""
    return {"longer": "shorter", "shorter": "longer"}.get(verdict, verdict)


def _pair_turned(pair):
    """A pair of several with the one that lasts longer above the other."""
    if _as_it_is(pair["ratio"]):
        return pair
    return {
        **pair,
        "first": pair["second"],
        "second": pair["first"],
        "ratio": {**pair["ratio"], **_inverted(pair["ratio"])},
        "verdict": _of_first(pair["verdict"]),
    }


def _of_the_other(chances):
    """The words of chances, those of the first instead of the second; what else they hold stays."""
    if chances is None:
        return None
    words = {name: opposite(word) for name, word in chances["words"].items()}
    return {**chances, "words": words}


def _inverted(ratio):
    """Estimate and ends of a ratio, those that it has, of the first over the second."""
    ends = {"estimate": "estimate", "low": "high", "high": "low"}
    return {
        key: 1 / ratio[of] if ratio[of] else (0.0 if of == "high" else None)
        for key, of in ends.items() if of in ratio and key in ratio
    }  # fmt: skip


def groups_of(titled):
    """Heat treatments compared, in whose order every figure takes its colours; () without one.

    A control blade, wherever it stands in the log, comes after them.
    """
    return [one["treatment"] for one in (titled.comparison or {}).get("groups", ())]


def treatments_of(result):
    """Heat treatment of every fitted run, in the order of the fit; a control's is "Control"."""
    by_run = {each.run: each for each in result.readings}
    control = result.study.control
    found = []
    for fit in result.fit.blades:
        fact = by_run.get(fit.blade)
        name = fact.heat_treatment if fact else ""
        found.append(CONTROL if fact and fact.blade == control else name)
    return found
