"""Is the answer's sentence borne by the log: which lasts longer, how wide, how many blades?"""

# ruff: noqa: E501  (a sentence of the document stands in one piece)
import math

from tests.benchmarks.read_documents.sentence_rules import number, plain, rule

CLOSE = 0.25  # in log: a line between stage means against a fitted curve, and means of other kinds
CLOSE_READING = 0.12  # in log: mean of readings against the fitted curve at the same cuts
STEP = 0.006  # relative: what rounding to three figures may move


def _ratio_in(told, sentence_numbers):
    """Whether numbers of a sentence are an estimate and interval of the JSON, or their inverse."""
    for entry in told:
        values = [entry.get(k) for k in ("estimate", "low", "high")]
        for turned in (values, [1 / v if v else None for v in (values[0], values[2], values[1])]):
            if _same(turned, sentence_numbers):
                return True
    return False


def _same(values, printed):
    return all(
        p is None or (v is not None and abs(v - p) <= max(STEP * abs(v), half_step(p)))
        for v, p in zip(values, printed, strict=True)
    )


def half_step(printed):
    """Half a step of the last figure that a number as printed can have had, and a hair."""
    decimals = len(f"{printed:.10f}".rstrip("0").split(".")[1])
    if decimals:
        return 0.51 * 10.0**-decimals
    return 0.51 * 10 ** max(0, math.floor(math.log10(max(printed, 1))) - 1)


def all_ratios(case):
    """Every ratio of lives in compare's JSON."""
    told = case.told
    found = [told.get("ratio"), told.get("other_interval"), told.get("with_history")]
    for answer in [*(told.get("pairs") or []), *(told.get("alternatives") or [])]:
        found.append(answer.get("ratio"))
    return [f for f in found if isinstance(f, dict)]


@rule(
    r"({T}) lasts ({N}) \(({N}) (?:to ({N})|or (less|more))\) times as long as ({T}) \((\d+) % interval(?: over all \d+ looks)?(?:, adjusted for [a-z ]+)?\)\."
)
@rule(
    r"As it stands: ({T}) lasts ({N}) \(({N}) (?:to ({N})|or (less|more))\) times as long as ({T}) \((\d+) % interval(?: over all \d+ looks)?(?:, adjusted for [a-z ]+)?\)\."
)
@rule(
    r"(?:By [A-Za-z ]+|By the law “[a-z ]+”|With the curves drawn on): ({T}) lasts ({N}) \(({N}) (?:to ({N})|or (less|more))\) times as long as ({T})\.()"
)
def lasts(m, case):
    """A ratio of lives: in the JSON, and not against what the readings plainly show."""
    high = None if m[4] is None else number(m[4])
    low = number(m[3])
    printed = [number(m[2]), low, high] if m[5] != "less" else [number(m[2]), None, low]
    found = []
    if not _ratio_in(all_ratios(case), printed):
        found.append(f"compare --json has no such ratio: {all_ratios(case)[:1]}")
    if low == 0:
        found.append("a ratio cannot be as small as 0")
    upper, lower = case.treatment(m[1]), case.treatment(m[6])
    mine = case.bear.life(upper), case.bear.life(lower)
    if all(map(math.isfinite, mine)) and min(mine) > 0 and high:
        gap = abs(math.log(mine[0] / mine[1]) - math.log(number(m[2])))
        if gap > CLOSE + math.log(high / number(m[2])):
            found.append(f"lives read off the stages are {mine[0]:.0f} and {mine[1]:.0f}")
    return found


@rule(
    r"({T}) lasts at (least|most) ({N}) times as long as ({T}) \((\d+) % interval(?: over all \d+ looks)?(?:, adjusted for [a-z ]+)?\)\."
)
def lasts_bound(m, case):
    """A bound of a ratio: in the JSON."""
    bound = number(m[3])
    low = m[2] == "least"
    ends = [(e.get("low"), e.get("high")) for e in all_ratios(case)]
    values = [v for pair in ends for v in pair if v]
    values += [1 / v for v in values]
    if bound == 0 or not any(abs(v - bound) <= max(STEP * v, half_step(bound)) for v in values):
        return f"compare --json has no such {'lower' if low else 'upper'} bound"
    upper, lower = case.bear.life(case.treatment(m[1])), case.bear.life(case.treatment(m[4]))
    if all(map(math.isfinite, (upper, lower))) and min(upper, lower) > 0:
        mine = upper / lower
        if (mine < bound / 1.5) if low else (mine > bound * 1.5):
            return f"lives read off the stages have the ratio {mine:.2f}"
    return None


