"""Are the table of lives, the counts of readings and the pictures' words borne by the log?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import math
import re

from tests.benchmarks.read_documents.rules_of_answer import half_step
from tests.benchmarks.read_documents.sentence_rules import NUMBER, number, plain, rule

LIVES, COMPUTED = "How the edges wore", "How it was computed"
OFF = 0.20  # in log: a line between two stages against a curve through all of them
LAWS = {"edge_width_um": "wedge", "sever_force_gf": "saturating"}
ONLY = rf"only if the law holds ({NUMBER}) cuts \(({NUMBER}) (?:to {NUMBER}|or more)\)"


def life_row(row, case):
    """A row of the table of lives: a blade or run, a heat treatment, or the control."""
    name = row["Heat treatment and blade"]
    blade, _, block = name.partition(" · ")
    if any(b.id == blade for b in case.study.blades):
        return _blade_row(row, blade, block or None, case)
    if name == "Control blade":
        runs = {r.get("block", "") for r in case.bear.in_use if r["blade"] == case.study.control}
        many = int(re.match(r"(\d+) (?:run|blade)s?$", row["Remarks"])[1])
        return [] if many == len(runs) else [f"the control ran {len(runs)} times"]
    id_ = case.treatment(name)
    if id_ is None:
        return [f"nothing is called {name}"]
    many = len(case.bear.cut_blades(id_))
    told = int(re.match(r"(\d+) blades?(?:, \d+ runs)?$", row["Remarks"])[1])
    return [] if told == many else [f"{many} blades of {name} were cut"]


def _blade_row(row, blade, block, case):
    life, remarks = row["Life, cuts"], row.get("Remarks", "")
    means = case.bear.means(blade, block)
    mine, last = case.bear.crossing(blade, block), case.bear.last(blade, block)
    found = []
    if not means:
        return [f"{blade} was never read"]
    if life.startswith("over "):
        if wrong := case.bear.over_untrue(blade, number(life[5:]), block):
            found.append(wrong)
        if mine < 0.9 * last:
            found.append(f"its readings passed the limit at {mine:.0f}")
    elif re.fullmatch(NUMBER, life):
        told = number(life)
        if math.isfinite(mine) and mine > 0 and abs(math.log(told / mine)) > _room(means, mine):
            found.append(f"its stages pass the limit at {mine:.0f}")
        if math.isinf(mine) and told < 0.85 * last:
            found.append(f"its readings never passed the limit up to {last}")
        rounded = abs(told - last) < 0.02 * last
        if not rounded and ("beyond the last stage" in remarks) != (told > last):
            found.append(f"the last stage of {blade} was {last}")
    stopped = means[max(means)] < case.study.limit
    if "stopped before the limit" in remarks and not stopped:
        found.append(f"at its last stage {blade} read {means[max(means)]:.2f}")
    for part in remarks.split(", s")[0].split("; ") if remarks else []:
        if not re.fullmatch(
            rf"beyond the last stage|topped before the limit|stopped before the limit|read past the limit: see its doubts|{ONLY}|fresh edge not read|",
            part,
        ):
            found.append(f"unknown remark '{part}'")
    return found


def _room(means, mine):
    """How far a straight line between the stages about the limit may lie off the curve."""
    stages = [s for s in means if s >= mine][:1] + [s for s in means if s < mine][-1:]
    wide = math.log(stages[0] / max(stages[-1], 1)) if len(stages) > 1 else 0
    return OFF + 0.25 * min(wide, 2)


def _half_step(*printed):
    """Half a step of a life: that of its interval too, or where they are far apart its own."""
    zeros = [len(each) - len(each.rstrip("0")) for each in printed if each and each != "0"]
    return max(0.51 * 10 ** min(zeros), half_step(number(printed[0])))


@rule(r"Life of ({S}), cuts ⇒ ({N}) ({N}) (to ({N})|or more)")
@rule(r"Life of ({S}), cuts ⇒ (not known)()()()")
@rule(r"Life of ({S}), cuts ⇒ (over ({N}))()()")
def strip_life(m, case):
    """The life of a heat treatment on the first page: the JSON's, and near the stages' own."""
    id_ = case.side(m[1])
    if id_ is None:
        return f"{m[1]} is no heat treatment and no only blade of one"
    mine = [case.bear.crossing(b.id) for b in case.bear.cut_blades(id_)]
    life = next((g["life"] for g in case.told["groups"] if g["treatment"] == id_), None)
    if m[2] == "not known":
        return "its life is in the JSON" if life and life["cuts"] else None
    if m[2].startswith("over "):
        blades = case.bear.cut_blades(id_)
        wrong = [case.bear.over_untrue(b.id, number(m[3])) for b in blades]
        if not life or life["cuts"] or abs(life["low"] - number(m[3])) > 0.51:
            return f"compare --json has {life}"
        return wrong[0] if len(blades) == 1 and wrong[0] else None
    told, low = number(m[2]), number(m[3])
    if (
        life is None
        or life["cuts"] is None
        or abs(life["cuts"] - told) > _half_step(m[2], m[3], m[5])
    ):
        return f"compare --json has {life}"
    if low == 0 and life["low"] and life["low"] >= 1:
        return f"its life is {life['low']} cuts at least"
    if all(map(math.isfinite, mine)) and min(mine) > 0:
        middle = math.exp(sum(map(math.log, mine)) / len(mine))
        if not low / 1.3 < middle < 1.3 * (number(m[5]) if m[5] else math.inf):
            return f"its blades pass the limit at {[round(x) for x in mine]}"
    return None


@rule(
    r"Ratio of lives, ({S}) : ({S}) ⇒ (?:at (?:least|most) )?({N})(?: ({N}) (?:to ({N})|or (?:more|less)))?"
)
@rule(r"Ratio of lives, ({S}) : ({S}) ⇒ (not known|not settled)")
@rule(r"Ratio of lives, ({S}) : ({S}) ⇒ (cannot be told) (?:under 0\.1 to over 10|anything)")
@rule(r"Life of (.+), cuts ⇒ (.+)", "How")
def strip_ratio(m, case):
    """Two heat treatments that are there; 'cannot be told' where a tenth and ten times fit."""
    if m[3] == "cannot be told":
        ratio = case.told["ratio"]
        if (ratio["low"] or 0) >= 0.1 or (ratio["high"] or 11) <= 10:
            return f"compare --json has {ratio}"
    if len(m.groups()) > 2 and case.side(m[1]) == case.side(m[2]):
        return "one and the same heat treatment"
    return None


@rule(
    r"Changed after its blade's last reading ⇒ .+: (?:corrected|changed in the file:) .+ "
    r"\(20\d\d-\d\d-\d\d(?:, after the names came back)?(?:, before the blade was cut anew)?\)\. "
    r"Told are rows with a reading: value, block, batch, and whether it counts\.",
    COMPUTED,
)
def corrected(_, case):
    """The makers of these studies correct nothing in the program: none may be told."""
    return "no reading was corrected in the program"


@rule(r"Readings ⇒ (\d+) in use, (\d+) from photographs, (\d+) typed; (\d+) left out", COMPUTED)
def readings(m, case):
    """Counted in the log."""
    main = case.study.asked.main
    rows = [r for r in case.study.rows if r.get(main)]
    out = sum(bool(r.get("exclude")) for r in rows)
    due = (len(rows) - out, 0, len(rows) - out, out)
    return None if tuple(map(int, m.groups())) == due else f"the log has {due}"


@rule(
    r"How far the scale of the typed widths may be off is not noted, so no life's interval holds it; the ratio is free of it where one scale gave every width\.(?: Note its standard uncertainty, for 2 %: page Blades, under The study, or typed_scale_u = 0\.02 in study\.toml\.)?"
)
def scale_of_widths(m, case):
    """Told of typed widths alone; no maker here types how far their scale may be off."""
    main = case.study.asked.main
    return None if main in ("edge_width_um", "w30_um", "worn_area_um2") else f"it is {main}"


@rule(r"Law of wear ⇒ (\w+): .+", COMPUTED)
def law(m, case):
    """The law of the reading."""
    due = LAWS[case.study.asked.main]
    return None if m[1] == due else f"{case.study.asked.main} wears by {due}"


@rule(r"Data checksum ⇒ SHA-256 ((?:[0-9a-f]{16} ?){4})", COMPUTED)
@rule(r"Document made ⇒ (20\d\d-\d\d-\d\d)", COMPUTED)
@rule(r"Program ⇒ edgetest ([\d.]+)", COMPUTED)
def stamped(*_):
    """Of the document, not of the test."""


@rule(r"Interval ⇒ (.+?)(, adjusted for several groups)?(?:, ({N}) degrees? of freedom)?", COMPUTED)
def interval(m, case):
    """The method is the JSON's; it is adjusted where several groups were compared; df agree."""
    ratio = case.told.get("ratio") or {}
    sizes = [len(case.bear.cut_blades(t)) for t in case.study.treatments]
    groups = sum(s > 0 for s in sizes)
    found = []
    told = str(ratio.get("method")).removesuffix(", adjusted for several groups")
    if m[1] not in (told, "least lives"):
        found.append(f"compare --json says {ratio.get('method')}")
    if bool(m[2]) != (groups > 2):
        found.append(f"{groups} heat treatments were cut")
    if m[3] == "1" and m[0].endswith("degrees of freedom"):
        found.append("1 degree, not '1 degrees'")
    of_two = m[1].endswith(" of the two compared")
    alike = len({s for s in sizes if s}) == 1
    if m[1] == "pooled t" and m[3] and number(m[3]) != sum(sizes) - groups:
        found.append(f"{sum(sizes)} blades, {groups} groups")
    if of_two:
        pair = [len(case.bear.cut_blades(case.told[side])) for side in ("first", "second")]
        known = all(math.isfinite(case.bear.crossing(b.id)) for t in case.study.treatments
                    for b in case.bear.cut_blades(t))  # fmt: skip
        if known and (groups < 3 or alike or number(m[3]) != sum(pair) - 2):
            found.append(f"{sizes} blades, of the two {pair}")
    return found


