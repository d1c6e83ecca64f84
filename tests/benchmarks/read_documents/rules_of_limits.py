"""Are the doubts and limits that a document tells those of this study?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import re
from collections import Counter

from tests.benchmarks.read_documents.rules_of_batches import shared_batches_of
from tests.benchmarks.read_documents.sentence_rules import number, plain, rule

SURE, CANNOT, GOOD = "How sure this is", "What the data cannot say", "Good to know"


def _named(text):
    """Names of a list before a colon, and how many more it says there are."""
    text, _, more = text.partition(" and ") if text.endswith(" more") else (text, "", "")
    names = re.split(r", | and ", text)
    return names, int(more.split()[0]) if more else 0


def _runs(names):
    return [tuple(n.split(" · ")) if " · " in n else (n, None) for n in names]


def _below_at_end(run, case):
    means = case.bear.means(*run)
    return not means or means[max(means)] < case.study.limit * 1.1


@rule(
    r"({BS}): A blade was stopped before the limit, so it counts as 'lasts at least so long'\. Cut it further, if it is sound, or choose a limit that all blades reach\."
)
@rule(
    r"({BS}): The blade was stopped too many cuts short of the limit\. Its readings tell only a least life; how much longer it lasts rests on the wear law alone\. If it is sound, cut on until it passes the limit\."
)
@rule(
    r"({BS}): The blade was stopped before it reached the limit, so its life is read from the curve beyond the readings\. Cut it further, if it is sound\."
)
@rule(
    r"({BS}): The readings cannot rule out that the blade lasts far longer, so the life has no upper end\. Cut further\."
)
@rule(
    r"({BS}): This lies beyond the last stage that was cut, so it rests on the wear law alone\. Cut on, if the blade is sound, until the limit is reached to see it\."
)
def stopped(m, case):
    """Blades whose last mean lies below the limit."""
    names, _ = _named(m[1])
    wrong = [n for n, run in zip(names, _runs(names), strict=True) if not _below_at_end(run, case)]
    return f"{wrong} passed the limit" if wrong else None


@rule(
    r"({BS}): The blade's last readings lie past the limit on average, but nowhere surely past it, so the life has no upper end\. Cut on, and read stages well past the limit\."
)
def hardly_past(m, case):
    """Blades whose last mean lies past the limit, or so near that means of other kinds differ."""
    names, _ = _named(m[1])
    means = [case.bear.means(*run) for run in _runs(names)]
    wrong = [n for n, each in zip(names, means, strict=True)
             if not each or each[max(each)] < case.study.limit * 0.95]  # fmt: skip
    return f"{wrong} ended short of the limit" if wrong else None


@rule(r"({BS}): This curve levels off before the limit\. Choose a nearer limit, or cut further\.")
def levels_off(m, case):
    """Blades whose last mean lies below the limit: nothing that was read reached it."""
    names, _ = _named(m[1])
    means = [case.bear.means(*run) for run in _runs(names)]
    wrong = [n for n, each in zip(names, means, strict=True)
             if each and each[max(each)] > case.study.limit]  # fmt: skip
    return f"{wrong} passed the limit" if wrong else None


@rule(
    r"({BS}): This blade was read past the limit, yet its curve does not get there within its stages, so its life counts only as a bound\. Look first at its readings that are asked about, for a slip of the unit or of the typing: to cut on does not mend one\."
)
def read_past(m, case):
    """Blades with a reading in use that lies past the limit."""
    names, _ = _named(m[1])
    main, limit = case.study.asked.main, case.study.limit
    past = {r["blade"] for r in case.bear.in_use if r.get(main) and float(r[main]) > limit}
    wrong = [run[0] for run in _runs(names) if run[0] not in past]
    return f"{wrong} never read past the limit" if wrong else None


@rule(
    r"({BS}): (?:The edge was read at one place|No reading names its station, so all count as read at one place), so the interval does not hold how the edge differs from place to place\. Read three or more stations(?: and name them in station_mm)?\."
)
def one_place(m, case):
    """Runs read at one station."""
    names, more = _named(m[1])
    found, main = [], case.study.asked.main
    ones = 0
    for run in {(r["blade"], r.get("block", "")) for r in case.bear.in_use if r.get(main)}:
        rows = [r for r in case.bear.in_use if (r["blade"], r.get("block", "")) == run]
        ones += len({r.get("station_mm", "") for r in rows if r.get(main)}) == 1
    if ones != len(names) + more:
        found.append(f"{ones} runs were read at one place")
    return found


@rule(
    r"({BS}): No reading before the first cut counts, so the fresh edge is not seen\. Take one, or let one count that was left out\."
)
def no_fresh(m, case):
    """Runs without a reading at 0 cuts."""
    names, _ = _named(m[1])
    wrong = [n for n, run in zip(names, _runs(names), strict=True) if 0 in case.bear.means(*run)]
    return f"{wrong} were read fresh" if wrong else None


@rule(
    r"({B}): The control blade ran in fewer than two blocks, so it cannot show drift between them\. Run it in every block\."
)
@rule(
    r"({B}): The study names a control blade that was never cut, so the answer does without one and cannot show what a roll, a board or a day did to all blades alike\. Run it in every block, or take it out of the study\."
)
def control_seldom(m, case):
    """The control and its blocks."""
    blocks = {r.get("block", "") for r in case.bear.in_use
              if r["blade"] == m[1] and r.get(case.study.asked.main)}  # fmt: skip
    if m[1] != case.study.control:
        return f"the control is {case.study.control}"
    due = 0 if "never cut" in m[0] else 1
    return None if len(blocks) == due else f"it ran in {blocks}"


@rule(
    r"(\d+) of (\d+) lives(?: of \d+ blades)? lies? beyond the blade's last stage(?: \([^)]+\))?: the curve goes on there, not the readings\.(?: Cut those blades on until they reach the limit, if they are sound, or choose a nearer limit\.| Cut the others on until they reach the limit, if they are sound, not .+; or choose a nearer limit\.| Choose a nearer limit, or test more blades: none of those is to be cut on\.)?"
)
def beyond(m, case):
    """No more lives than blades; about as many as end below the limit."""
    main = case.study.asked.main
    runs = {(r["blade"], r.get("block", "")) for r in case.bear.in_use if r.get(main)}
    mine = sum(_below_at_end(run, case) for run in runs)
    control = {blade for blade, _ in runs if blade == case.study.control}
    blades = {blade for blade, _ in runs} - control
    if int(m[2]) not in (len(blades), len(blades | control), len(runs)):
        return f"{len(blades)} blades were cut"
    return f"{mine} end below the limit" if int(m[1]) > mine else None


@rule(
    r"The blades whose life is known are spread unevenly over the (?:blocks \(rolls, boards, days\)|batches): some has too few of a heat treatment, or none\. Such (?:blocks|batches) help less than complete ones\. Put as many blades of each heat treatment into every (?:roll, board or day|batch) that you add, and cut them to the limit\."
)
def incomplete(_, case):
    """Blades are not spread alike: of some block and heat treatment there are too few or too many."""
    kinds = {b.id: b.treatment for b in case.study.blades}
    if any(_below_at_end((b.id, None), case) for b in case.study.blades if b.treatment):
        return None  # a life that is not known
    blocks = {}
    for r in case.bear.in_use:
        if r.get(case.study.asked.main) and kinds[r["blade"]]:
            blocks.setdefault(r.get("block", ""), set()).add(r["blade"])
    every = Counter(kinds[one] for blades in blocks.values() for one in blades)
    for blades in blocks.values():
        share = len(blades) / sum(every.values())
        mine = Counter(kinds[one] for one in blades)
        if any(abs(mine[kind] - share * many) > 1e-6 for kind, many in every.items()):
            return None
    if shared_batches_of(case):
        return None
    return "all blocks hold the heat treatments in the same shares"


@rule(
    r"The (\d+) (blades|batches|blocks) of ({T}) differ from one another by (?:about |less than )?({N}) % in life "
    r"\(standard deviation(?:; part of it may be the rolls, boards or days that they met)?\)\."
)
def differ(m, case):
    """The number of blades that were cut, or of the batches or blocks that these came in."""
    many = case.bear.counted(case.treatment(m[3]), m[2])
    return None if int(m[1]) == many else f"{many} were cut"


@rule(
    r"The heat treatments have different numbers of (blades|batches|blocks) whose life is known \((.+?: \d+(?:; .+?: \d+)+)\), so no scatter is taken from all of them together and the intervals, of each life and of the ratio, are wider than with equal numbers\.(?: Blades of one (?:batch|block) count once\.)?"
)
def unequal(m, case):
    """Numbers of blades, batches or blocks differ, or a blade's life is not known."""
    told = [part.rpartition(": ")[::2] for part in m[2].split("; ")]
    many = {name: case.bear.counted(case.treatment(name), m[1]) for name, _ in told}
    more = [name for name, size in told if int(size) > many[name]]
    if more:
        return f"{many} were cut"
    if any(_below_at_end((b.id, None), case) for b in case.study.blades if b.treatment):
        return None
    return None if len({*many.values()}) > 1 else f"{many} were cut"


