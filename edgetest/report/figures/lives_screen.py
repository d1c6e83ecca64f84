"""How do lives and their ratio look on a screen, where a finger reads them off?"""

from math import ceil, floor

from edgetest.report.figures.plot_style import log_ticks
from edgetest.report.figures.screen_spec import (
    ARROW,
    LETTERS,
    SHAPES,
    SMALL,
    ScreenFigure,
    Switch,
    base_spec,
    number,
    round_step,
    switch_params,
    window_domain,
    window_params,
)
from edgetest.report.figures.screen_style import NAMED
from edgetest.report.wording import life_interval, ratio_interval

ROW_PX, FOOT_PX = 44, 58  # a row with its words above its mark; the axis below
NUMBERS_PX = 130  # what "1.55 (1.34 to 1.81)" takes beside a name
LIFE = "life, cuts"
MARGIN_PX = 24  # above the ratio, for what its strip means


def lives_on_screen(drawn):
    """The figure of lives for a screen: a row for each, its numbers beside its name.

    Parameters
    ----------
    drawn : Rows
        The same that `plot_lives` draws on paper, from `life_rows`.

    Returns
    -------
    ScreenFigure
        Its boxes show and hide heat treatments.
    """
    treatments = list(dict.fromkeys(row.treatment for row in drawn.rows))
    looks = {row.treatment: row.look for row in drawn.rows if not row.of_all}
    switches = tuple(
        Switch(name, NAMED.of(looks[name].colour), looks[name].marker, heads=True)
        for name in treatments if name in looks
    )  # fmt: skip
    if len(switches) < 2:
        switches = ()
    return ScreenFigure(_spec(drawn, switches, _life_words, LIFE), switches)


def ratio_on_screen(drawn):
    """The figure of the ratio of lives for a screen.

    Parameters
    ----------
    drawn : Rows
        The same that `plot_ratio` draws on paper, from `ratio_rows`.

    Returns
    -------
    ScreenFigure
        The dashed line is no difference, the shaded strip a difference too small to matter.
    """
    return ScreenFigure(_spec(drawn, (), _ratio_words, "ratio of lives"))


def _life_words(row):
    """A life and its interval in words, as its row shows them."""
    life = {"cuts": row.marked, "low": row.low, "high": row.high if row.closed else None}
    return _joined(*life_interval(life))


def _ratio_words(row):
    """A ratio and its interval in words."""
    return _joined(*ratio_interval(row.marked, row.low, row.high if row.closed else None))


def _joined(value, interval):
    return f"{value} ({interval})" if interval else value


def _spec(drawn, switches, words, what):
    """Rows on a logarithmic axis, as Vega-Lite describes them."""
    names = [switch.name for switch in switches]
    unit = "cuts" if what == LIFE else ""
    data = [_datum(place, row, drawn, words) for place, row in enumerate(drawn.rows)]
    seen = ",".join(f"all_{place}" for place in range(len(names)))
    ticks = [number(tick) for tick in log_ticks(drawn.low, drawn.high)]
    step = round_step(drawn.high - drawn.low)
    ends = floor(drawn.low / step) * step or number(drawn.low), ceil(drawn.high / step) * step
    for one, row in zip(data, drawn.rows, strict=True):
        one["i"] = names.index(row.treatment) if row.treatment in names else -1
    return {
        **base_spec(ROW_PX * len(data) + FOOT_PX, MARGIN_PX if drawn.margin else 6),
        "data": {"values": data},
        "transform": [{"filter": f"datum.i<0||[{seen}][datum.i]"}] if names else [],
        "params": [*switch_params(switches), *(window_params(*ends, step, unit) if unit else ())],
        "encoding": {
            "x": {
                "field": "start", "type": "quantitative", "title": drawn.label,
                "scale": {"type": "log", "nice": False,
                          "domain": window_domain(step) if unit
                          else [number(drawn.low), number(drawn.high)]},
                "axis": {"values": ticks, "format": "~r", "labelOverlap": "greedy"},
            },
            "y": {
                "field": "row", "type": "quantitative", "axis": None,
                "scale": {"domain": [len(data) - 0.35, -0.65], "nice": False, "zero": False},
            },
        },
        "layer": [*_margin(drawn), *_margin_words(drawn), *_intervals(data), *_words(), _aim(what)],
    }  # fmt: skip


def _datum(place, row, drawn, words):
    """One row; `open` where its interval has no upper end, `hollow` beyond the last stage."""
    return {
        "row": place,
        "name": row.name,
        "says": words(row),
        "start": number(row.start(drawn.low)),
        "stop": number(row.high if row.closed else drawn.high),
        "at": number(row.marked),
        "low": number(row.low),
        "high": number(row.high) if row.closed else None,
        "open": not row.closed,
        "hollow": row.look.hollow,
        "all": row.of_all,
        "colour": NAMED.of(row.look.colour),
        "shape": SHAPES[row.look.marker],
        "wide": 2 * row.look.lw,
    }