@rule(
    r"Wear curves, (?:edge width in µm|thread severing force in gf) against cuts\.((?: .+? reaches the limit at .+? cuts\.)+)"
)
@rule(r"Interval plot of lives\.((?: {B}: .+? cuts\.)*)")
def drawn_lives(m, case):
    """The words of the picture: every life is that of the table."""
    table = {r["Heat treatment and blade"]: r for r in case.life_rows}
    found = []
    for part in re.findall(r" (.+?)(?: reaches the limit at|:) (.+?) cuts\.", m[1]):
        name, told = part
        row = table.get(name)
        if row is None:
            found.append(f"{name} is not in the table")
            continue
        due = " ".join(x for x in (row["Life, cuts"], row["95 % interval"]) if x)
        if re.sub(r"[(),]", "", told) != re.sub(r"[(),]", "", due):
            found.append(f"the table says {due} of {name}, the picture {told}")
    return found


@rule(r"Interval plot\. Ratio of lives (.+?)\.((?: {S}: .+? cuts\.)+)")
def drawn_ratio(m, _):
    """The words of the first picture: nothing is left hanging."""
    return "an interval that is not there: 'from .'" if re.search(r", from $", m[1]) else None


@rule(
    r"Ratio of lives against the limit\. How many times as long ({S}) lasts as ({S}), by the (?:edge width|thread severing force) that ends a life, in (?:µm|gf): .+\."
)
@rule(
    r"Figure \d: How many times as long ({S}) lasts as ({S}), by the (?:edge width|thread severing force) that ends a life, in (?:µm|gf), with its interval; the dashed line is no difference(?:, the dotted one the limit of this study| \(the limit of this study, {N}, is not among those drawn\))?\. Limits beyond reach are left out\.(?: Lives that lie beyond the stages, by limit: .+\.)?"
)
def by_limit(m, case):
    """Two sides that were cut."""
    pair = [case.side(m[1]), case.side(m[2])]
    return None if len(set(pair)) == 2 and None not in pair else f"{pair}"


