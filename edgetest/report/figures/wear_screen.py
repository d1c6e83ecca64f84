"""How do wear curves look on a screen, where a finger reads them off?"""

from math import ceil

from edgetest.report.figures.plot_style import axis_label, reading_words
from edgetest.report.figures.screen_spec import (
    ARROW,
    LEFT_OUT,
    LETTERS,
    SHAPES,
    ScreenFigure,
    Switch,
    base_spec,
    number,
    read_off,
    round_step,
    switch_params,
    window_domain,
    window_params,
)
from edgetest.report.figures.screen_style import NAMED
from edgetest.report.figures.wear_together import PLACES

EVERY = 4  # of the paper's points of a curve: 41 of 160, a step of 1/40 of the stages
HEIGHT_PX, ROOM_PX = 440, 44  # of the figure, and above it for two lines of what is read off


def wear_on_screen(together, *, singly=False):
    """The figure of wear curves for a screen.

    Parameters
    ----------
    together : WearTogether
        The same that `plot_wear_together` draws on paper.
    singly : bool
        Whether the single readings are drawn, a marker for each station, besides the means.

    Returns
    -------
    ScreenFigure
        Its data rows name in `k` what they are: "in" and "out" a curve and its band up to the
        last stage and beyond, "reading", "mean", "noted", "bar" a life's interval, "end" its
        ends, "arrow" an open one, "life" the life; in `b` the blade.
    """
    here = NAMED
    looks = together.treatments()
    step = round_step(together.end)
    far = ceil(together.end / step) * step
    switches = tuple(_switches(together, here))
    groups = list(looks)
    seen = ",".join(
        f"all_{groups.index(one.treatment)}&&one_{place}"
        for place, one in enumerate(together.blades)
    )
    spec = {
        **base_spec(HEIGHT_PX, ROOM_PX),
        "data": {"values": [row for i, one in enumerate(together.blades)
                            for row in _rows(i, one, singly)]},
        "transform": [{"filter": f"[{seen}][datum.i]"}] if len(together.blades) > 1 else [],
        "params": [*(switch_params(switches) if len(together.blades) > 1 else ()),
                   *window_params(0, far, step, "cuts")],
        "encoding": {
            "x": {"field": "x", "type": "quantitative", "title": "cuts",
                  "scale": {"domain": window_domain(step), "nice": False, "zero": False}},
            "y": {"field": "y", "type": "quantitative", "title": axis_label(together.reading),
                  "scale": {"domain": [0, {"expr": _top(together)}], "nice": False}},
        },
        "layer": [*_curves(looks, here), *_limit(together, here), *_spots(together, here, singly),
                  *_lives(together, here), *_read_off(together)],
    }  # fmt: skip
    return ScreenFigure(spec, switches)


def _switches(together, here):
    """A box for each heat treatment, those of its blades behind it."""
    if len(together.blades) < 2:
        return
    for treatment, look in together.treatments().items():
        yield Switch(treatment, here.of(look.colour), look.marker, heads=True)
        for one in together.blades:
            if one.treatment == treatment:
                yield Switch(one.marks.blade, here.of(look.colour), look.marker, heads=False)


def _top(together):
    """Upper end of the vertical axis: room for all that lies in the window."""
    tops = ",".join(f"{top:.4g}" for top in together.tops)
    place = f"{PLACES}/{together.end:.6g}"
    part = f"slice([{tops}],floor(min(start,{together.end:.6g})*{place}),ceil(stop*{place})+1)"
    return f"1.05*extent({part})[1]"


