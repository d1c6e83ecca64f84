"""The figures of one tool in rows: name, value and interval, in the units asked for."""

from math import isfinite

from edgetest.chop.balance import counted_behind
from edgetest.report.documents.blocks import section, table
from edgetest.report.wording import in_units, interval_words, size_in_units
from edgetest.study.chop.told_looks import strokes_unseen
from edgetest.study.words import listed

FIGURE_WORDS = {
    "mass_g": "mass",
    "balance_mm": "balance from the butt",
    "inertia_balance_kg_cm2": "inertia about the balance point",
    "inertia_grip_kg_cm2": "inertia about the grip",
    "percussion_mm": "percussion centre from the butt",
    "effective_mass_free_g": "mass behind the blow, flying free",
    "effective_mass_gripped_g": "mass behind the blow, turning about the grip",
}
OF_THE_SWING = (
    "Inertia about the grip: how it resists the swing",
    "… predicted from its shape",
    "Energy of a standard blow (assumed swing)",
    "Depth for each joule",
)
MASS, AHEAD = "Mass", "Balance ahead of the handle"
BEHIND = "Balance behind the front of the handle"
OTHER_UNITS = {
    "mm": (1 / 25.4, "in"),
    "g": (1 / 28.3495, "oz"),
    "kg cm²": (1 / (0.45359237 * 2.54**2), "lb in²"),
    "J": (1 / 1.3558179, "ft lbf"),
}  # NIST Special Publication 811 (2008), appendix B


def figure_rows(result, blade, units="metric", *, beside=None):
    """Name, value and interval of every figure of one tool, as the sheet prints them.

    A balance is told ahead of the handle or behind its front as that of the tool it stands beside.
    """
    report, line, tool = result.report, depth_line(result, blade), result.tool(blade)
    rows = []
    if blade in report.near_misses:
        rows.append(("Strokes that missed the cut", report.near_misses[blade], "share"))
    if line is not None:
        rows.append(("Depth of one chop, fresh edge", line.fresh_mm, "mm"))
        rows.append(("… lost in 100 chops", line.loss_pct_per_100_chops, "%"))
    length, factor = per_edge(units)
    for when, damage in report.damage:
        for each in damage.blades:
            if when == "during" and each.blade == blade:
                rows.append(
                    (_damage_words(result, each, damage.kind, length), each.per_100_mm, factor)
                )
    behind = _behind(result, beside or blade)
    rows += _tool_figures(tool, behind) if tool is not None else []
    return [[words, *_shown(one, unit, units)] for words, one, unit in rows if one is not None]


def figures_beside(result, tools, units="metric"):
    """Figures of a tool and of those beside it, without those of the swing that few look up.

    Parameters
    ----------
    result : ChopResult
    tools : sequence of str
        The tool, then those beside it; of these such as have figures.
    units : {"metric", "inch", "both"}

    Returns
    -------
    names : list of str
        The others that have figures.
    rows : list of list of str
        Name, value and interval of the tool; of each other its value with the interval.
    """
    found = {
        name: {row[0]: row[1:] for row in figure_rows(result, name, units, beside=tools[0])
               if row[0] not in OF_THE_SWING}
        for name in tools
    }  # fmt: skip
    own, names = found[tools[0]], [name for name in tools[1:] if found[name]]
    for name in names:  # weighed and balanced, and not swung
        typed = _typed_figures(result, name, units, _behind(result, tools[0]))
        found[name] = {word: typed[word] for word in typed if word in own} | found[name]
    words = dict.fromkeys([*own, *(word for name in names for word in found[name])])
    theirs = {word: [_with_interval(found[name].get(word)) for name in names] for word in words}
    assumed = " (± assumed)" * any(_mass_assumed(result, name) for name in (tools[0], *names))
    return names, [
        [word + assumed * (word == MASS), *own.get(word, ["–", ""]), *theirs[word]]
        for word in words
    ]


def numbers_section(result, shown, units):
    """A tool's figures beside those of the others, or where the others' stand."""
    # Two units in each cell leave no room for a column more.
    others, rows = figures_beside(result, shown[:1] if units == "both" else shown, units)
    if not rows:
        return section(None)
    later = [other for other in shown[1:] if units == "both" and figures_beside(result, [other])[1]]
    behind = f" (those of {listed(later)} further on)" if later else ""  # a line would cost a page
    return section(f"In numbers{behind}", table(figure_heads(result, others), rows, close=True))


def figure_heads(result, others=()):
    """Headings of a table of figures, a column for each of the tools beside."""
    level = f"{100 * result.report.level:g} % interval"
    own = [("Figure", "left", 1.0), ("Value", "right", "auto"), (level, "right", "auto")]
    return own + [(other, "right", "auto") for other in others]


def numbers_beside(result, others, units):
    """The figures of each tool beside a tool, a table each."""
    for other in others:
        rows = figures_beside(result, [other], units)[1]
        if rows:
            yield section(f"{other} in numbers", table(figure_heads(result), rows, close=True))


def mass_of(result, tested):
    """A tool's mass as typed of it, or of how it is held; None where nobody typed it."""
    held = result.handling.get(tested.id)
    return tested.mass_g if tested.mass_g is not None else getattr(held, "mass_g", None)