@rule(r"Life to a limit of ({N}) (?:µm|gf), blade by blade; shaded lines are the heat treatments\.")
def caption(m, case):
    """The limit of the study."""
    return None if number(m[1]) == case.study.limit else f"it is {case.study.limit:g}"


plain(
    None,
    "^Figure \\d: Above: life of each blade(?: and, shaded, of each heat treatment(?: with several)?)?, with 95 % intervals\\. Hollow marks lie beyond the last stage cut; an arrow has no end\\. Below: the ratio of lives(?: with its interval over all \\d+ looks)?; the dashed line is no difference, the shaded strip a difference under 10 %\\.",
    "^Figure \\d: Life of each blade with its interval(?: \\(\\d of \\d, on one scale\\))?\\.",
    "^(?:Hollow marks lie beyond the last stage cut|A bar without a mark is a life known to lie between its ends)\\.",
    "^Figure \\d: Above: life of each heat treatment, with 95 % intervals; its blades follow further down\\. An arrow has no end\\. Below: the ratio of lives(?: with its interval over all \\d+ looks)?; the dashed line is no difference, the shaded strip a difference under 10 %\\.",
    "^Figure \\d: Wear of each blade(?: \\(\\d of \\d\\))?, all on one scale\\. Hollow marks are readings, a marker for each station; filled marks are the mean of a stage; (?:a cross is left out \\(at the upper edge: above it\\), )?a triangle points to where a reading lies that is only a bound\\. The line is the fitted wear with its band, dashed beyond the last stage\\. On the dotted limit lies the blade's life with its interval\\.(?: Where the readings do not show the fresh edge, a curve begins with its first number: (.+)\\.)?$",
)


@rule(
    r"The control blade ({B}) lasted, in cuts: (.+)\. The longest and the shortest of these lie (?:({N})|less than 1) % apart; part of that is the scatter of its readings\."
)
def control_lives(m, case):
    """The lives of the control's runs stand in the table of lives, and lie so far apart."""
    found = [] if m[1] == case.study.control else [f"the control is {case.study.control}"]
    lives = [number(life) for life in re.findall(rf"({NUMBER}) \({NUMBER} to {NUMBER}\) in ", m[2])]
    shown = [number(row["Life, cuts"]) for row in case.life_rows
             if row["Heat treatment and blade"].startswith(f"{m[1]} ·") and row["Life, cuts"]]  # fmt: skip
    if not set(lives) <= set(shown):
        found.append(f"the table of lives has {shown}")
    if m[3] and lives and abs(100 * (max(lives) / min(lives) - 1) - number(m[3])) > 1.5:
        found.append(f"they lie {max(lives) / min(lives):.3f} times apart")
    return found or None
