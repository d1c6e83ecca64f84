"""What do all figures for the screen have in common, as Vega-Lite describes them?

A figure is a plain Vega-Lite specification, which the browser draws; nothing is worked out
there but the place of a mark.
"""

from dataclasses import dataclass
from math import isfinite
from typing import Any

from edgetest.report.figures.screen_style import NAMED

# Vega's names of the markers of `plot_style`; the last two are paths in a square from -1 to 1.
SHAPES = {
    "o": "circle",
    "s": "square",
    "^": "triangle-up",
    "D": "diamond",
    "v": "triangle-down",
    "P": "cross",
    "X": "M-1,-.5L-.5,-1L0,-.5L.5,-1L1,-.5L.5,0L1,.5L.5,1L0,.5L-.5,1L-1,.5L-.5,0Z",
    "*": "M0,-1L.25,-.3L1,-.3L.4,.15L.6,.9L0,.45L-.6,.9L-.4,.15L-1,-.3L-.25,-.3Z",
}
LEFT_OUT = "M-.7,-.7L.7,.7M-.7,.7L.7,-.7"
ARROW = "M-1,-.7L.4,0L-1,.7Z"
LETTERS, SMALL, LINE_PX = 13, 12, 18
AIM = "near"  # the point that is read off
INVITATION = "Move along the figure to read it off"
STEPS = 80  # of a slider from one end to the other, at most
DIGITS = 6  # of every number that goes to the screen


@dataclass(frozen=True)
class Switch:
    """A box that shows or hides a series; `heads` that of a whole heat treatment."""

    name: str
    colour: str
    marker: str
    heads: bool


@dataclass(frozen=True)
class ScreenFigure:
    """A figure for the screen: what the browser draws, and the boxes below it, in their order."""

    spec: dict[str, Any]
    switches: tuple[Switch, ...] = ()


def number(value):
    """A number as it goes to the screen; None where there is none."""
    if value is None or not isfinite(value):
        return None
    return float(f"{value:.{DIGITS}g}")


def config(here):
    """Colours and letters of a figure on a screen of these `Shades`."""
    return {
        "background": "transparent",
        "view": {"stroke": None},
        "axis": {
            "labelColor": here.ink, "titleColor": here.ink, "labelFontSize": SMALL,
            "titleFontSize": LETTERS, "titleFontWeight": "normal", "gridColor": here.faint,
            "gridOpacity": 0.55, "domain": True, "domainColor": here.grey, "ticks": True,
            "tickColor": here.grey, "tickSize": 4, "labelPadding": 4, "titlePadding": 8,
        },
        "text": {"color": here.ink, "fontSize": LETTERS},
    }  # fmt: skip


def base_spec(height_px, top_px):
    """What every figure has: its height, room above it for words, how it is drawn."""
    return {
        "usermeta": {"embedOptions": {"renderer": "svg"}},  # which takes the named colours
        "config": config(NAMED),
        "height": height_px + top_px,
        "padding": {"top": top_px, "left": 4, "right": 14, "bottom": 6},
    }


def switch_params(switches):
    """A box for each switch, all ticked: "all_0" of a heat treatment, "one_0" of a blade."""
    counts = {True: 0, False: 0}
    for switch in switches:
        word = "all" if switch.heads else "one"
        yield {
            "name": f"{word}_{counts[switch.heads]}",
            "value": True,
            "bind": {"input": "checkbox", "name": switch.name},
        }
        counts[switch.heads] += 1


def round_step(span):
    """A round step, at least an 80th of the way: 1, 2, 5, 10, 20 …"""
    powers = (10.0**power for power in range(-3, 9))
    return next(s * power for power in powers for s in (1, 2, 5) if span / (s * power) <= STEPS)


def window_params(start, end, step, unit):
    """Two sliders, from and to: a closer look at a part of the horizontal axis."""
    for name, words, at in (("start", "from", start), ("stop", "to", end)):
        yield {
            "name": name,
            "value": at,
            "bind": {
                "input": "range", "min": start, "max": end, "step": step,
                "name": f"{words}, {unit}",
            },
        }  # fmt: skip


def window_domain(step):
    """Ends of the horizontal axis as the two sliders stand, never closer than a step."""
    return [
        {"expr": f"min(start, stop - {step})"},
        {"expr": f"max(stop, start + {step})"},
    ]


def read_off(says, *, near=(), inside=(), two_lines=True):
    """What lies nearest to finger or mouse: a ring about it, a line down, its numbers above.

    Parameters
    ----------
    says : str
        Vega's expression of what is told of a row, one line or a list of two.
    near : sequence of dict
        Filters of the rows that can be read off.
    inside : sequence of dict
        Filters of what of them may be told: nothing that lies beyond the axis.
    two_lines : bool
        Whether `says` is two lines.

    Returns
    -------
    list of dict
        Layers of a figure whose rows lie at `x` and `y`.
    """
    chosen = [{"filter": {"param": AIM, "empty": False}}, *inside]
    text = {"type": "text", "align": "left", "baseline": "bottom", "aria": False,
            "fontSize": LETTERS + 1, "lineHeight": LINE_PX, "limit": {"expr": "width"}}  # fmt: skip
    last = -6
    first = last - LINE_PX if two_lines else last
    return [
        {
            "params": [{
                "name": AIM,
                "select": {"type": "point", "on": "pointermove,pointerdown", "nearest": True,
                           "clear": "dblclick", "toggle": False},
            }],
            "transform": list(near),
            "mark": {"type": "point", "size": 60, "opacity": 0, "aria": False, "tooltip": None},
        },
        {
            "transform": chosen,
            "mark": {"type": "rule", "color": NAMED.grey, "strokeWidth": 1, "aria": False},
            "encoding": {"y": {"value": "height"}, "y2": {"value": 0}},
        },
        {
            "transform": chosen,
            "mark": {"type": "point", "size": 170, "strokeWidth": 2, "stroke": NAMED.accent,
                     "opacity": 1, "aria": False},
        },
        {
            "transform": [*chosen, {"calculate": says, "as": "says"}],
            "mark": {**text, "fontWeight": "bold", "color": NAMED.ink},
            "encoding": {"x": {"value": 0}, "y": {"value": first}, "text": {"field": "says"}},
        },
        {
            "data": {"values": [{}]},
            "transform": [{"filter": f"!length(data('{AIM}_store'))"}],
            "mark": {**text, "color": NAMED.grey, "text": INVITATION},
            "encoding": {"x": {"value": 0}, "y": {"value": last}},
        },
    ]  # fmt: skip
