"""Is the first sentence, for a reader without statistics, borne by the log?"""

# ruff: noqa: E501  (a sentence of the document stands in one piece)
import math
import re

from tests.benchmarks.read_documents.rules_of_answer import all_ratios
from tests.benchmarks.read_documents.sentence_rules import number, plain, rule

WHO = r"(?:[Tt]he blades of {T}|[Bb]lade {B}|{T}|{B})"
BEHIND = 0.85  # of the other's life read off the stages: below, nobody outlasts it


def _lives(text, case, *, least=False):
    """Lives, read off the stages, of the blades that a name stands for; none for a stranger.

    `least`: of a blade that never passed the limit its last stage, which it lasted for sure.
    """
    name = re.sub(r"^(?:[Tt]he blades of|[Bb]lade) ", "", text)
    id_ = case.treatment(name)
    ids = [b.id for b in case.bear.cut_blades(id_)] if id_ else [name]
    known = {b.id for b in case.study.blades}
    lives = [(case.bear.crossing(b), case.bear.last(b) or 0) for b in ids if b in known]
    return [min(pair) if least else pair[0] for pair in lives]


def _middle(lives):
    known = sorted(lives)
    return known[len(known) // 2] if len(known) % 2 else sum(known[len(known) // 2 - 1 :][:2]) / 2


def _pair(first, second, case):
    """What is wrong with two names of a sentence."""
    if first.lower() == second.lower():
        return f"{first} twice"
    lost = [name for name in (first, second) if not _lives(name, case)]
    return f"nothing is called {lost}" if lost else None


@rule(rf"This test cannot tell which of ({WHO}) and ({WHO}) (?:wears less|holds its edge longer)\.")
def untold(m, case):
    """Two heat treatments or blades that are there."""
    return _pair(m[1], m[2], case)


@rule(
    rf"({WHO}) held (?:its edge|their edges) (?:about|at least) ({{N}}) times as long as ({WHO}) in this test(?:; it may be by less than 10 %)?\."
)
@rule(rf"({WHO}) lasted about ({{N}}) times as long as ({WHO}), but chance alone can do that\.")
def ahead(m, case):
    """A ratio of the JSON, to two figures, and not against the lives read off the stages."""
    found = [_pair(m[1], m[3], case)]
    ends = ("low", "high") if " at least " in m[0] else ("estimate",)
    values = [r[end] for r in all_ratios(case) for end in ends if r.get(end)]
    values += [1 / v for v in values]
    told = number(m[2])
    if not any(abs(v - told) <= 0.051 * v for v in values):
        found.append(f"compare --json has {values}")
    first = _middle(_lives(m[1], case) or [0])
    second = _middle(_lives(m[3], case, least=True) or [0])
    if math.isfinite(first) and first < BEHIND * second and "held" in m[0]:
        found.append(f"lives read off the stages: {first:.0f} and {second:.0f}")
    return [f for f in found if f]


@rule(rf"({WHO}) and ({WHO}) held their edge alike in this test, to within 10 %\.")
def alike(m, case):
    """Lives read off the stages are not far apart."""
    first, second = (_middle(_lives(m[i], case) or [0]) for i in (1, 2))
    if all(map(math.isfinite, (first, second))) and abs(math.log(first / second)) > 0.25:
        return f"lives read off the stages: {first:.0f} and {second:.0f}"
    return _pair(m[1], m[2], case)


def _compared(case):
    return [t for t in case.study.treatments if case.bear.cut_blades(t)]


@rule(
    r"Of (\d+) heat treatments( that can be compared)? ({T}) came out longest in this test: ([^.]+)\."
)
@rule(
    r"This test cannot tell which of (\d+) heat treatments( that can be compared)? holds its edge longest: ({T}) came out longest, but chance alone can do that([^.]*)\."
)
def longest(m, case):
    """How many there are, and that each which it outlasts did not outlast it."""
    many, mine = len(_compared(case)), case.treatment(m[3])
    found = []
    if (int(m[1]) > many) if m[2] else (int(m[1]) != many):
        found.append(f"{many} were cut")
    beaten = re.search(r"it outlasts (.+?)(?:, it is|, it cannot|, of | and it | and of |$)", m[4])
    for name in re.split(r", | and ", beaten[1]) if beaten else []:
        other = case.treatment(name)
        if other is None:
            found.append(f"nothing is called {name}")
        elif case.bear.life(mine) < BEHIND * case.bear.least_life(other):
            found.append(f"{name} lasted longer by the stages")
    return found


@rule(
    r"This test cannot tell which of the (\d+) heat treatments holds its edge longest: too little is known of the blades\."
)
def how_many(m, case):
    """The number of heat treatments that were cut."""
    many = len(_compared(case))
    return None if int(m[1]) == many else f"{many} were cut"


@rule(r"At ({N}) cuts the edge of ({T}) was better than that of ({T})\.")
def better(m, case):
    """The smaller mean reading there, where every blade was read there."""
    first, second = (case.bear.reading_at(case.treatment(m[i]), int(number(m[1]))) for i in (2, 3))
    return f"means there are {first} and {second}" if first and second and first > second else None


@rule(
    r"At ({N}) cuts the edges of ({T}) and ({T}) were alike to within {N} % in (?:edge width|thread severing force) \(by the curves 10 % of a life\)\."
)
def alike_there(m, case):
    """Mean readings there are not far apart."""
    first, second = (case.bear.reading_at(case.treatment(m[i]), int(number(m[1]))) for i in (2, 3))
    far = first and second and abs(math.log(first / second)) > 0.15
    return f"means there are {first} and {second}" if far else None


@rule(r"It rests on()()() ((?:(?!\. ).)+)\.")
@rule(
    r"Interval in full ⇒ (.+?), on logarithms(?:, ({N}) (degrees?) of freedom)?; ((?:(?!\. ).)+)\."
)
def method(m, case):
    """Blades of each heat treatment, no more than were cut; fewer only where some stopped early."""
    found = []
    if m[2] and (m[2] == "1") != (m[3] == "degree"):
        found.append(f"{m[2]} {m[3]} of freedom")
    batches = r"(?: in \d+ (?:batches|blocks))?"
    batches += r"(?: \((?:known only to last longer: .+? cuts|\d+ of them known only .+?)\))?"
    for name, cuts in re.findall(r"(\S+) over ([\d ,.]+?)(?=,| and | cuts\))", m[4]):
        last = case.bear.last(name)
        if last is None or number(cuts) > last:
            found.append(f"{name} was read to {last}")
    for part in re.findall(
        rf"(\d+) blades? of (.+?){batches}(?=(?:,| and) \d+ blades? of |$)", m[4]
    ):
        id_ = case.treatment(part[1])
        if id_ is None:
            found.append(f"nothing is called {part[1]}")
            continue
        lasts = [case.bear.last(b.id) for b in case.bear.cut_blades(id_)]
        early = sum(last < max(lasts) for last in lasts)
        if not len(lasts) - max(early, 0) <= int(part[0]) <= len(lasts):
            found.append(f"{len(lasts)} blades of {part[1]} were cut")
    return found


@rule(r"One blade does not show what its heat treatment does; another blade of it may differ\.")
def one_of_it(_, case):
    """Some heat treatment has one blade."""
    sizes = [len(case.bear.cut_blades(t)) for t in _compared(case)]
    return None if 1 in sizes else f"{sizes} were cut"


@rule(r"This test compares no heat treatments: nothing is said of one against another\.")
def none_compared(_, case):
    """One heat treatment alone was cut."""
    return None if len(_compared(case)) == 1 else f"{_compared(case)} were cut"


@rule(r"This test cannot tell: its answer changes with (.+)\.")
def changes(_, case):
    """The JSON says what the answer hangs on."""
    return None if case.told["practical"]["hangs_on"] else "compare --json hangs on nothing"


@rule(
    r"For an edge that lasts, take ({T})(?:; the gain may be under \d+ %)?(, unless a lucky or unlucky batch explains it \(all blades of one heat treatment lie in one\))?((?:, unless| or) the steel explains it \(no steel has blades of both\))?(?:(?:, unless| or) (?:the blades of each share one batch: that|their edges are ground to different angles: that|the blades of each share one batch or their edges are ground to different angles: neither) is (?:not )?noted for every blade)?\."
)
def taken(m, case):
    """One that the JSON's verdict puts in front, over blades and not over a doubt that decides."""
    told = case.told
    if any(d["gravity"] == "decides" for d in told["doubts"]) or told["practical"]["hangs_on"]:
        return "a doubt decides"
    if told["scope"] != "heat_treatments" or min(len(g["blades"]) for g in told["groups"]) < 2:
        return f"the ratio speaks of {told['scope']}"
    one_load = any(d["code"] == "one_side_in_one_batch" for d in told["doubts"])
    if one_load != bool(m[2]):
        return f"that all blades of one heat treatment lie in one batch: {one_load}"
    one_steel = any(d["code"] == "steel_of_one_treatment" for d in told["doubts"])
    if one_steel != bool(m[3]):
        return f"that no steel has blades of both: {one_steel}"
    mine, beaten = case.treatment(m[1]), set()
    for pair in told["pairs"] or [{**told, "verdict": told["practical"]["verdict"]}]:
        beaten |= {"longer": {pair["first"]}, "shorter": {pair["second"]}}.get(
            pair["verdict"], set()
        )
    others = {g["treatment"] for g in told["groups"]} - {mine}
    return None if others <= beaten else f"beaten are {beaten}"


@rule(r"For an edge that lasts, take either: ({T}) and ({T}) are alike to within (\d+) %(.*)\.")
def either(_, case):
    """The JSON finds no difference worth knowing, and no doubt decides."""
    grave = [d["code"] for d in case.told["doubts"] if d["gravity"] == "decides"]
    verdict = case.told["practical"]["verdict"]
    return None if verdict == "no_relevant_difference" and not grave else f"{verdict}, {grave}"


@rule(
    r"Which to take for an edge that lasts, this test cannot tell yet: about (\d+) (blades|batches|blocks) of each, in all, would tell \(somewhere from \d+ to (?:\d+|many more)\)(, or show both alike to within 10 %)?\."
)
def would_tell(m, case):
    """More than were cut; of two heat treatments it may be that they are alike."""
    two = case.told["scope"] == "heat_treatments" and len(case.told["groups"]) == 2
    if bool(m[3]) is not two:
        return f"{case.told['scope']}, {len(case.told['groups'])} heat treatments"
    sizes = [case.bear.counted(t, m[2]) for t in case.study.treatments]
    return None if int(m[1]) > min(s for s in sizes if s) else f"{sizes} were cut"


@rule(
    r"Which to take for an edge that lasts, this test cannot tell yet: (settle first .+|cut .+|blades of .+|go on .+|its looks .+|more .+|it would take .+|it leaves .+)\."
)
def not_taken(m, case):
    """Where something is to be settled first, the JSON says what."""
    if not m[1].startswith("settle first"):
        return None
    told = case.told
    grave = [d["code"] for d in told["doubts"] if d["gravity"] == "decides"]
    return None if grave or told["practical"]["hangs_on"] else "nothing decides"


plain(
    None,
    "More blades of these would tell.",
    "Until then weigh what stands below against the work that each costs.",
    "How long each lasts, this test does not tell.",
    "If there were no difference, chance alone would show one this clear in at most 1 of 20 such tests.",
    "If they differed by 10 % or more, at most 1 of 20 such tests would find them alike.",
    "Read the lines below before you rely on it.",
)