def _rows(i, drawn, singly):
    """Everything of one blade, a row for each mark."""
    marks = drawn.marks
    own = {"i": i, "b": marks.blade, "t": drawn.treatment}
    for kind, piece in (("in", marks.inside), ("out", marks.beyond)):
        thin = piece.thinned(EVERY) if piece is not None else None
        for values in zip(thin.cuts, thin.value, thin.low, thin.high, strict=True) if thin else ():
            x, y, low, high = map(number, values)
            if y is not None:
                yield {**own, "k": kind, "x": x, "y": y, "l": low, "h": high}
    for spots in marks.readings if singly else ():
        for x, y in zip(spots.cuts, spots.value, strict=True):
            if number(y) is not None:
                said = f"station {spots.name}".strip()
                yield {**own, "k": "reading", "x": number(x), "y": number(y), "m": spots.marker,
                       "s": said}  # fmt: skip
    for x, y in zip(marks.means.cuts, marks.means.value, strict=True):
        yield {**own, "k": "mean", "x": number(x), "y": number(y), "s": marks.means.name}
    for each in marks.noted:
        ends = {"y": number(each.high), "l": number(each.low), "h": number(each.high)}
        yield {**own, "k": "noted", "x": number(each.cuts), **ends, "m": each.kind, "s": each.kind}
    if marks.life is not None:
        yield from _life_rows(own, drawn)


def _life_rows(own, drawn):
    """The life of one blade on the limit line."""
    marks, bar = drawn.marks, drawn.marks.life
    own = {**own, "y": number(marks.limit), "s": f"life {drawn.life} cuts"}
    if bar.low is not None:
        yield {**own, "k": "bar", "x": number(bar.low), "h": number(bar.high)}
        yield {**own, "k": "end", "x": number(bar.low)}
    if bar.closed:
        yield {**own, "k": "end", "x": number(bar.high)}
    else:
        yield {**own, "k": "arrow", "x": number(marks.end)}
    if bar.value is not None:
        yield {**own, "k": "life", "x": number(bar.value), "m": "hollow" if bar.hollow else ""}


def _only(*kinds):
    """Rows of these kinds alone."""
    return [{"filter": {"field": "k", "oneOf": list(kinds)}}]


def _by_treatment(looks, here):
    """Colour by heat treatment."""
    return {"field": "t", "type": "nominal", "legend": None,
            "scale": {"domain": list(looks),
                      "range": [here.of(look.colour) for look in looks.values()]}}  # fmt: skip


def _shape_by_treatment(looks):
    """Marker by heat treatment, so that no eye needs the colour."""
    return {"field": "t", "type": "nominal", "legend": None,
            "scale": {"domain": list(looks),
                      "range": [SHAPES[look.marker] for look in looks.values()]}}  # fmt: skip


def _curves(looks, here):
    """Bands and curves; dashed beyond the last stage."""
    colour = _by_treatment(looks, here)
    detail = [{"field": "i"}, {"field": "k"}]
    yield {
        "transform": _only("in", "out"),
        "mark": {"type": "area", "clip": True, "aria": False},
        "encoding": {
            "y": {"field": "l", "type": "quantitative"}, "y2": {"field": "h"},
            "color": colour, "detail": detail,
            "opacity": {"condition": {"test": "datum.k=='out'", "value": 0.08}, "value": 0.15},
        },
    }  # fmt: skip
    yield {
        "transform": _only("in", "out"),
        "mark": {"type": "line", "clip": True, "strokeWidth": 2, "aria": False},
        "encoding": {
            "color": colour, "detail": detail,
            "strokeDash": {"condition": {"test": "datum.k=='out'", "value": [5, 4]},
                           "value": [1, 0]},
        },
    }  # fmt: skip


def _limit(together, here):
    """The line at which the edge counts as dull, with its name."""
    if together.limit is None:
        return
    at = {"values": [{"limit": number(together.limit)}]}
    unit = reading_words(together.reading)[1]
    y = {"field": "limit", "type": "quantitative"}
    yield {
        "data": at,
        "transform": [],
        "mark": {"type": "rule", "strokeDash": [2, 3], "strokeWidth": 1.5, "color": here.accent,
                 "aria": False},
        "encoding": {"x": {"value": 0}, "x2": {"value": "width"}, "y": y},
    }  # fmt: skip
    yield {
        "data": at,
        "mark": {"type": "text", "align": "left", "baseline": "bottom", "dx": 5, "dy": -4,
                 "color": here.accent, "fontSize": LETTERS, "aria": False,
                 "text": f"limit {together.limit:g} {unit}".rstrip()},
        "encoding": {"x": {"value": 0}, "y": y},
    }  # fmt: skip