def _typed_figures(result, name, units, behind):
    """Mass and balance of a tool as they were typed of it."""
    mass, held = mass_of(result, result.study.blade(name)), result.handling.get(name)
    found = {MASS: (size_in_units(mass, "g", units), "as typed")} if mass else {}
    if held is not None and None not in (held.balance_mm, held.handle_front_mm):
        ahead = held.balance_mm - held.handle_front_mm
        word, place = (BEHIND, -ahead) if behind else (AHEAD, ahead)
        found[word] = (size_in_units(place, "mm", units), "as typed")
    return found


def _with_interval(figure):
    """A value and its interval in one cell; a dash where there is neither."""
    value, interval = figure or ("–", "")
    return f"{value} ({interval})" if interval else value


def typed_sizes(result, tested, units, *, swung_alone=False):
    """Mass, sizes and balance as typed; where the swing is measured, two of them stand there.

    With `swung_alone` what the hand feels alone is told: mass, length and balance.
    """
    held = result.handling.get(tested.id)
    mass = mass_of(result, tested)
    mass, held = (mass, held) if result.tool(tested.id) is None else (None, None)
    told = (
        ("mass", mass, "g"),
        ("length", tested.length_mm, "mm"),
        ("width", None if swung_alone else tested.width_mm, "mm"),
        ("spine", None if swung_alone else tested.spine_mm, "mm"),
        ("behind the edge", None if swung_alone else tested.thickness_behind_edge_mm, "mm"),
    )
    parts = [f"{word} {size_in_units(size, unit, units)}" for word, size, unit in told if size]
    balance = in_units(held.balance_words(), units) if held is not None else ""
    return ", ".join([*parts, balance] if balance else parts)


def _damage_words(result, each, kind, length):
    """Name of a rate of damage: without a look before the test, none is known to be new."""
    grown = [one for one in result.growth if (one.blade, one.kind) == (each.blade, kind)]
    unseen = any(strokes_unseen(result.look(one.blade, "after"), result.log.rows) for one in grown)
    until = f", after {grown[0].chops} chops" if unseen else ""
    if "no_look_before" in {one.by for one in grown}:
        return f"{kind.capitalize()} per {length} of edge, new or old{until}"
    return f"New {kind} per {length} of edge{until}"


def _mass_assumed(result, blade):
    """Whether a tool was weighed and nobody typed how far its mass may be off."""
    held = result.handling.get(blade)
    return held is not None and held.mass_g is not None and "mass_u_g" not in held.model_fields_set


def _behind(result, blade):
    """Whether a tool balances behind the front of its handle."""
    tool = result.tool(blade)
    ahead = tool.balance.balance_from_handle_mm if tool is not None else None
    return ahead is not None and ahead.value < 0


def strike_words(balance):
    """Where to strike so that the hand feels no kick, or why there is no such place to use.

    Parameters
    ----------
    balance : Balance

    Returns
    -------
    str
        A sentence or two.
    """
    if balance.percussion_off:
        return (
            f"Its percussion centre lies {balance.percussion_off}: the hand feels a kick wherever"
            " it strikes."
        )
    if not balance.percussion_at_tip:
        return (
            "Strike at the percussion centre (bar: where it may lie), and the hand feels no kick."
        )
    place = interval_words(*three(balance.percussion_mm))[0]
    return (
        f"Percussion centre (bar: where it may lie): {place} mm from the butt,"
        f" {balance.at_tip_words()}. That is no place to strike with: the hand feels some kick."
    )


def _tool_figures(tool, behind):
    """Swing of one tool, measured where it was, with what was predicted where both are."""
    balance = tool.balance
    ahead = balance.balance_from_handle_mm
    if ahead is None:
        place = ("Balance from the butt", balance.balance_mm, "mm")
    else:
        place = (BEHIND, counted_behind(ahead), "mm") if behind else (AHEAD, ahead, "mm")
    inertia = [(OF_THE_SWING[0], balance.inertia_grip_kg_cm2, "kg cm²")]
    if tool.compared is not None:
        predicted = tool.predicted.balance.inertia_grip_kg_cm2
        inertia.append((OF_THE_SWING[1], predicted, "kg cm²"))
    return [
        (MASS, balance.mass_g, "g"),
        place,
        (
            "Percussion centre from the butt: no kick there",
            balance.percussion_off or balance.percussion_mm,
            "mm",
        ),
        ("Mass behind the blow, as the wood feels it", balance.effective_mass_free_g, "g"),
        *inertia,
        (OF_THE_SWING[2], tool.blow.energy_j, "J"),
        (OF_THE_SWING[3], tool.depth_per_joule, "mm"),
    ]


def _shown(one, unit, units):
    """Value with its unit, and interval, in the units asked for."""
    if isinstance(one, str):
        return [f"nowhere: {one}", ""]
    numbers = three(one)
    if unit == "share":
        numbers, unit = tuple(100 * number for number in numbers), "%"
    if isinstance(unit, float):  # another length of edge than 100 mm
        numbers, unit = tuple(unit * number for number in numbers), ""
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


def per_edge(units):
    """The length of edge that damage is told for, and its share of 100 mm."""
    return ("4 in", 1.016) if units == "inch" else ("10 cm", 1.0)


def depth_line(result, blade):
    """A blade's depth line, or None."""
    lines = result.report.depths.blades if result.report.depths else ()
    return next((line for line in lines if line.name == blade), None)


def three(one):
    """Value and both ends of an estimate."""
    return one.value, one.low, one.high
