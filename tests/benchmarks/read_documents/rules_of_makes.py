"""Are the differences of make that a document tells those noted: batches, angles, grinds, steps?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import re

from tests.benchmarks.read_documents.sentence_rules import number, rule


@rule(r"Of edges of 15° and 19° a side one may last up to 1\.65 times .+")
@rule(
    r"No edge angle is noted for any blade of ({T}(?:, {T})*(?: or {T})?), so nobody can say whether the angles explain part of the ratio\.(?: Of edges of 15° .*)?"
)
def no_angle(m, case):
    """Blades of those heat treatments have no angle noted."""
    named = (m.groups() or ("",))[0]
    ids = {case.treatment(n) for n in re.split(r", | or ", named)} if named else set()
    noted = [b.id for b in case.study.blades if b.treatment in ids and b.angle is not None]
    return f"{noted} have one" if noted else None


@rule(
    r"No thickness behind the edge is noted for any blade of (.+?), so nobody can say whether it explains part of the ratio\."
)
def no_thickness(m, case):
    """Blades of that heat treatment have no thickness noted."""
    ids = {case.treatment(n) for n in re.split(r", | or ", m[1])}
    if None in ids:
        return f"{ids}"
    noted = [b.id for b in case.study.blades
             if b.treatment in ids and "thickness_behind_edge_mm" in b.facts]  # fmt: skip
    return f"{noted} have one" if noted else None


@rule(
    r"The edge angles differ on average: ({N})° included \(({T})\) and ({N})° \(({T})\)\. At equal worn volume a cut, that alone makes the life of {T} ({N}) \((?:({N}) to ({N})|no uncertainty was noted)\) times as long(?:; ({N})(?: \({N} to {N}\))? is left over)?\."
)
def angles_differ(m, case):
    """Mean included angles of the heat treatments' blades."""
    for told, name in ((m[1], m[2]), (m[3], m[4])):
        noted = [2 * b.angle for b in case.bear.cut_blades(case.treatment(name)) if b.angle]
        if not noted or abs(sum(noted) / len(noted) - number(told)) > 0.3:
            return f"{name}: noted are {noted}"
    return None


@rule(
    r"The edges differ in (angle|thickness behind the edge|angle and thickness behind the edge)\. With what that may do taken out, (.+?)(: the grind alone may be all of (?:the|each) difference\. Grind all edges alike\.|\. How much a grind does is not known: .+)"
)
def grind_explains(m, case):
    """Angles that differ by more than a degree; ranges that hold no difference."""
    means = []
    for name in case.study.treatments:
        noted = [2 * b.angle for b in case.bear.cut_blades(name) if b.angle]
        means += [sum(noted) / len(noted)] if noted else []
    if "angle" in m[1] and (len(means) < 2 or max(means) - min(means) <= 1):
        return f"mean angles {means}"
    for told in m[2].split("; "):
        if found := re.fullmatch(r"how many times as long (.+) lasts as (.+) is open", told):
            if None in (case.treatment(found[1]), case.treatment(found[2])):
                return f"{told} names no two heat treatments"
            continue
        found = re.fullmatch(
            r"(.+) lasts (between|at least) ([\d.]+)(.*) times as long as (.+)", told
        )
        if not found or None in (case.treatment(found[1]), case.treatment(found[5])):
            return f"{told} names no two heat treatments"
        high = float("inf") if found[2] == "at least" else number(found[4].removeprefix(" and "))
        if m[3].startswith(":") and not number(found[3]) <= 1 <= high:
            return "the range does not hold 1"
    return None


@rule(
    r"(Two|Three|Four) things differ between ({T}) and ({T}), as far as noted: (.+)\. Which of them changed the lives cannot be told\. Change one step at a time\."
)
def things_differ(m, case):
    """Steps that both heat treatments have typed, with another temperature, time or medium."""
    named = re.split(r", | and ", m[4])
    steps = [dict(case.study.treatments[case.treatment(m[i])][1]) for i in (2, 3)]
    found = []
    if {"Two": 2, "Three": 3, "Four": 4}[m[1]] != len(named):
        found.append(f"{len(named)} are named")
    for words in named:
        kind, _, alone = words.partition(" (noted of ")
        has = [kind in s for s in steps]
        if all(has) and (alone or _worth(steps[0][kind]) == _worth(steps[1][kind])):
            found.append(f"{kind} was noted of both, or was the same")
        elif not all(has) and alone != f"{m[2 + has.index(True)]} alone)":
            found.append(f"{kind} was noted of one of them alone")
    return found


def _worth(keys):
    return {
        k.replace("temperature_f", "temperature_c"): round(getattr(v, "worth", 0) or 0, 2)
        if hasattr(v, "worth")
        else v
        for k, v in keys.items()
    }
