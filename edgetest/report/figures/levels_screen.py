"""How does the ratio of lives to other limits look on a screen, where a finger reads it off?"""

from edgetest.report.figures.plot_style import log_ticks
from edgetest.report.figures.screen_spec import (
    SHAPES,
    ScreenFigure,
    base_spec,
    number,
    read_off,
)
from edgetest.report.figures.screen_style import NAMED
from edgetest.report.wording import ratio_interval

HEIGHT_PX, ROOM_PX = 300, 26


def levels_on_screen(band):
    """The figure of the ratio against the limit for a screen.

    Parameters
    ----------
    band : LevelBand
        The same that `plot_ratio_by_limit` draws on paper, from `level_band`.

    Returns
    -------
    ScreenFigure
        Logarithmic both ways; the dashed line is no difference, the dotted one the study's limit.
    """
    low, high = min(*band.low, 1.0), max(*band.high, 1.0)
    spec = {
        **base_spec(HEIGHT_PX, ROOM_PX),
        "data": {"values": list(_rows(band))},
        "encoding": {
            "x": {**_axis("x", *band.ends), "title": band.label},
            "y": {**_axis("y", low, high), "title": list(band.of_pair)},
        },
        "layer": [*_lines(band), *_band(), *read_off("datum.says", two_lines=False)],
    }
    return ScreenFigure(spec)


def _rows(band):
    """The ratio to each limit, with what is said of it."""
    for values in zip(band.at, band.value, band.low, band.high, strict=True):
        x, y, low, high = map(number, values)
        value, interval = ratio_interval(*values[1:])
        yield {"x": x, "y": y, "l": low, "h": high,
               "says": f"to {x:.3g}: {value} ({interval})"}  # fmt: skip


def _axis(field, low, high):
    """A logarithmic axis with ticks that a maker would say."""
    ticks = [number(tick) for tick in log_ticks(low, high)]
    return {
        "field": field, "type": "quantitative",
        "scale": {"type": "log", "domain": [number(low), number(high)], "nice": False},
        "axis": {"values": ticks, "format": "~r", "labelOverlap": "greedy"},
    }  # fmt: skip


def _lines(band):
    """No difference, and the study's own limit."""
    whole = {"x": {"value": 0}, "x2": {"value": "width"}}
    yield {
        "data": {"values": [{"one": 1}]},
        "mark": {"type": "rule", "strokeDash": [5, 4], "color": NAMED.grey, "aria": False},
        "encoding": {**whole, "y": {"field": "one", "type": "quantitative"}},
    }
    if band.limit is not None:
        yield {
            "data": {"values": [{"limit": number(band.limit)}]},
            "mark": {"type": "rule", "strokeDash": [2, 3], "color": NAMED.ink, "aria": False},
            "encoding": {
                "x": {"field": "limit", "type": "quantitative"},
                "y": {"value": 0}, "y2": {"value": "height"},
            },
        }  # fmt: skip


def _band():
    """The ratio with its band."""
    yield {
        "mark": {"type": "area", "color": NAMED.accent, "opacity": 0.2, "aria": False},
        "encoding": {"y": {"field": "l", "type": "quantitative"}, "y2": {"field": "h"}},
    }
    yield {"mark": {"type": "line", "color": NAMED.accent, "strokeWidth": 2, "aria": False}}
    yield {
        "mark": {"type": "point", "shape": SHAPES["D"], "filled": True, "opacity": 1, "size": 70,
                 "color": NAMED.accent, "aria": False},
    }  # fmt: skip