@rule(
    r"By [A-Za-z ]+(?:, adjusted for [a-z ]+)? it would be ({N}) \(({N}) (?:to ({N})|or (?:less|more))\)\."
)
def by_another_rule(m, case):
    """The other interval of the JSON."""
    printed = [number(m[1]), number(m[2]), number(m[3]) if m[3] else None]
    other = case.told.get("other_interval") or {}
    return None if _ratio_in([other], printed) else f"compare --json has {other}"


@rule(
    r"At ({N}) cuts the (edge|thread severing force|reading) of ((?:the )?(?:{N} blades of )?(?:{T}|{B})) is ({N}) \(({N}) (?:to ({N})|or more)\) times as (?:wide|large|high|much) as that of ((?:the )?(?:{N} blades of )?(?:{T}|{B})) \((\d+) % interval(?: over all \d+ looks)?(?:, [a-z ]+)?\)\."
)
def at_cuts(m, case):
    """Readings at equal cuts: reached by the blades, and near their means there."""
    cuts = number(m[1])
    found = []
    first, second = _who(m[3], case), _who(m[7], case)
    for blades, count in (first, second):
        reached = [b for b in blades if (case.bear.last(b) or 0) >= cuts]
        if count is not None and count > len(reached):
            found.append(f"{len(reached)} of {len(blades)} blades were read at {cuts:g} cuts or on")
        if not reached:
            found.append(f"no blade of {blades} reached {cuts:g} cuts")
    mine = [_mean_at(blades, cuts, case) for blades, _ in (first, second)]
    if all(mine):
        told = number(m[4])
        if abs(math.log(mine[0] / mine[1]) - math.log(told)) > CLOSE_READING:
            found.append(f"means of the readings there have the ratio {mine[0] / mine[1]:.3f}")
    if m[6] and not number(m[5]) <= number(m[4]) <= number(m[6]):
        found.append("the interval does not hold its estimate")
    entry = (case.told.get("at_cuts") or {}).get("ratio") or {}
    printed = [number(m[4]), number(m[5]), number(m[6]) if m[6] else None]
    if not _ratio_in([entry], printed):
        found.append("at_cuts of compare --json has another ratio")
    return found


@rule(
    r"At ({N}) cuts the force is ({N}) \(({N}) (?:to ({N})|or more)\) times as great with ((?:the )?(?:{N} blades of )?(?:{T}|{B})) as with ((?:the )?(?:{N} blades of )?(?:{T}|{B})) \(95 % interval(?: over all \d+ looks)?(?:, [a-z ]+)?\)\."
)
def force_at(m, case):
    """Forces at equal cuts: near the means there."""
    blades = [_who(m[i], case)[0] for i in (5, 6)]
    mine = [_mean_at(each, number(m[1]), case) for each in blades]
    if all(mine) and abs(math.log(mine[0] / mine[1]) - math.log(number(m[2]))) > CLOSE_READING:
        return f"means of the readings there have the ratio {mine[0] / mine[1]:.3f}"
    return None


def _who(text, case):
    """Ids of the blades that a name stands for, and how many it says they are."""
    id_ = case.treatment(text)
    if id_ is not None:
        return [b.id for b in case.bear.cut_blades(id_)], None
    words = text.removeprefix("the ").split(" blades of ")
    name = words[-1]
    count = int(words[0]) if len(words) > 1 else None
    id_ = case.treatment(name)
    if id_ is None:
        return [name.split(" · ")[0]], 1
    return [b.id for b in case.bear.cut_blades(id_)], count


def _mean_at(blades, cuts, case):
    found = [case.bear.means(b).get(int(cuts)) for b in blades]
    found = [f for f in found if f]
    if not found or len(found) < len(blades):
        return None
    return math.exp(sum(map(math.log, found)) / len(found))


@rule(
    r"({T}) is the better there, by more than {N} % in (?:edge width|thread severing force) \(by the curves 10 % of a life\)\."
)
@rule(
    r"({T}) is the better there; whether by more than {N} % in (?:edge width|thread severing force) \(by the curves 10 % of a life\) is not settled\."
)
def better_there(m, case):
    """The better edge is the keener one: the smaller reading of the pair."""
    told = case.told.get("at_cuts") or {}
    pair = [told.get("first"), told.get("second")]
    mine = case.treatment(m[1])
    means = {p: _mean_at([b.id for b in case.bear.cut_blades(p)], told["cuts"], case) for p in pair}
    if mine not in pair:
        return f"at_cuts compares {pair}"
    other = pair[1 - pair.index(mine)]
    if means[mine] and means[other] and means[mine] > means[other]:
        return f"its mean there is the larger: {means}"
    return None


