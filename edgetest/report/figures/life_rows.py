"""What does a figure of lives and their ratio show: a row for each, as numbers?

Paper and screen draw the same rows, so that they cannot disagree.
"""

from dataclasses import dataclass, replace
from math import isfinite

from edgetest.report.figures.plot_style import ACCENT, INK, reading_words, series
from edgetest.report.letters import shorten
from edgetest.wear.compare.side_names import life_names, ratio_name


@dataclass(frozen=True)
class Mark:
    """How an interval and the value in it are drawn; hollow beyond the last stage."""

    colour: str
    marker: str
    lw: float = 1.6
    ms: float = 5.5
    hollow: bool = False


@dataclass(frozen=True)
class Row:
    """A value with its interval under a name; `of_all` blades of a heat treatment together."""

    name: str
    value: float | None
    low: float | None
    high: float | None
    look: Mark
    of_all: bool = False
    treatment: str = ""

    def ends(self):
        """What of it has a place on a logarithmic axis."""
        known = (end for end in (self.value, self.low, self.high) if end is not None)
        return [end for end in known if isfinite(end) and end > 0]

    @property
    def closed(self):
        """Whether the interval has an upper end; without one it is an arrow to the frame."""
        return self.high is not None and isfinite(self.high)

    def start(self, lowest):
        """Where the interval's line begins; at the frame where it has no lower end."""
        return self.low if self.low is not None and isfinite(self.low) else lowest or self.value

    @property
    def marked(self):
        """The value where it is known, else None."""
        return self.value if self.value is not None and isfinite(self.value) else None


@dataclass(frozen=True)
class Rows:
    """Rows from top to bottom on a logarithmic axis from `low` to `high`."""

    rows: tuple[Row, ...]
    low: float
    high: float
    label: str
    margin: float = 0.0  # a smaller difference does not matter; of ratios alone

    @property
    def shows(self):
        """Whose lives are drawn, for a caption; a heat treatment of one blade has no line."""
        together = {row.treatment for row in self.rows if row.of_all}
        if not together:
            return "life of each blade"
        every = together >= {row.treatment for row in self.rows}
        of = "each heat treatment" if every else "each heat treatment with several"
        return f"life of each blade and, shaded, of {of}"


TOGETHER = Mark(INK, "D", lw=3.0, ms=7)
RATIO = Mark(ACCENT, "D", lw=2.6, ms=7)
LIVES_ROOM, RATIO_ROOM = 1.12, 1.15  # the axis reaches so many times past the outermost end


def life_rows(blades, heat_treatments, groups, reading, *, styles=None):
    """The life of every blade, and of every heat treatment below its blades.

    A heat treatment's one blade is told once, and never as the heat treatment.

    Parameters
    ----------
    blades : sequence of CurveFit
        Blades without a life are left out.
    heat_treatments : sequence of str
        Heat treatment of each blade, same order.
    groups : sequence of dict
        `groups` of a comparison: treatment, blades and life {cuts, low, high}.
    reading : str
        Column name of the reading, for the label.
    styles : dict of str to int, optional
        Series style of each heat treatment; in the order of appearance if not given.

    Returns
    -------
    Rows
    """
    rows = _lives(blades, heat_treatments, groups, styles or {})
    ends = [end for row in rows for end in row.ends()]
    label = _life_label([fit.life for fit in blades if fit.life is not None], reading)
    ends = ends or [1.0]
    return Rows(tuple(rows), min(ends) / LIVES_ROOM, max(ends) * LIVES_ROOM, label)


def ratio_rows(numbers):
    """The ratio of lives, of every pair where there are several, and the margin that matters.

    Parameters
    ----------
    numbers : dict
        As `Comparison.to_dict` tells them.

    Returns
    -------
    Rows
    """
    rows = _ratios(numbers)
    margin = (numbers.get("practical") or {}).get("margin") or 0.0
    ends = [end for row in rows for end in row.ends()]
    return Rows(
        tuple(rows),
        min([*ends, 1 / (1 + margin)]) / RATIO_ROOM,
        max([*ends, 1 + margin]) * RATIO_ROOM,
        "ratio of lives (log scale; 1 is no difference)",
        margin,
    )


def _ratios(numbers):
    """A row for each ratio: the pairs of the first family, or the one there is."""
    pairs, groups = numbers.get("pairs") or [numbers], numbers.get("groups", ())
    family = pairs[0].get("family")
    return [
        Row(
            ratio_name(pair, groups, shorten),
            pair["ratio"]["estimate"],
            pair["ratio"]["low"],
            pair["ratio"]["high"],
            RATIO,
        )
        for pair in pairs
        if pair.get("family") == family
    ]


def _lives(blades, heat_treatments, groups, styles):
    """A row for each life, from top to bottom."""
    order = list(dict.fromkeys([*(g["treatment"] for g in groups), *heat_treatments]))
    rows: list[Row] = []
    names = life_names(groups)
    for number, treatment in enumerate(order):
        drawn = series(styles.get(treatment, number))
        look, above = Mark(drawn.colour, drawn.marker), len(rows)
        for fit, its in zip(blades, heat_treatments, strict=True):
            if its == treatment and fit.life is not None:
                life = fit.life
                own = replace(look, hollow=life.extrapolated)
                ends = (life.read_cuts, life.low or None, life.high)
                rows.append(Row(fit.blade, *ends, own, treatment=treatment))
        for group in groups:
            life = group.get("life")
            said = len(rows) == above + 1 and len(group.get("blades", ())) == 1
            if group["treatment"] == treatment and life and not said:
                known = life["low"] or life["high"] is not None
                ends = (life["cuts"] if known else None, life["low"], life["high"])
                rows.append(Row(names[treatment], *ends, TOGETHER, True, treatment))
    return rows


def _life_label(lives, reading):
    """What the axis of lives says, with the limit that ends them."""
    words, unit = reading_words(reading)
    limit = lives[0].limit if lives else ""
    if not isinstance(limit, str):
        limit = f" to {limit:g} {unit} {words}"
    elif limit:
        limit = f" to leaving “{limit}”"
    return f"life{limit} (cuts, log scale)".replace("  ", " ")