@rule(r"Test equal numbers, each blade to the limit\.")
@rule(r"Make (?:another batch|more batches) of (.+), each blade to the limit\.")
@rule(r"Cut (.+) in (?:another block|more blocks), each blade to the limit\.")
def make_up(m, case):
    """The one that is named is a heat treatment."""
    named = m[1].split(" and of ") if m.lastindex else []
    wrong = [name for name in named if case.treatment(name) is None]
    return f"nothing is called {wrong}" if wrong else None


@rule(
    r"With two (blades|batches|blocks) of each heat treatment the scatter between \1 is hardly known and the interval is wide\. A third (?:blade|batch|block) of each helps most\."
)
def two_a_side(m, case):
    """A heat treatment with two blades, or two batches or blocks that its blades came in."""
    sizes = [case.bear.counted(t, m[1]) for t in case.study.treatments]
    return None if sizes.count(2) > 1 or 2 in sizes else f"{sizes} were cut"


@rule(
    r"The lives hold for what was cut \(the protocol asks for (.+)\), this supply of it(?:, | and )this limit(?:(?: and|,) (?:these edge angles|this edge angle))?\. Another medium, angle or limit can turn the order round; test that to know it\."
)
def holds_for(m, case):
    """The medium is the protocol's; one angle only where one was noted of every blade."""
    if case.study.asked.medium not in m[1].lower():
        return f"it asks for {case.study.asked.medium}"
    angles = {b.angle for b in case.study.blades if case.bear.means(b.id)}
    if "this edge angle" in m[0] and len(angles - {None}) != 1:
        return f"edge angles are {angles}"
    if "these edge angles" in m[0] and len(angles - {None}) < 2:
        return f"edge angles are {angles}"
    return None


