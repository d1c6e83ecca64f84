"""Which heat treatment to take for an edge that lasts, or that this test cannot tell yet."""

from math import inf

from edgetest.doubts import MOST_NAMED
from edgetest.study.words import counted, listed
from edgetest.wear.compare.looks import ENDS
from edgetest.wear.compare.side_names import LABELS
from edgetest.wear.compare.what_counts import ONE_OF

TAKE = "For an edge that lasts, take"
CANNOT = "Which to take for an edge that lasts, this test cannot tell yet"
# What may stand behind a difference and nobody noted, by the doubts that tell of it.
UNNOTED = (
    (
        ("batches_unknown", "tempered_apart", "parted_before_the_batch"),
        "the blades of each share one batch",
    ),
    (("edge_angle_not_noted",), "their edges are ground to different angles"),
)
# What may stand behind it as noted: the sentence that is acted on says so too.
BEHIND_IT = {
    "one_side_in_one_batch": "a lucky or unlucky batch explains it (all blades of one heat"
    " treatment lie in one)",
    "steel_of_one_treatment": "the steel explains it (no steel has blades of both)",
}
UNTIL_THEN = "Until then weigh what stands below against the work that each costs"
PASSED_FRESH = "limit_not_beyond_fresh"  # no cut mends that
WITHIN_FRESH = "limit_within_fresh"  # the same of blades that are compared
OTHER_SCALE = "blade_of_other_scale"  # every reading of a blade
FRESH_APART = "fresh_edge_apart"  # its fresh edge alone
DULL = "never_had_grade"  # from its first check on
EARLY, OF_ONE_BLADE = "read_early", "one_blade_per_treatment"
LOST = "blades_lost"  # cut as planned, and left out whole
LOOKS = {
    "before": "go on to the first look",
    "go_on": "go on to the next look",
    "between": "go on to the next look",
    "early": "cut on the blades that wait, and look again",
    "beyond": "leave out what came after the last look",
    "after": "take the answer of the look that ended the test",
}

LAW = "the law of wear"  # as `with_and_without` names it
AT_THE_LIMIT = "read the next blades at more stages about the limit, where no law is needed"
OF_A_NEW_TEST = (
    "its looks are over, so test new blades in a new study, read at more stages about the limit"
)


def choice_of(found, doubts, causes=(), *, lives_known=True, stands=(), lessens=()):
    """The sentence that a maker acts on: the one to take, either, or what would tell.

    Parameters
    ----------
    found : Comparison
        Under the heat treatments' titles.
    doubts : sequence of Doubt
        Of the whole answer: where one decides, nothing is chosen.
    causes : sequence of str
        What the verdict hangs on.
    lives_known : bool
        False where the readings at equal cuts stand in for lives.
    stands : sequence of str
        What each cause has that was looked at and kept, as in `Alternative`.
    lessens : sequence of str
        That without which the verdict stands, but no longer by the margin.

    Returns
    -------
    str
        "" where the blades have no heat treatments to choose between.
    """
    if all(group.blades == (group.treatment,) for group in found.groups):
        return ""
    before = _before_it(found, doubts, causes, lives_known, stands)
    if before:
        return f"{CANNOT}: {before}."
    taken = _of_several(found) if len(found.groups) > 2 else _of_two(found, lessens)
    codes = {one.code for one in doubts}
    behind = [words for of, words in UNNOTED if codes & set(of)]
    known = [words for code, words in BEHIND_IT.items() if code in codes]
    if not taken.startswith(TAKE) or not (behind or known):
        return taken
    unless = f"{taken[:-1]}, unless {' or '.join((*known, *behind))}"
    if not behind:
        return f"{unless}."
    noted = "that is not" if len(behind) == 1 else "neither is"
    return f"{unless}: {noted} noted for every blade."


def takes_an_answer(found, doubts, causes=(), *, lives_known=True):
    """Whether nothing stands before a choice, and of several one is taken; see `choice_of`."""
    if _before_it(found, doubts, causes, lives_known, ()):
        return False
    return len(found.groups) < 3 or _of_several(found).startswith(TAKE)


def _hangs_on(found, causes, stands):
    """What settles what the answer hangs on; readings looked at and kept are settled as such."""
    if {*causes} == {LAW}:
        over = found.look is not None and found.look.decision in ENDS
        then = OF_A_NEW_TEST if over else f"{AT_THE_LIMIT}; {_more(found)}"
        return f"it hangs on {LAW}, which no reading so far tells: {then}"
    if not stands or not all(stands):
        return f"settle first what it hangs on, {listed(dict.fromkeys(causes))}"
    one = len(stands) == 1
    which = "one reading that was looked at and counts"
    if not one:
        which = "readings that were looked at and count"
    if "worn" in stands:
        gone = "that edge has worn on since" if one else "an edge of theirs has worn on since"
        return f"it hangs on {which}; {gone}, so {_more(found)}"
    edge = "that edge" if one else "those edges"
    again = f"read {edge} again at another place or with a second device"
    return f"it hangs on {which}; {again}. If it hangs still, {_more(found)}"


