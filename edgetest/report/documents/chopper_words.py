"""What a chop test says of one tool, in sentences and in rows of figures."""

from math import isfinite

from edgetest.report.doubt_lines import doubt_lines
from edgetest.report.wording import interval_words
from edgetest.study.words import counted

FIGURE_WORDS = {
    "mass_g": "mass",
    "balance_mm": "balance from the butt",
    "inertia_balance_kg_cm2": "inertia about the balance point",
    "inertia_grip_kg_cm2": "inertia about the grip",
    "percussion_mm": "percussion centre from the butt",
    "effective_mass_free_g": "mass behind the blow, flying free",
    "effective_mass_gripped_g": "mass behind the blow, turning about the grip",
}
MOST_BESIDE = 3
SAID_ELSEWHERE = {
    # for the maker alone
    "edge_length_missing", "side_view_refused", "side_view_missing", "no_grip", "few_depths_in_all",
    # said in other words, or only of how an interval was made
    "invented", "excluded_rows", "damage_from_both", "zero_seen", "assumed_swing", "underdispersed",
    "overdispersed", "blades_differ_in_damage", "dulling_seen", "near_misses_not_counted",
    "wood_by_name_only", "green_hardness_assumed",
}  # fmt: skip
OTHER_UNITS = {"mm": (1 / 25.4, "in"), "g": (1 / 28.3495, "oz")}


def tool_sentences(result, blade):
    """What a customer is told first: strokes, against what, the edge, the trials."""
    rates = {one.blade: one for one in result.report.counts.blades} if result.report.counts else {}
    said = []
    if blade in rates:
        said += _count_sentences(result, blade, rates[blade])
    elif depth := _line(result, blade):
        value, interval = interval_words(*three(depth.fresh_mm))
        said.append(f"One chop with the fresh edge goes {value} mm deep ({interval}).")
    said += _edge_sentences(result, blade)
    if not said and result.tool(blade) is not None:
        one = result.tool(blade).balance.percussion_mm
        value, interval = interval_words(*three(one))
        said.append(f"It strikes without kick at {value} mm from the butt ({interval}).")
    return said or ["It has not been chopped with."]


def _count_sentences(result, blade, rate):
    value, interval = interval_words(*three(rate.chops_per_100_cm2))
    wood = _short_wood(result.report.counts.reference_wood)
    yield f"{value} strokes take it through 100 cm² of {wood} ({interval})."
    mine = [piece for piece in result.pieces if piece.blade == blade]
    woods = dict.fromkeys(piece.wood.name.split(",")[0] for piece in mine if piece.wood)
    missed = [piece.near_misses for piece in mine]
    misses = "" if None in missed else counted(sum(missed) or "no", "near miss", "near misses")
    tail = f", {misses} among them" if misses else ""
    size = _size_words(mine)
    count = counted(rate.billets, "piece")
    of = f" of {' and '.join(woods)}" if woods else ""
    single = " A single run: how far pieces differ is assumed." if rate.billets == 1 else ""
    yield f"Counted: {rate.chops} strokes through {count}{of}{size}{tail}.{single}"
    others = beside(result, blade)
    for ratio in result.report.counts.ratios:
        if blade in (ratio.first, ratio.second) and {ratio.first, ratio.second} <= set(others):
            yield _ratio_sentence(result, blade, ratio)


def beside(result, blade):
    """The tools that one tool's sheet shows: itself, the control, and others up to three."""
    control = [result.study.control] if result.study.control else []
    return list(dict.fromkeys([blade, *control, *result.blades]))[:MOST_BESIDE]


def _size_words(pieces):
    """The pieces' cross-section, and what 100 cm² are, where all are alike."""
    sizes = {round(piece.area_cm2) for piece in pieces}
    alike = f", {sizes.pop()} cm² each" if len(sizes) == 1 else ""
    return f"{alike} (100 cm² is a post of 10 by 10 cm)"


def _ratio_sentence(result, blade, ratio):
    """Strokes against the other tool, in per cent."""
    value, low, high = three(ratio.ratio)
    other = ratio.second
    if blade == ratio.second:
        value, low, high, other = 1 / value, 1 / high, 1 / low, ratio.first
    shown, interval = interval_words(100 * value, 100 * low, 100 * high)
    turns = " in turn on the same boards" if result.design == "in_turn" else ""
    verdict = "" if low > 1 or high < 1 else "; the two cannot be told apart"
    return (
        f"That is {shown} % of the strokes that {_title(result, other)} took{turns}"
        f" ({interval} %){verdict}."
    )


def _edge_sentences(result, blade):
    """New chips and rolls, with the bound that none seen leaves."""
    new = {one.kind: one for one in result.growth if one.blade == blade}
    if "chips" not in new:
        return
    chips, rolls = new["chips"], new.get("rolls")
    bound = next(
        (
            row.per_100_mm.high
            for when, one in result.report.damage
            if (when, one.kind) == ("during", "chips")
            for row in one.blades
            if row.blade == blade
        ),
        None,
    )
    what = counted(chips.new or "no", "new chip")
    if rolls is not None:
        what += f" and {counted(rolls.new or 'no', 'new roll')}"
    by_eye = result.look(blade, "after").source == "log"
    seen = not chips.new and bound
    tail = f" Seeing no chip there still allows {bound:.2g} per 100 mm." if seen else ""
    length = chips.edge_length_mm
    where = f" on {length:.0f} mm of edge" if length is not None else ""
    eye = " (counted by eye)" if by_eye else ""
    yield f"After {chips.chops} chops: {what}{where}{eye}.{tail}"


