"""What does page 1 say to a reader without statistics, and a later page to one with?

The grade of the answer decides the sentence: settled by the margin or without it, alike, not to
be told, an open end, one blade each, readings at equal cuts, nothing compared. The grades are
those of `edgetest.wear.compare.verdict_on_ratio`; how often each is wrong stands in the guide's
chapter `comparing`.
"""

from dataclasses import dataclass
from math import inf, isfinite

from edgetest.doubts import MOST_NAMED
from edgetest.estimate import estimate_parts, tells_nothing
from edgetest.study.wear.choice import WITHIN_FRESH, choice_of, may_be_less
from edgetest.study.wear.group_titles import titled_comparison, titles_of
from edgetest.study.words import counted, freedom_words, listed
from edgetest.wear.compare.side_names import part_names

# The method of an interval under the name that a textbook has for it.
TEXTBOOK = {
    "pooled t": "Student's t with one pooled variance",
    "Welch t": "Welch's t",
    "t within blocks": "Student's t within blocks",
    "t with guarded df": "Student's t, its degrees of freedom held down",
    "t, blocks weighed": "Student's t, differences within and between blocks weighed together",
    "t, blocks by the control": "Student's t, blocks held against their control blade",
    "t by likelihood": "profile likelihood on Student's scale",
    "reading uncertainty alone": "normal, reading uncertainty alone",
    "reading uncertainty": "normal, reading uncertainty alone",
}
OF_ONE = "One blade does not show what its heat treatment does; another blade of it may differ."
NOTHING = "This test compares no heat treatments: nothing is said of one against another."
READ_BEFORE = (
    "read_early",
    "blades_lost",
    "looks_fixed_late",
    "blades_added_late",
)  # no 1 of 20 any more
FIRST = "Read the lines below before you rely on it."


@dataclass(frozen=True)
class PageOne:
    """The sentence for everybody, how the interval came about, and which one to take.

    `rests_on` says of how many blades it is; the method has them too, for a later page.
    """

    plain: str
    method: str = ""
    choice: str = ""
    rests_on: str = ""

    def to_dict(self):
        """Plain values for JSON."""
        return {"plain": self.plain, "method": self.method, "choice": self.choice}


NOTHING_SAID = PageOne("")
NO_BOUNDS: dict[str, float] = {}


def page_one(result):
    """The sentences of a study's answer.

    Parameters
    ----------
    result : StudyResult

    Returns
    -------
    PageOne
        Without a method where there is no interval.
    """
    titles, compared = titles_of(result.study), result.compared
    found, at_cuts = result.comparison, compared.at_cuts
    leads = at_cuts is not None and at_cuts.leads
    if leads:
        found = at_cuts.comparison
    if found is None:
        return PageOne(
            "This test compares no heat treatments: nothing is said of one against another."
        )
    found = titled_comparison(found, titles)
    hangs, stands = _hanging(compared)
    doubts = result.doubts
    lessens = [one.what for one in compared.alternatives if not one.decides and one.lessens]
    firm = not any(one.gravity == "decides" or one.code in READ_BEFORE for one in doubts)
    if any(one.code == WITHIN_FRESH for one in doubts):
        plain = _within_fresh(found)
    elif hangs:
        plain = _hangs_on(hangs)
    elif leads:
        plain = _at_cuts(at_cuts, found)
    else:
        plain = _of_lives(found, firm, lessens)
    ways = {"lives_known": not leads, "stands": stands, "lessens": lessens}
    choice = choice_of(found, doubts, hangs, **ways)
    method = _method(found)
    rests_on = f"It rests on {listed(_blades(found, {} if leads else _only_longer(result)))}."
    return PageOne(plain[:1].upper() + plain[1:], method, choice, rests_on if method else "")


def _of_lives(found, firm, lessens):
    """The lives, which answer by themselves."""
    if any(pair.scope != "blades" for pair in found.pairs):
        return _of_several(found, firm)
    if found.scope == "blades":
        return _of_blades(found)
    return _of_two(found, firm, lessens)


def _within_fresh(found):
    """Nothing of the lives: the finest fresh edges alone have some."""
    names = [group.treatment for group in found.groups]
    which = listed(names) if len(names) == 2 else f"the {len(names)} heat treatments"
    return f"This test cannot tell which of {which} holds its edge longer to this limit."


def _hangs_on(causes):
    """Not told: another answer stands beside it."""
    return f"This test cannot tell: its answer changes with {' and '.join(dict.fromkeys(causes))}."


def _hanging(compared):
    """What the answer hangs on, and what each of it has that was looked at and kept."""
    hanging = [one for one in compared.alternatives if one.decides]
    return [one.what for one in hanging], [one.stands for one in hanging]