def _a_second_one(found):
    """What would tell heat treatments from the one batch or lot that some were made in."""
    alone = [group.treatment for group in found.groups if group.parts == 1]
    whose = "of each" if len(alone) == len(found.groups) else f"of {listed(alone)}"
    return f"blades {whose} from a second {ONE_OF[found.scope]} would begin to tell"


def _before_it(found, doubts, causes, lives_known, stands):
    """What stands before any choice, as the thing to do; "" where nothing does."""
    first = _first_of_all(doubts)
    if first:
        return first
    if causes:
        return _hangs_on(found, causes, stands)
    if not lives_known:
        return _without_lives(doubts)
    if found.scope in LABELS:
        return _a_second_one(found)
    if found.scope == "blades" and not found.pairs:
        return _more(found)
    if any(one.gravity == "decides" and one.code != OF_ONE_BLADE for one in doubts):
        return "settle first what is said below"
    return _still_to_cut(doubts)


def _first_of_all(doubts):
    """What is done before anything else is read; "" where nothing is."""
    passed = [one for one in doubts if one.code == WITHIN_FRESH]
    odd = [one for one in doubts if one.code == OTHER_SCALE]
    if odd:
        were = "was" if len(odd) == 1 else "were"
        return f"look first whether {_blades(odd)} {were} typed in another unit"
    return _within_fresh(passed) if passed else ""


def _still_to_cut(doubts):
    """The blades that are wanting by the plan; "" where none is."""
    lost = [one for one in doubts if one.code == LOST]
    if lost:
        place = "another blade in its" if len(lost) == 1 else "others in their"
        return f"cut {_blades(lost)} anew, or {place} place"
    if not any(one.code == EARLY for one in doubts):
        return ""
    dull = [one for one in doubts if one.code == DULL]
    if dull:
        again, holds = ("it", "its fresh edge holds")
        if len(dull) > 1:
            again, holds = "them", "their fresh edges hold"
        return f"sharpen {_blades(dull)} and cut {again} anew, or choose a grade that {holds}"
    return "cut all the blades that were planned"


def _without_lives(doubts):
    """What would give the blades lives."""
    if any(one.code == PASSED_FRESH for one in doubts):
        return "choose a limit that a fresh edge has not reached"
    return "cut on until each sound blade is past the limit"


def _within_fresh(doubts):
    """Which blades have no life, and which limit gives them one."""
    one = len(doubts) == 1
    have, edges = ("has", "its fresh edge has") if one else ("have", "their fresh edges have")
    limit = doubts[0].text.partition("Choose ")[2].rstrip(".")
    return f"{_blades(doubts)} {have} no life to this limit, which {edges} passed; choose {limit}"


def _blades(doubts):
    """The blades that doubts are about, by name where they are few."""
    names = list(dict.fromkeys(one.where.blade for one in doubts if one.where.blade))
    return listed(names) if 0 < len(names) <= MOST_NAMED else counted(len(doubts), "blade")


def may_be_less(lessens):
    """What opens the words that a gain may be under the margin: "; without one reading "."""
    return f"; without {listed(dict.fromkeys(lessens))} " if lessens else "; "


def _of_two(found, lessens=()):
    """Two heat treatments that can speak for themselves."""
    practical = found.practical
    share = f"{100 * practical.margin:g} %"
    if practical.verdict == "cannot_tell":
        return f"{CANNOT}: {_more(found)}."
    if practical.verdict == "no_relevant_difference":
        return f"{TAKE} either: {found.second} and {found.first} are alike to within {share}."
    best = found.second if practical.verdict == "longer" else found.first
    if practical.reaches_margin and not lessens:
        return f"{TAKE} {best}."
    return f"{TAKE} {best}{may_be_less(lessens)}the gain may be under {share}."


def _of_several(found):
    """The one that outlasts all others for sure, else which of them stay in question."""
    beaten = set()
    for pair in found.pairs:
        if pair.family == "all pairs" and pair.scope != "blades":
            beaten |= {"longer": {pair.first}, "shorter": {pair.second}}.get(pair.verdict, set())
    left = [group.treatment for group in found.groups if group.treatment not in beaten]
    if len(left) == 1 and not any(pair.scope == "blades" for pair in found.pairs):
        return f"{TAKE} {left[0]}."
    if beaten and left and found.look is not None:
        return f"{CANNOT}: it leaves {listed(left)}; {_more(found)}."
    if beaten and left:
        return f"{CANNOT}: it leaves {listed(left)}. More blades of these would tell."
    return f"{CANNOT}: {_more(found)}."


def _more(found):
    """What would tell."""
    ratio, needed = found.ratio, found.needed
    counted = found.groups[0].counted
    if found.look is not None:
        return LOOKS.get(found.look.decision, "its looks gave no answer")
    if found.scope != "blades" and ratio.low == 0 and ratio.high == inf:
        return "cut on until each sound blade is past the limit"
    if needed is None:
        return f"more {counted} of each would tell"
    if needed.per_side is None:
        return "it would take more blades than a shop makes"
    told = f"about {needed.per_side} {counted} of each, in all, would tell ({needed.spread()})"
    if needed.purpose != "verdict" or len(found.groups) > 2:
        return told
    alike = f"{told}, or show both alike to within {100 * found.practical.margin:g} %"
    return f"{alike}. {UNTIL_THEN}" if found.scope == "heat_treatments" else alike
