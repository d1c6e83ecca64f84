"""Show a figure that answers a finger: read off, shown and hidden, looked at more closely."""

import re
from urllib.parse import quote

import streamlit as st

from edgetest.app.downloads import dark_screen
from edgetest.report.figures.screen_spec import SHAPES
from edgetest.report.figures.screen_style import style_of_names

GLYPH_PX = 15

# A finger that moves sideways reads off, one that moves up or down scrolls the page.
CHART_CSS = """
[class*=st-key-chart_] .stVegaLiteChart svg, [class*=st-key-chart_] .stVegaLiteChart canvas {
  touch-action: pan-y; user-select: none; -webkit-user-select: none;
}
[class*=st-key-chart_] [data-testid=stElementToolbar] { display: none; }
[class*=st-key-chart_] form.vega-bindings { display: block; padding: .2rem 0 0; }
[class*=st-key-chart_] form.vega-bindings::after { content: ""; display: block; clear: both; }
[class*=st-key-chart_] .vega-bind { float: left; width: auto !important; margin-right: .9rem; }
[class*=st-key-chart_] .vega-bind label {
  min-height: 44px; min-width: 44px; align-items: center; font-size: 1rem; gap: .5rem !important;
}
[class*=st-key-chart_] .vega-bind-name { min-width: 0 !important; font-size: 1rem !important; }
[class*=st-key-chart_] .vega-bind input[type=checkbox] {
  width: 1.15rem; height: 1.15rem; order: -1;
}
[class*=st-key-chart_] .vega-bind:has(input[type=range]) {
  float: none; clear: left; width: 100% !important;
}
[class*=st-key-chart_] .vega-bind:has(input[type=range]) label { flex-wrap: nowrap; width: 100%; }
[class*=st-key-chart_] .vega-bind:has(input[type=range]) .vega-bind-name { width: 6rem; }
[class*=st-key-chart_] .vega-bind input[type=range] { flex: 1 1 auto; max-width: 32rem !important; }
[class*=st-key-chart_] .vega-bind input[type=range] + span { color: inherit !important; }
[class*=st-key-chart_] .vega-bind input:focus-visible {
  outline: 3px solid currentColor; outline-offset: 3px;
}
"""


def chart(shown, name, *, alt):
    """A figure on the screen that can be read off.

    Parameters
    ----------
    shown : ScreenFigure
    name : str
        Of its place on the page.
    alt : str
        What the figure shows, for who cannot see it.
    """
    key = "chart_" + re.sub(r"[^A-Za-z0-9_-]+", "_", name)
    with st.container(key=key):
        style = style_of_names(dark_screen())
        st.html(f"<style>{style}{CHART_CSS}{_legend_css(key, shown.switches)}</style>")
        st.vega_lite_chart(shown.spec, width="stretch", alt=alt, key=f"{key}.chart")


def _legend_css(key, switches):
    """Each box with the mark of its series before its name; a heat treatment begins a line."""
    rules = []
    lines = any(not switch.heads for switch in switches)
    for place, switch in enumerate(switches, start=1):
        box = f".st-key-{key} .vega-bind:nth-of-type({place})"
        if switch.heads:
            rules += [
                f"{box} {{ clear: {'left' if lines else 'none'}; }}",
                f"{box} .vega-bind-name {{ font-weight: 600 !important; }}",
                f"{box} .vega-bind-name::before {{ content: ''; display: inline-block; "
                f"width: {GLYPH_PX}px; height: {GLYPH_PX}px; margin-right: .45rem; "
                f"vertical-align: -.12em; background: {switch.colour}; "
                f'mask: center / contain no-repeat url("{_glyph(switch)}"); }}',
            ]
    return "\n".join(rules)


def _glyph(switch):
    """The mark of a series as a picture for the style sheet."""
    drawn = _PATHS.get(SHAPES[switch.marker], SHAPES[switch.marker])
    svg = (
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='-1.1 -1.1 2.2 2.2'>"
        f"<path d='{drawn}'/></svg>"
    )
    return f"data:image/svg+xml,{quote(svg)}"


_PATHS = {
    "circle": "M-.85,0A.85,.85 0 1,0 .85,0A.85,.85 0 1,0 -.85,0Z",
    "square": "M-.8,-.8H.8V.8H-.8Z",
    "triangle-up": "M0,-.9L1,.8H-1Z",
    "triangle-down": "M0,.9L1,-.8H-1Z",
    "diamond": "M0,-1L.8,0L0,1L-.8,0Z",
    "cross": "M-.3,-1H.3V-.3H1V.3H.3V1H-.3V.3H-1V-.3H-.3Z",
}