def _spots(together, here, singly):
    """Readings, means, bounds and what was left out."""
    looks = together.treatments()
    colour, shape = _by_treatment(looks, here), _shape_by_treatment(looks)
    stations = {spots.marker: None for one in together.blades for spots in one.marks.readings}
    for marker in stations if singly else ():
        yield {
            "transform": [{"filter": f"datum.k=='reading'&&datum.m=='{marker}'"}],
            "mark": {"type": "point", "shape": SHAPES[marker], "size": 34, "strokeWidth": 1,
                     "filled": False, "opacity": 0.7, "clip": True, "aria": False},
            "encoding": {"color": colour},
        }  # fmt: skip
    yield {
        "transform": _only("mean"),
        "mark": {"type": "point", "filled": True, "size": 62, "opacity": 1, "stroke": here.paper,
                 "strokeWidth": 1, "clip": True, "aria": False},
        "encoding": {"fill": colour, "shape": shape},
    }  # fmt: skip
    for kind, path in (("left out", LEFT_OUT), ("at least", SHAPES["^"]), ("at most", SHAPES["v"])):
        crossed = kind == "left out"
        yield {
            "transform": [{"filter": f"datum.k=='noted'&&datum.m=='{kind}'"}],
            "mark": {"type": "point", "shape": path, "size": 70, "strokeWidth": 1.6, "opacity": 1,
                     "filled": False, "clip": True, "aria": False,
                     **({"color": here.grey} if crossed else {})},
            "encoding": {} if crossed else {"color": colour},
        }  # fmt: skip
    yield {
        "transform": [{"filter": "datum.k=='noted'&&datum.m=='between'"}],
        "mark": {"type": "rule", "strokeWidth": 1.6, "strokeCap": "square", "clip": True,
                 "aria": False},
        "encoding": {"y": {"field": "l", "type": "quantitative"}, "y2": {"field": "h"},
                     "color": colour},
    }  # fmt: skip


def _lives(together, here):
    """Lives on the limit line: interval, its ends or arrow, and the life; hollow beyond."""
    looks = together.treatments()
    colour, shape = _by_treatment(looks, here), _shape_by_treatment(looks)
    yield {
        "transform": _only("bar"),
        "mark": {"type": "rule", "clip": True, "strokeWidth": 3, "aria": False},
        "encoding": {"x2": {"field": "h"}, "color": colour},
    }
    point = {"type": "point", "opacity": 1, "clip": True, "aria": False}
    yield {
        "transform": _only("end"),
        "mark": {**point, "shape": "M0,-1L0,1", "size": 90, "strokeWidth": 2},
        "encoding": {"stroke": colour},
    }
    yield {
        "transform": _only("arrow"),
        "mark": {**point, "shape": ARROW, "size": 90, "filled": True},
        "encoding": {"fill": colour},
    }
    hollow = {"test": "datum.m=='hollow'", "value": here.paper}
    yield {
        "transform": _only("life"),
        "mark": {**point, "size": 100, "strokeWidth": 1.8},
        "encoding": {"shape": shape, "stroke": {"value": here.ink},
                     "fill": {**colour, "condition": hollow}},
    }  # fmt: skip


def _read_off(together):
    """What lies nearest to finger or mouse, in words."""
    unit = reading_words(together.reading)[1]
    tail = f"+'{' ' + unit if unit else ''}'"
    value = f"format(datum.y,'.3r'){tail}"
    band = f"{value}+' ('+format(datum.l,'.3r')+' to '+format(datum.h,'.3r')+')'"
    says = (
        f"datum.k=='life'||datum.k=='arrow'?datum.s:"
        f"format(datum.x,'.0f')+' cuts: '+(datum.k=='in'||datum.k=='out'?{band}:"
        f"datum.k=='noted'&&datum.m=='between'?format(datum.l,'.3r')+' to '+{value}:"
        f"datum.k=='noted'?datum.s+' '+{value}:{value}+', '+datum.s)"
    )
    inside = "datum.x>=min(start,stop)&&datum.x<=max(start,stop)"
    near = [*_only("in", "out", "mean", "reading", "noted", "life", "arrow"), {"filter": inside}]
    return read_off(f"[datum.b+', '+datum.t,{says}]", near=near, inside=[{"filter": inside}])