@rule(r"({T}) holds its edge longer than ({T}), by more than 10 %\.")
@rule(r"({T}) holds its edge longer than ({T}); whether by more than 10 % is not settled\.")
def longer(m, case):
    """Who lasts longer: not against lives that are read off the stages."""
    upper, lower = case.treatment(m[1]), case.treatment(m[2])
    mine = case.bear.life(upper), case.bear.least_life(lower)
    if math.isfinite(mine[0]) and mine[0] < mine[1]:
        return f"lives read off the stages: {mine[0]:.0f} and {mine[1]:.0f}"
    return None


@rule(r"Cannot tell yet which of ({T}) and ({T}) (?:holds its edge longer|is the better there)\.")
@rule(r"Both ({T}) and ({T}) were stopped too early to say by how much they differ\.")
@rule(
    r"Too many lives of ({T}) and of ({T}) have one known end alone to say by how much they differ: look at closer stages, and cut on until each blade is dull\."
)
@rule(r"Of ({T}) against ({T}) these blades do not tell\.")
@rule(
    r"That is about these blades, not about the heat treatments ({T}) and ({T})(?:: with one blade the difference between blades of one heat treatment is not known)?\."
)
def undecided(m, case):
    """A pair that is named must be two heat treatments of the study."""
    pair = {case.treatment(m[1]), case.treatment(m[2])}
    if len(pair) != 2 or None in pair:
        return f"heat treatments {pair}"
    sizes = [len(case.bear.cut_blades(t)) for t in pair]
    if "one blade" in m[0] and min(sizes) > 1:
        return f"{sizes} blades were cut"
    if "stopped too early" in m[0] and not any(
        math.isinf(case.bear.crossing(b.id)) for t in pair for b in case.bear.cut_blades(t)
    ):
        return "every blade passed the limit"
    return None


@rule(
    r"((?:The )?(?:{N} blades of )?(?:{T}|{B})) lasted (?:at (?:least|most) )?({N})(?: \(({N}) to ({N})\))? times as long as ((?:the )?(?:{N} blades of )?(?:{T}|{B})) \((\d+) % interval, reading uncertainty alone\)\."
)
def blades_lasted(m, case):
    """Blades against blades: their number, and the ratio of the lives read off the stages."""
    found = []
    lives = []
    for text in (m[1], m[5]):
        blades, count = _who(text[:1].lower() + text[1:] if text.startswith("The") else text, case)
        if count is not None and len(blades) != count:
            found.append(f"{len(blades)} blades were cut")
        mine = [case.bear.crossing(b) for b in blades]
        lives.append(math.exp(sum(math.log(x) for x in mine) / len(mine)) if min(mine) else 0)
    if all(map(math.isfinite, lives)) and min(lives) > 0 and m[3]:
        gap = math.log(lives[0] / lives[1]) - math.log(number(m[2]))
        if abs(gap) > CLOSE:
            found.append(f"lives read off the stages: {lives[0]:.0f} and {lives[1]:.0f}")
    return found


@rule(
    r"((?:The )?(?:{N} blades of )?(?:{T}|{B})) (over )?({N}|an unknown number of) cuts and ((?:the )?(?:{N} blades of )?(?:{T}|{B})) (over )?({N}|an unknown number of) cuts: how much a second run of the same blade would differ is not known, so neither can be said to last longer\."
)
def lives_alone(m, case):
    """Lives of blades beside one another; 'over' is no more than their readings bear."""
    for text, over, cuts in ((m[1], m[2], m[3]), (m[4], m[5], m[6])):
        text = "the" + text[3:] if text.startswith("The ") else text
        blades, _ = _who(text, case)
        wrong = [case.bear.over_untrue(b, number(cuts)) for b in blades] if over else []
        if all(wrong) and wrong:
            return wrong[0]
    return None


@rule(
    r"Nothing to compare: all blades have one heat treatment; test blades of a second one \(two steels: one heat treatment each, with an id of its own and the same steps\)\."
)
def one_treatment(_, case):
    """One heat treatment alone was cut."""
    many = sum(bool(case.bear.cut_blades(t)) for t in case.study.treatments)
    return None if many == 1 else f"{many} were cut"


