"""Are the rows that a document leaves out, and the lives that stand out, those of this study?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import re
from collections import Counter
from statistics import median

from tests.benchmarks.read_documents.page_text import table_rows
from tests.benchmarks.read_documents.sentence_rules import number, plain, rule


@rule(
    r"({B})(?: \((roll \d+)\))? at (\d+) cuts(?:, (?:station )?(\d+) mm)? \(row (\d+)\): (.+)",
    "Mishaps",
)
@rule(
    r"({B})(?: \((roll \d+)\))? at (\d+) cuts(?:, (?:station )?(\d+) mm)? \(row (\d+)\): (.+)",
    "Left out",
)
def noted_row(m, case):
    """The row of the log, its cuts and what was typed there."""
    row = case.study.rows[int(m[5]) - 2]
    typed = (row.get("exclude"), row.get("mishap"))
    became = re.sub(
        r"; (?:the blade was not|what was read after it|the row is left out).*", "", m[6]
    )
    if row["blade"] != m[1] or row["cuts"] != m[3] or not {m[6], became} & set(typed):
        return f"row {m[5]} is {row}"
    return None


for title in ("Mishaps", "Left out"):
    plain(
        title,
        "Mishaps noted at the bench whose readings were kept:",
        "Mishaps noted at the bench behind which no reading was kept, or whose row is left out:",
        "Rows without a reading, with the reason:",
    )

plain(
    "Left out",
    "Rows of the log that do not count.",
)


@rule(
    r"({B}): This blade's life, ({N}) cuts, lies further from (?:the others of its heat treatment|what the others of its heat treatment and of .+ lead one to expect) \(about ({N})\) than chance explains\. Look at its edge, its readings and its notes\. One more blade would show which of them is usual\."
)
def stands_out(m, case):
    """Its life is near where its stages pass the limit."""
    mine = case.bear.crossing(m[1])
    far = 0 < mine < 1e9 and abs(mine / number(m[2]) - 1) > 0.3
    return f"its stages pass the limit at {mine:.0f}" if far else None


@rule(
    r"({B}): Its ({N}) cuts and the ({N}) of ({B}) on (.+) differ otherwise than such blades do on the other blocks, by more than chance explains; the log does not tell which of the two is odd\. Look at both edges, their readings and their notes\. One more blade of each would tell\."
)
def pair_stands_out(m, case):
    """Both ran on that block, and their lives are near where their stages pass the limit."""
    for blade, life in ((m[1], m[2]), (m[4], m[3])):
        if not [r for r in case.study.rows if r["blade"] == blade and r.get("block") == m[5]]:
            return f"{blade} has no row on {m[5]}"
        mine = case.bear.crossing(blade)
        if 0 < mine < 1e9 and abs(mine / number(life) - 1) > 0.3:
            return f"the stages of {blade} pass the limit at {mine:.0f}"
    return None


@rule(
    r"A mishap is noted in rows that count: (.+)\. Fill in the column exclude where it spoilt the "
    r"reading; where you looked and it did not, write “it counts” behind it \(page Log, or "
    r"edgetest enter --replace\)\."
)
def mishaps(m, case):
    """As many kept rows of each blade have a mishap as are told."""
    kept = {(n, r["blade"]) for n, r in enumerate(case.study.rows, 2)
            if r.get("mishap") and not r.get("exclude")}  # fmt: skip
    wrong = [b for n, b in kept if f"{b} (row" not in m[1] and f"{b} ({len(kept)} row" not in m[1]]
    return f"rows with a mishap are {sorted(kept)}" if wrong or not kept else None


@rule(
    r"({BS}): Every reading of this blade is left out, so the answer knows nothing of it\. The reason given: (.+)\."
)
def gone(m, case):
    """No row of it counts."""
    mine = [r for r in case.study.rows if r["blade"] in m[1].split(", ")]
    return "some of its rows count" if any(not r.get("exclude") for r in mine) else None


@rule(r"({BS}): The later (?:readings|stages) of this blade are left out, .+")
def cut_short(m, case):
    """A row of it is left out."""
    mine = [r for r in case.study.rows if r["blade"] in m[1].split(" · ")[0].split(", ")]
    return None if any(r.get("exclude") for r in mine) else "none of its rows is left out"


@rule(
    r"Typed and photographed readings of one place differ by more than both may err: (.+)\. The "
    r"answer uses the (?:photographs'|typed ones); read those places again, and leave out what is "
    r"wrong\."
)
def typed_apart(m, case):
    """The typed numbers stand in the rows that are named; there are as many others as are told."""
    told = re.findall(r"row (\d+) \([^)]+\) [<>]?([\d.]+) µm typed", m[1])
    rows, main = case.study.rows, case.study.asked.main
    wrong = [n for n, number in told if float(rows[int(n) - 2][main].strip("<>")) != float(number)]
    if wrong:
        return f"rows {wrong} hold other numbers"
    whole = re.search(r"(\d+) places taken together", m[1])
    both = sum(bool(row[main] and row.get("photo")) for row in rows) - len(told)
    if whole and int(whole[1]) > both:
        return f"{both} other rows hold a number and a photograph"
    return None if told or whole else "no place is named"


plain(
    None,
    "^Some stages have a typed edge width and a measured one; the (?:photographs'|typed ones) are used; the document lists both\\.",
)
plain(
    "The readings",
    "In the unit of the heading. Before the colon: the number of cuts made so far.",
    "With a p: from its photograph.",
    "In square brackets: the other reading of that place, which does not count.",
    "Those in brackets are left out; the reasons stand under Left out.",
)


def _as_typed(cell):
    """What was typed of "5.9", "10.26 p [8.9]", "8.9 [10.26 p]"; "" of a photograph alone."""
    out = cell.startswith("(")
    first, _, beside = (cell[1:-1] if out else cell).partition(" [")
    number = beside.rstrip("]") if first.endswith(" p") else first
    return f"({number})" if out and number else number


def readings_told(case):
    """What contradicts the table of readings: each number of the log stands there once."""
    asked = case.study.asked.main
    due: Counter = Counter()
    for row in case.study.rows:
        if row.get(asked):
            out = "out" if row.get("exclude") else ""
            due[row["blade"], row.get("block", ""), int(row["cuts"]), float(row[asked]), out] += 1
    told: Counter = Counter()
    for row in table_rows(case.blocks, "Blade read"):
        (stages,) = (cell for head, cell in row.items() if head.startswith("Cuts: "))
        block = row.get("Block", "").removesuffix("–")
        for stage in stages.split("; "):
            cuts, _, values = stage.partition(": ")
            for value in filter(None, map(_as_typed, values.split(", "))):
                bare = value.strip("()")
                out = "" if bare == value else "out"
                told[row["Blade read"], block, int(cuts), float(bare), out] += 1
    apart = sorted({*(due - told), *(told - due)})
    return [("untrue", "table of readings", f"apart from the log: {apart[:4]}")] if apart else []


@rule(
    r"log\.csv, row (\d+), ({B}): It reads ({N}) at ({N}) cuts, where about ({N}) (?:\((?:by the curve without it|by the others of its stage and place)\) )?is expected: further off than chance explains\. Nothing was dropped\.(?: Look at your note and, if there is one, its photograph\. If it was typed wrong, correct it \(page Bench, “Correct a reading”, or edgetest enter --replace\); if it was read wrong, mark it in the column exclude; if neither, write “it counts” into its note\.)?"
)
def stands_off(m, case):
    """The row's blade, reading and cuts; what is expected lies between its neighbours, or near."""
    row = case.study.rows[int(m[1]) - 2]
    typed = row.get(case.study.asked.main) or ""
    if row["blade"] != m[2].split(" · ")[0] or int(row["cuts"]) != number(m[4]):
        return f"row {m[1]} is {row}"
    if row.get("exclude") or not typed or float(typed) != number(m[3]):
        return f"row {m[1]} is {row}"
    means = case.bear.means(row["blade"], row.get("block", ""))
    before = [mean for stage, mean in means.items() if stage < int(row["cuts"])][-1:]
    after = [mean for stage, mean in means.items() if stage > int(row["cuts"])][:1]
    low, high = min([*before, *after]), max([*before, *after])
    return (
        None if low / 1.1 <= number(m[5]) <= high * 1.1 else f"its neighbours read {before + after}"
    )


@rule(
    r"({BS}): This blade's readings scatter more than those of the other blades\. Its interval uses the scatter of all of them and may be too narrow\."
)
def noisy(m, case):
    """Its scatter about its curve stands in the table above that of most blades."""
    shown = {row["Heat treatment and blade"]: row.get("Scatter about curve", "")
             for row in case.life_rows}  # fmt: skip
    told = {name: number(cell.removesuffix(" %")) for name, cell in shown.items() if cell}
    middle = median(told.values())
    wrong = [name for name in re.split(r", | and ", m[1]) if told.get(name, 0) <= middle]
    return f"{wrong} scatter no more than the middle one, {middle} %" if wrong else None