def _times(ratio):
    """How many times as long, as one says it: "about 1.6 times as long".

    It is the number that stands beside its interval, but for a third decimal or zeros at the end:
    1.4 above 1.45 would look like a misprint.
    """
    estimate = ratio.estimate
    if not 0 < estimate < inf:
        return f"{ratio} times as long"
    shown, _ = estimate_parts(estimate, ratio.low, ratio.high, apart=1.0)
    shown = min(shown, f"{estimate:.2f}", key=len)
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    return "about as long" if shown == "1" else f"about {shown} times as long"


def _chance_of(level):
    """How often an interval of this level misses: "1 of 20"."""
    return f"1 of {round(1 / (1 - level))}"


def _of_two(found, firm, lessens=()):
    """Two heat treatments with two blades or more each."""
    (first, second), ratio = part_names(found, found.first, found.second), found.ratio
    practical = found.practical
    share, verdict = f"{100 * practical.margin:g} %", practical.verdict
    if verdict == "no_relevant_difference":
        alike = f"{second} and {first} held their edge alike in this test, to within {share}"
        return f"{alike}. {_unless(practical.margin, practical.level) if firm else FIRST}"
    if verdict == "cannot_tell":
        return _untold(f"{second} and {first}", second, first, ratio)
    if verdict == "shorter":
        first, second, ratio = second, first, ratio.inverted()
    much = f"{may_be_less(lessens)}it may be by less than {share}"
    if practical.reaches_margin and not lessens:
        much = ""
    said = f"{second} held its edge {_times(ratio)} as {first} in this test{much}."
    return f"{said} {_by_chance(ratio.level) if firm else FIRST}"


def _by_chance(level):
    """What a settled difference is worth."""
    return (
        "If there were no difference, chance alone would show one this clear in at most "
        f"{_chance_of(level)} such tests."
    )


def _unless(margin, level):
    """What it is worth to be found alike, by two one-sided tests."""
    return (
        f"If they differed by {100 * margin:g} % or more, at most {_chance_of((1 + level) / 2)} "
        "such tests would find them alike."
    )


def _untold(both, second, first, ratio):
    """Not told apart: which came out ahead, and why that says little."""
    said = f"This test cannot tell which of {both} holds its edge longer."
    if not (ratio.low > 0 and ratio.high < inf) or tells_nothing(ratio.low, ratio.high):
        return said
    if ratio.estimate < 1:
        first, second, ratio = second, first, ratio.inverted()
    ahead = f"{second} lasted {_times(ratio)} as {first}"
    return f"{said} {ahead[:1].upper()}{ahead[1:]}, but chance alone can do that."


def _of_blades(found):
    """One blade on a side: said of the blades, never of their heat treatments."""
    groups = {group.treatment: group.blades for group in found.groups}
    first, second = (
        f"blade {groups[name][0]}" if len(groups[name]) == 1 else f"the blades of {name}"
        for name in (found.first, found.second)
    )
    ratio, verdict = found.ratio, found.practical.blades_verdict
    share = f"{100 * found.practical.margin:g} %"
    if verdict == "no_relevant_difference":
        return (
            f"{second} and {first} held their edge alike in this test, to within {share}. {OF_ONE}"
        )
    if verdict not in ("longer", "shorter"):
        return f"{_untold(f'{second} and {first}', second, first, ratio)} {OF_ONE}"
    if verdict == "shorter":
        first, second, ratio = second, first, ratio.inverted()
    held = "its edge" if second.startswith("blade ") else "their edges"
    return f"{second} held {held} {_times(ratio)} as {first} in this test. {OF_ONE}"


BESIDE = {
    "longer": "it outlasts {names}",
    "no_relevant_difference": "it is alike with {names} to within {share}",
    "cannot_tell": "it cannot be told from {names}",
    "unknown": "of {names} too few blades were tested to say",
}


def _of_several(found, firm):
    """Which of several came out longest, which of them it outlasts for sure, and which not."""
    told = [
        _from_below(pair) for pair in found.pairs
        if pair.family == "all pairs" and pair.scope != "blades"
    ]  # fmt: skip
    names = [group.treatment for group in found.groups]
    compared = [name for name in names if any(name in pair[:2] for pair in told)]
    best = next((name for name in compared if _never_behind(name, told)), None)
    if best is None:
        which = f"This test cannot tell which of the {len(names)} heat treatments"
        return f"{which} holds its edge longest: too little is known of the blades."
    return _ahead_words(found, best, len(compared), _beside(found, best, told), firm)