@rule(
    r"The log holds the reading grade too, but nothing says which grade ends a life\.(?: Ask for it, and for one of '(.+)' as its limit(?: \(--reading grade, --limit\))?\.)?"
)
def grades(m, case):
    """The log holds grades."""
    if not any(r.get("grade") for r in case.study.rows):
        return "no grade was read"
    told = m[1].split("', '") if m[1] else []
    return None if set(told) <= set(case.study.asked.ladder) else f"{case.study.asked.ladder}"


@rule(
    r"({BS}): This blade was stopped before the cuts at which readings are compared, so it is left out there\. Cut it as far as the others, if it is sound\."
)
def short(m, case):
    """Its last stage lies before the cuts of the comparison."""
    cuts = (case.told.get("at_cuts") or {}).get("cuts")
    names, _ = _named(m[1])
    wrong = [n for n, run in zip(names, _runs(names), strict=True)
             if cuts is None or (case.bear.last(*run) or 0) >= cuts]  # fmt: skip
    return f"{wrong} reached {cuts} cuts" if wrong else None


@rule(r"(\d+) readings? (?:is|are) left out of the answer, for reasons that were typed\.")
def left_out(m, case):
    """Excluded rows of the reading."""
    main = case.study.asked.main
    many = sum(bool(r.get("exclude") and r.get(main)) for r in case.study.rows)
    return None if int(m[1]) == many else f"{many} were"


@rule(
    r"The ratio of ({N}) is the best estimate\. If the whole test were done again many times, intervals made this way,(?: those of all \d+ looks together,)? here ({N}) to ({N}), would hold the true ratio in 95 of 100 cases\."
)
@rule(
    r"The ratio of ({N}) is the best estimate\. If these (?:two|{N}) blades were cut and read again many times, intervals made this way, here ({N}) to ({N}), would hold the ratio of these blades in 95 of 100 cases\. Of other blades they say nothing\."
)
def best(m, case):
    """The ratio of the JSON, or its inverse; of blades alone where one stands for a side."""
    if ("these blades" in m[0]) != (case.told["scope"] == "blades"):
        return f"compare --json has the scope {case.told['scope']}"
    ratio = case.told["ratio"]
    values = [ratio["estimate"], 1 / ratio["estimate"]]
    near = any(abs(v - number(m[1])) < 0.05 * v for v in values)
    return None if near else f"compare --json has {values}"