def _margin(drawn):
    """The strip of differences that do not matter, and the line of no difference."""
    if not drawn.margin:
        return
    low, high = number(1 / (1 + drawn.margin)), number(1 + drawn.margin)
    for mark, ends in (
        ({"type": "rect", "color": NAMED.faint, "opacity": 0.6}, {"a": low, "b": high}),
        ({"type": "rule", "color": NAMED.ink, "strokeDash": [5, 4]}, {"a": 1}),
    ):
        yield {
            "data": {"values": [ends]},
            "transform": [],
            "mark": {**mark, "aria": False},
            "encoding": {
                "x": {"field": "a", "type": "quantitative"},
                **({"x2": {"field": "b"}} if "b" in ends else {}),
                "y": {"value": 0}, "y2": {"value": "height"},
            },
        }  # fmt: skip


def _margin_words(drawn):
    """What the strip means, above it."""
    if drawn.margin:
        yield {
            "data": {"values": [{"a": 1}]},
            "transform": [],
            "mark": {"type": "text", "baseline": "bottom", "color": NAMED.grey, "aria": False,
                     "fontSize": SMALL,
                     "text": f"within {100 * drawn.margin:g} %: too little to matter"},
            "encoding": {"x": {"field": "a", "type": "quantitative"}, "y": {"value": -4}},
        }  # fmt: skip


def _intervals(data):
    """Intervals with their marks; an arrow where one has no upper end."""
    own = {"scale": None, "legend": None, "type": "nominal"}
    if any(row["all"] for row in data):
        yield {
            "transform": [{"filter": "datum.all"},
                          {"calculate": "datum.row-0.6", "as": "above"},
                          {"calculate": "datum.row+0.32", "as": "below"}],
            "mark": {"type": "rect", "color": NAMED.faint, "opacity": 0.35, "aria": False},
            "encoding": {"x": {"value": 0}, "x2": {"value": "width"},
                         "y": {"field": "above", "type": "quantitative"},
                         "y2": {"field": "below"}},
        }  # fmt: skip
    yield {
        "mark": {"type": "rule", "clip": True, "aria": False},
        "encoding": {"x2": {"field": "stop"}, "color": {"field": "colour", **own},
                     "strokeWidth": {"field": "wide", **own, "type": "quantitative"}},
    }  # fmt: skip
    yield {
        "transform": [{"filter": "datum.open"}],
        "mark": {"type": "point", "shape": ARROW, "size": 110, "filled": True, "opacity": 1,
                 "clip": True,
                 "aria": False},
        "encoding": {"x": {"field": "stop", "type": "quantitative"},
                     "color": {"field": "colour", **own}},
    }  # fmt: skip
    hollow = {"test": "datum.hollow", "value": NAMED.paper}
    rim = {"test": "!datum.hollow", "value": NAMED.paper}
    yield {
        "transform": [{"filter": "isValid(datum.at)"}],
        "mark": {"type": "point", "opacity": 1, "strokeWidth": 1.6, "clip": True, "aria": False},
        "encoding": {
            "x": {"field": "at", "type": "quantitative"},
            "shape": {"field": "shape", **own},
            "size": {"condition": {"test": "datum.wide>4", "value": 170}, "value": 110},
            "fill": {"condition": hollow, "field": "colour", **own},
            "stroke": {"condition": rim, "field": "colour", **own},
        },
    }  # fmt: skip


def _words():
    """Name and numbers of each row above its mark."""
    text = {"type": "text", "baseline": "bottom", "dy": -9, "fontSize": LETTERS, "aria": False}
    for side, field, align in ((4, "name", "left"), ("width", "says", "right")):
        for test, weight in (("datum.all", "bold"), ("!datum.all", "normal")):
            yield {
                "transform": [{"filter": test}],
                "mark": {**text, "align": align, "color": NAMED.ink, "fontWeight": weight,
                         "dx": -4 if align == "right" else 0,
                         **({"limit": {"expr": f"width-{NUMBERS_PX}"}} if field == "name" else {})},
                "encoding": {"x": {"value": side}, "text": {"field": field}},
            }  # fmt: skip


def _aim(what):
    """The whole row answers finger and mouse with its numbers."""
    return {
        "transform": [{"calculate": "datum.row-0.6", "as": "above"},
                      {"calculate": "datum.row+0.32", "as": "below"}],
        "mark": {"type": "rect", "opacity": 0, "aria": False},
        "encoding": {
            "x": {"value": 0}, "x2": {"value": "width"},
            "y": {"field": "above", "type": "quantitative"}, "y2": {"field": "below"},
            "tooltip": [{"field": "name", "title": "title"}, {"field": "says", "title": what}],
        },
    }  # fmt: skip