def _ahead_words(found, best, count, said, firm):
    """The longest of so many that can be compared, and what is said of the others."""
    (best,) = part_names(found, best)
    those = f"{count} heat treatments{' that can be compared' if 'unknown' in said else ''}"
    if said.keys() <= {"cannot_tell", "unknown"}:
        unknown = f"; {said['unknown']}" if "unknown" in said else ""
        return (
            f"This test cannot tell which of {those} holds its edge longest: {best} came out "
            f"longest, but chance alone can do that{unknown}."
        )
    words = f"of {those} {best} came out longest in this test: {listed(said.values())}."
    if "longer" not in said:
        return words
    return f"{words} {_by_chance(found.ratio.level) if firm else FIRST}"


def _beside(found, best, told):
    """What this test says of the others beside the longest, by verdict; what it says of none."""
    verdicts = {pair[0]: pair[3] for pair in told if pair[1] == best}
    share, said = f"{100 * found.practical.margin:g} %", {}
    for kind, words in BESIDE.items():
        others = [group.treatment for group in found.groups
                  if group.treatment != best
                  and verdicts.get(group.treatment, "unknown") == kind]  # fmt: skip
        if others:
            said[kind] = words.format(names=listed(others), share=share)
    return said


def _from_below(pair):
    """A pair as (shorter, longer, ratio, verdict on the longer)."""
    if pair.ratio.estimate >= 1:
        return pair.first, pair.second, pair.ratio, pair.verdict
    verdict = {"shorter": "longer", "longer": "shorter"}.get(pair.verdict, pair.verdict)
    return pair.second, pair.first, pair.ratio.inverted(), verdict


def _never_behind(name, told):
    """Whether a heat treatment came out longer in every pair that tells of it."""
    mine = [pair for pair in told if name in pair[:2]]
    return bool(mine) and all(pair[1] == name for pair in mine)


def _at_cuts(at_cuts, found):
    """The readings after equal cuts, where too few lives are known to compare them."""
    when = at_cuts.measure.when.format(cuts=at_cuts.cuts)
    lives = "How long each lasts, this test does not tell."
    second, first = part_names(found, found.second, found.first)
    if found.scope == "blades" or not at_cuts.worn or at_cuts.verdict == "cannot_tell":
        more = OF_ONE if found.scope == "blades" else lives
        return f"This test cannot tell which of {second} and {first} wears less. {more}"
    if at_cuts.verdict == "alike":
        within = f"alike to within {at_cuts.share}"
        return f"{when} the edges of {second} and {first} were {within}. {lives}"
    better, other = second, first
    if at_cuts.verdict == "first":
        better, other = other, better
    return f"{when} the edge of {better} was better than that of {other}. {lives}"


def _method(found):
    """The interval's method under its textbook name, its degrees of freedom, the blades."""
    ratio = found.ratio
    if not (ratio.low > 0 or ratio.high < inf):
        return ""
    name = next((words for key, words in TEXTBOOK.items() if ratio.method.startswith(key)), "")
    known = next((key for key in TEXTBOOK if ratio.method.startswith(key)), "")
    method, free = f"{name}{ratio.method.removeprefix(known)}", ""
    method = method.replace(", repeated", ", as a repeated confidence interval")
    if ratio.df and isfinite(ratio.df):
        method = method.replace("normal", "Student's t")  # readings whose scatter was estimated
        free = f", {freedom_words(ratio.df)}"
    blades = ", ".join(_blades(found))
    return f"How the interval was made: {method}, on logarithms{free}; {blades}."


def _only_longer(result):
    """Cuts that a life is known to be longer than, by blade: those of which no more is known."""
    return {
        one.blade: one.life.low
        for one in getattr(result.fit, "blades", ())
        if getattr(one.life, "beyond_reach", False)
    }


def _blades(found, only_longer=NO_BOUNDS):
    """How many blades of each heat treatment the interval is made of."""
    return [
        f"{counted(group.n, 'blade')} of {group.treatment}{_in_batches(group)}"
        f"{_of_which_longer(group, only_longer)}"
        for group in found.groups
    ]


def _of_which_longer(group, only_longer):
    """The blades of a heat treatment of which a least life alone is known."""
    mine = [f"{name} over {only_longer[name]:.0f}" for name in group.blades if name in only_longer]
    if not mine:
        return ""
    if len(mine) > MOST_NAMED:
        return f" ({len(mine)} of them known only to last longer than they were cut)"
    return f" (known only to last longer: {listed(mine)} cuts)"


def _in_batches(group):
    """In how many batches or blocks a heat treatment's blades came, where these count once."""
    return "" if group.counted == "blades" else f" in {group.replicates} {group.counted}"