@rule(
    r"The power of the wear law, one for each heat treatment: (.+)\. A worn wedge that loses the same volume with each cut has 2\."
)
def powers(m, case):
    """Each name is a heat treatment or the control; the estimate lies in its interval."""
    found = []
    for part in m[1].split("; "):
        told = re.fullmatch(r"(.+?): ([\d.]+) \(([\d.]+) to ([\d.]+)\)", part)
        if not told:
            found.append(f"cannot be read: {part}")
        elif not float(told[3]) <= float(told[2]) <= float(told[4]):
            found.append(f"{part}")
        elif case.treatment(told[1]) is None and told[1] != f"control {case.study.control}":
            found.append(f"nothing is called {told[1]}")
    return found


@rule(
    r"By luck the blades, or on shared rolls their ratios, agree better than their readings can\. So the interval is the readings' own, which is wider\. More readings a stage, or surer ones, narrow it\."
)
def floor(_, case):
    """Where the other interval is told, it is the narrower one."""
    other, ratio = (case.told.get(key) for key in ("other_interval", "ratio"))
    if not other or other["high"] / other["low"] < ratio["high"] / ratio["low"]:
        return None
    return f"that of the blades is {other}"


@rule(
    r"A blade that did not come near the limit has only a least life\. (?:Cutting it on, if it is sound, would give it one|Another blade in its place would have one)\."
)
def least_lives(_, case):
    """Some blade ended short of the limit."""
    ended = [case.bear.means(b.id) for b in case.study.blades]
    short = [each for each in ended if each and each[max(each)] < case.study.limit]
    return None if short else "every blade passed the limit"


plain(
    None,
    "^The readings lie above their curves for a stretch and then below, so the wear bends otherwise than this law\\. (?:Nor do they follow the laws? [a-z ,]+|Try the laws? [a-z ,]+, which shows? no such stretch \\([^()]+\\))\\. Trust no life far beyond the readings\\.",
    "Stages lie further from the curve than the readings of one stage explain: the medium or the reading changed from stage to stage (another roll, thread, light or hand: look at your notes), or the wear bends otherwise. The interval allows for it.",
    "It tells of wear, not of toughness: a blade that holds its edge longer may chip or break sooner. These are observations of a test, no certificate of a blade or a steel.",
    "Where a life lies beyond the last stage, the law of wear carries it, not the data. Cutting those blades on to the limit, if they are sound, would settle it.",
    "Where a life lies beyond the last stage, the law of wear carries it, not the data. Other blades in their place would settle it.",
    "The interval with one scatter for all blades and the one with a scatter of its own for each heat treatment lead to different verdicts; both are shown. More blades settle it.",
    "The interval with one scatter for all blades and the one with a scatter of its own for each heat treatment lead to different verdicts; both are shown.",
    "More blades settle it.",
    "^The interval is wider than that of a test read once: at (?:the first|the last|that|this) look's level, [\\d.]+ %, so that those of all \\d+ looks together hold the truth in \\d+ of 100 tests\\.",
    "^Fix looks before you cut new ones \\(edgetest plan STUDY --looks --most \\d+ --history STUDY\\), with the ratio that you planned \\(--ratio\\), then add them to the study and draw them \\(edgetest plan STUDY --anew\\); of tests read again without looks, 9 to 20 in 100 claim a difference that is not there\\.",
    "That is too many to fix looks for (40 a side at most).",
    "Test new blades, where that is worth it, in a new study and read it once, at its end: of those read again and again, 9 to 20 in 100 claim a difference that is not there.",
    "In the unit of the heading.",
    "Before the colon: the number of cuts made so far.",
    "Some blades' lives are known much more surely than others' (by a factor of three or more), but all count alike.",
    "Look first for a reading of the poorly known blades that stands out, for a slip; else cut them further, or read them at more stages.",
    "Cut those blades on until they reach the limit, if they are sound, or choose a nearer limit.",
    "Run the control blade in every block.",
    "A block has no run of the control blade, so its blades count as they are.",
    "Every block held the heat treatments in the same numbers, so the block cancels in the ratio.",
    "A roll begun in mid-run is no block.",
    "The control blade's runs are not needed and were left out.",
    "^The wear curves of two heat treatments may bend differently \\(power of the wear law: .+ by its 95 % interval.*\\)\\. If they do, how many times as long one lasts depends on the limit\\. Look at the ratio for several limits\\.",
)