def figure_rows(result, blade, units="metric"):
    """Name, value and interval of every figure of one tool, as the sheet prints them."""
    report, line, tool = result.report, _line(result, blade), result.tool(blade)
    rows = []
    for rate in report.counts.blades if report.counts else ():
        if rate.blade == blade:
            rows.append(("Chops per 100 cm², over the test", rate.chops_per_100_cm2, ""))
            rows.append(("… with the fresh edge", rate.fresh_chops_per_100_cm2, ""))
    if blade in report.near_misses:
        rows.append(("Strokes that missed the cut", report.near_misses[blade], "share"))
    if line is not None:
        rows.append(("Depth of one chop, fresh edge", line.fresh_mm, "mm"))
        rows.append(("… lost in 100 chops", line.loss_pct_per_100_chops, "%"))
    for when, damage in report.damage:
        for each in damage.blades:
            if when == "during" and each.blade == blade:
                rows.append((f"New {damage.kind} per 100 mm of edge", each.per_100_mm, ""))
    rows += _tool_figures(tool) if tool is not None else []
    return [[words, *_shown(one, unit, units)] for words, one, unit in rows if one is not None]


def _tool_figures(tool):
    """Swing of one tool, measured where it was, with what was predicted where both are."""
    balance = tool.balance
    ahead = balance.balance_from_handle_mm
    place = ("Balance ahead of the handle", ahead, "mm")
    if ahead is None:
        place = ("Balance from the butt", balance.balance_mm, "mm")
    inertia = [
        ("Inertia about the grip: how it resists the swing", balance.inertia_grip_kg_cm2, "kg cm²")
    ]
    if tool.compared is not None:
        predicted = tool.predicted.balance.inertia_grip_kg_cm2
        inertia.append(("… predicted from its shape", predicted, "kg cm²"))
    return [
        ("Mass", balance.mass_g, "g"),
        place,
        ("Percussion centre from the butt: no kick there", balance.percussion_mm, "mm"),
        ("Mass behind the blow, as the wood feels it", balance.effective_mass_free_g, "g"),
        *inertia,
        ("Energy of a standard blow (assumed swing)", tool.blow.energy_j, "J"),
        ("Depth for each joule", tool.depth_per_joule, "mm"),
    ]


def _shown(one, unit, units):
    """Value with its unit, and interval, in the units asked for."""
    numbers = three(one)
    if unit == "share":
        numbers, unit = tuple(100 * number for number in numbers), "%"
    ways = [(1.0, unit)]
    if unit in OTHER_UNITS and units != "metric":
        ways = [OTHER_UNITS[unit]] if units == "inch" else [*ways, OTHER_UNITS[unit]]
    said = []
    for factor, name in ways:
        value, low, high = (factor * number for number in numbers)
        words, interval = interval_words(value, low, high)
        if value == low == 0 and isfinite(high):
            words, interval = "0", f"under {high:.2g}"
        said.append((f"{words} {name}".strip(), interval))
    return [" / ".join(parts) for parts in zip(*said, strict=True)]


def side_by_side_rows(compared):
    """Two balances figure by figure, in words: of each its value, and the difference.

    Returns
    -------
    list of dict
    """
    rows = []
    for row in compared.rows:
        value, interval = interval_words(row["difference"], row["low"], row["high"])
        digits = len(value.partition(".")[2])
        rows.append(
            {
                "figure": FIGURE_WORDS[row["figure"]],
                compared.first: f"{row['first']:.{digits}f} {row['unit']}",
                compared.second: f"{row['second']:.{digits}f} {row['unit']}",
                "difference": value,
                "interval": interval,
                "told apart": "no" if row["agree"] else "yes",
            }
        )
    return rows


def trial_rows(result, blade):
    """Trials of a tool and how they ended, as (what, how)."""
    mine = [one for one in result.report.trials if one.trial.blade == blade]
    return [(one.title[:1].upper() + one.title[1:], _trial_words(one)) for one in mine]


def tool_doubts(result, blade):
    """Doubts that a customer should know, and the tool's rows left out with their reasons.

    What stands elsewhere on the sheet, or only touches how an interval was made, is not
    said again.
    """
    lines = doubt_lines(result.doubts, said=SAID_ELSEWHERE)
    rows = [row for row in result.log.rows if row.exclude and row.blade == blade]
    left = "; ".join(f"{row.kind} in row {row.line}: {row.exclude}" for row in rows[:3])
    more = f"; and {len(rows) - 3} more" if len(rows) > 3 else ""
    return [*lines, f"Left out, {left}{more}."] if rows else lines


def _trial_words(one):
    """Passed of tried, and what was done."""
    trial = one.trial
    count = (
        "passed"
        if trial.passed == trial.tried == 1
        else (
            "failed"
            if trial.passed == 0 and trial.tried == 1
            else f"passed {trial.passed} of {trial.tried}"
        )
    )
    return f"{count}: {trial.note}" if trial.note else count


def _line(result, blade):
    """A blade's depth line, or None."""
    lines = result.report.depths.blades if result.report.depths else ()
    return next((line for line in lines if line.name == blade), None)


def _title(result, blade):
    """What a blade is called in a sentence."""
    title = result.study.blade(blade).title
    return f"{blade} ({title})" if title else f"blade {blade}"


def _short_wood(words):
    """The reference wood without its figures: "coast Douglas-fir at 12 % moisture"."""
    return words.partition(" (")[0]


def three(one):
    """Value and both ends of an estimate."""
    return one.value, one.low, one.high