@rule(
    r"There is one blade of a heat treatment, so the blades can be compared but the heat treatments cannot\. Test three or more of each\."
)
@rule(
    r"The blades are compared, not their heat treatments: with one blade the difference between blades of one heat treatment is not known\."
)
def one_blade(_, case):
    """One of the two that are compared has one blade."""
    pair = [case.told.get(side) for side in ("first", "second")]
    sizes = [len(case.bear.cut_blades(t)) for t in pair if t]
    return None if 1 in sizes else f"{sizes} blades were cut"


@rule(
    r"A heat treatment has one run of one blade, read without an uncertainty\. How much a second run of the same blade would differ is unknown, so there is no interval and no verdict\.(?: Run each blade again, or test more blades\.)?"
)
def one_run(_, case):
    """One of the two that are compared has one blade, which ran in one block."""
    pair = [case.told["first"], case.told["second"]]
    ids = [[b.id for b in case.bear.cut_blades(t)] for t in pair]
    runs = {(r["blade"], r.get("block", "")) for r in case.bear.in_use}
    many = [sum(blade in each for blade, _ in runs) for each in ids]
    return None if 1 in many else f"blades of the two {ids}, {many} runs"


@rule(
    r"A heat treatment beside those that are compared has one blade alone, so it cannot be compared with them\.(?: Test three or more of it\.)?"
)
def one_of_a_third(_, case):
    """The two that are compared, by lives or at equal cuts, have several; another has one."""
    told = [case.told, case.told.get("at_cuts") or {}]
    pairs = [{one.get("first"), one.get("second")} - {None} for one in told]
    sizes = {t: len(case.bear.cut_blades(t)) for t in case.study.treatments}
    ones = {t for t, many in sizes.items() if many == 1}
    several = [pair for pair in pairs if pair and not ones & pair]
    return None if ones and several else f"{sizes}, compared are {pairs}"


@rule(r"What the blocks did to the lives was read from the control blade ({B})\.")
def by_control(m, case):
    """The control of the study, run in several blocks."""
    if m[1] != case.study.control:
        return f"the control is {case.study.control}"
    blocks = {r.get("block", "") for r in case.bear.in_use if r["blade"] == m[1]}
    return None if len(blocks) > 1 else f"it was run in {blocks}"


@rule(
    r"About (\d+) (blades|batches|blocks) (?:a side in all \(somewhere from \d+ to (?:\d+|many more)\)(?: would settle which lasts longer, or that both are alike to within 10 %, if new ones differ as these did\.|, of the same .+)|of each heat treatment .*)"
)
def more_blades(m, case):
    """More than were cut."""
    sizes = [case.bear.counted(t, m[2]) for t in case.study.treatments]
    return None if int(m[1]) > min(s for s in sizes if s) else f"{sizes} were cut"


@rule(r"Not settled: the answer hangs on (?:the rule for the scatter|one reading|.+)\.")
def hangs(_, case):
    """The JSON says what it hangs on."""
    return None if case.told["practical"]["hangs_on"] else "compare --json hangs on nothing"


plain(
    None,
    "^By (?:[A-Za-z ]+|the law “[a-z ]+”): cannot tell which lasts longer\\.",
    "The readings lie above their curves for a stretch and then below, so the wear bends otherwise than this law.",
    "^Try the laws? [a-z ,]+, which shows? no such stretch \\(--law .+\\)\\.",
    "Trust no life far beyond the readings.",
    "Comparison of edge holding",
    "Every ratio.",
    "Both answers, with and without what decides.",
    "Both answers, the first stands, the second limits it.",
    "^In 95 of 100 tests all intervals of one family hold their true ratio together\\.",
)


@rule(
    r"({T}) lasts anything from under 0\.1 to over 10 times as long as ({T}) \(\d+ % interval(?: over all \d+ looks)?(?:, adjusted for [a-z ]+)?\)\."
)
@rule(
    r"At {N} cuts the edge of ({T}) is anything from under 0\.1 to over 10 times as wide as that of ({T}) \(\d+ % interval(?: over all \d+ looks)?(?:, [a-z ]+)?\)\."
)
@rule(r"(The lives) leave the ratio (open): ten times either way fits them\.")
def nothing_told(m, case):
    """A ratio of the JSON reaches a tenth and ten times."""
    wide = [r for r in all_ratios(case) if (r.get("low") or 0) < 0.1 and (r.get("high") or 11) > 10]
    return None if wide else "no interval of compare --json is so wide"
