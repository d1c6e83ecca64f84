"""Are the chances that a document tells those of this study, and as sure as its blades allow?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

from tests.benchmarks.read_documents.sentence_rules import number, rule

LEAST_FREEDOM = 3  # of the ratio's scatter: from here on a chance is a number


@rule(
    r"Chance that ({T}) lasts longer on average: (?:over |under )?(\d+) %; that the next (?:blade of )?({T})(?: blade)? outlasts the next (?:blade of )?({T})(?: blade)?: (?:over |under )?(\d+) %\."
)
def chances(m, case):
    """Chances: in the JSON, and the second nearer to even."""
    told = [case.told.get("chances"), *(p.get("chances") for p in case.told.get("pairs") or [])]
    told = [t for t in told if t]
    first, second = int(m[2]) / 100, int(m[5]) / 100
    if case.treatment(m[1]) != case.treatment(m[3]):
        return "the two halves speak of different pairs"
    if _freedom(case) < LEAST_FREEDOM:
        return f"a number of {_freedom(case)} degrees of freedom"
    if abs(second - 0.5) > abs(first - 0.5) + 0.011:
        return "the next blade cannot be surer than the average"
    near = [t for t in told for p in (t["next_outlasts"], 1 - t["next_outlasts"])
            if abs(p - second) < 0.006]  # fmt: skip
    return None if near else f"compare --json has {told}"


@rule(
    r"({T}) is (?:rather |very )?likely to last longer on average; whether the next (?:.+?) outlasts the next (?:.+?), so few blades do not tell\."
)
@rule(
    r"({T}) is (?:rather |very )?likely to last longer on average(?:(?:,|;) (?:and )?the next (?:blade of )?({T})(?: blade)? (?:is )?(?:rather |very )?likely to (?:outlast|last longer than) the next (?:blade of )?({T})(?: blade)?)?\."
)
def likely(m, case):
    """A word in the place of a number below three degrees of freedom: the guide's rule."""
    df = _freedom(case)
    return f"{df} degrees of freedom" if df >= LEAST_FREEDOM else None


def _freedom(case):
    return (case.told.get("ratio") or {}).get("df") or float("inf")


@rule(
    r"That true differences between heat treatments are about (\d+) % \((\d+) to (\d+) %\) (?:is an assumption of this program, not measured in your shop|comes from (\d+) earlier studies of your shop)(?:; the chances lean on it)?\."
)
def whose_spread(m, case):
    """The spread of true differences in the JSON, and as many studies."""
    told = (case.told.get("chances") or {}).get("true_differences") or {}
    mine = [round(100 * told.get(key, -1)) for key in ("sd", "low", "high")]
    same = mine == [int(m[n]) for n in (1, 2, 3)] and told.get("studies") == int(m[4] or 0)
    return None if same else f"compare --json has {told}"


@rule(
    r"({T}): Nine of ten such blades last at least ({N}) cuts, with 95 % confidence \(scatter of (\d+) % from (?:these (\d+) blades|this study's other heat treatments)\)\."
)
def nine_of_ten(m, case):
    """The number of blades, and a bound below what was seen; others' scatter only of others."""
    blades = case.bear.cut_blades(case.treatment(m[1]))
    if m[4] and len(blades) != int(m[4]):
        return f"{len(blades)} blades were cut"
    if not m[4] and sum(len(case.bear.cut_blades(t)) > 1 for t in case.study.treatments) < 2:
        return "no other heat treatment has several blades"
    worst = min(case.bear.crossing(b.id) for b in blades)
    return f"a blade lasted {worst:.0f}" if number(m[2]) > 1.15 * worst else None
