"""Two points set on a photograph by dragging: a region, two scale marks, a stretch of edge."""

import base64

import streamlit as st

_HTML = """
<figure class="frame">
  <svg class="board" tabindex="0" role="group" xmlns="http://www.w3.org/2000/svg">
    <image class="photo" x="0" y="0" preserveAspectRatio="none"></image>
    <g class="before"></g><g class="shape"></g>
  </svg>
  <figcaption class="hint" aria-live="polite"></figcaption>
</figure>
"""

_CSS = """
.frame { margin: 0; font: 1rem/1.4 var(--st-font, sans-serif); color: var(--st-text-color); }
.board { width: 100%; height: auto; display: block; touch-action: none; cursor: crosshair;
  background: #101418; border-radius: 4px; }
.board:focus-visible { outline: 3px solid var(--st-primary-color); outline-offset: 2px; }
.hint { padding-top: .4rem; opacity: .85; font-variant-numeric: tabular-nums; }
.rim { stroke: #101418; fill: none; } .line { stroke: #ffaa3c; fill: none; }
.pane { fill: #ffaa3c; fill-opacity: .14; } .old { stroke: #78dcff; fill: none; }
.grip { fill: #ffffff; stroke: #101418; cursor: grab; }
.grip:focus { fill: #ffaa3c; outline: none; }
.touch { fill: transparent; cursor: grab; }
"""

_JS = """
const NS = "http://www.w3.org/2000/svg";
function make(parent, name, attributes) {
  const node = document.createElementNS(NS, name);
  for (const key in attributes) node.setAttribute(key, attributes[key]);
  parent.appendChild(node);
  return node;
}
export default function (component) {
  const { data, parentElement, setStateValue } = component;
  const svg = parentElement.querySelector(".board");
  const shape = parentElement.querySelector(".shape");
  const before = parentElement.querySelector(".before");
  const hint = parentElement.querySelector(".hint");
  const { width, height, kind, words, dot } = data;
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.setAttribute("aria-label", words);
  const photo = parentElement.querySelector(".photo");
  photo.setAttribute("href", data.picture);
  photo.setAttribute("width", width);
  photo.setAttribute("height", height);
  // Strokes and grips keep their size on the screen, however large the photograph is.
  const pixel = () => width / Math.max(svg.getBoundingClientRect().width, 1);
  const inside = (p) => [
    Math.min(Math.max(p[0], 0), height - 1), Math.min(Math.max(p[1], 0), width - 1)];
  const mine = data.name + "|" + kind;
  if (svg.name !== mine) { svg.name = mine; svg.points = data.points; }
  let points = svg.points;
  const at = (event) => {
    const box = svg.getBoundingClientRect();
    return inside([(event.clientY - box.top) * height / box.height - 0.5,
                   (event.clientX - box.left) * width / box.width - 0.5]);
  };
  function outline(parent, a, b, style, wide) {
    const [x0, y0, x1, y1] = [a[1], a[0], b[1], b[0]];
    if (kind === "region") {
      make(parent, "rect", { x: Math.min(x0, x1), y: Math.min(y0, y1), class: style,
        width: Math.abs(x1 - x0), height: Math.abs(y1 - y0), "stroke-width": wide });
    } else if (kind === "sides") {
      for (const y of [y0, y1]) make(parent, "line", { x1: 0, x2: width, y1: y, y2: y,
        class: style, "stroke-width": wide / 2 });
    } else {
      make(parent, "line", { x1: x0, y1: y0, x2: x1, y2: y1, class: style, "stroke-width": wide });
    }
  }
  function draw(focus) {
    shape.replaceChildren();
    before.replaceChildren();
    const unit = pixel();
    for (const [a, b] of data.before || []) outline(before, a, b, "old", 1.5 * unit);
    if (!points) { hint.textContent = words; return; }
    const [a, b] = points;
    if (kind === "region") make(shape, "rect", { class: "pane", x: Math.min(a[1], b[1]),
      y: Math.min(a[0], b[0]), width: Math.abs(b[1] - a[1]), height: Math.abs(b[0] - a[0]) });
    outline(shape, a, b, "rim", 5 * unit);
    outline(shape, a, b, "line", 2.4 * unit);
    points.forEach((p, index) => {
      const ball = make(shape, "circle", { cx: p[1], cy: p[0], r: 22 * unit, class: "touch" });
      const grip = make(shape, "circle", { cx: p[1], cy: p[0], r: 7 * unit, class: "grip",
        "stroke-width": 2 * unit, tabindex: 0, role: "slider", "aria-valuenow": Math.round(p[1]),
        "aria-valuetext": `row ${p[0].toFixed(0)}, column ${p[1].toFixed(0)}`,
        "aria-label": `point ${index + 1}; arrow keys move it` });
      for (const part of [ball, grip]) part.onpointerdown = (event) => take(event, index);
      grip.onkeydown = (event) => nudge(event, index);
      if (focus === index) grip.focus();
    });
    if (kind === "sides") {
      hint.textContent = `${data.named}. Drag an end to move it, or use the arrow keys.`;
      return;
    }
    hint.textContent = `${data.named}: ${Math.hypot(b[0] - a[0], b[1] - a[1]).toFixed(1)} px `
      + (kind === "region" ? "across the corners" : "apart")
      + ". Drag an end to move it, or use the arrow keys.";
  }
  function tell() {
    svg.points = points;
    setStateValue("marked", { points, pixel: pixel() });
  }
  let held = null;
  function take(event, index) {
    event.stopPropagation(); event.preventDefault();
    held = index; svg.setPointerCapture(event.pointerId);
  }
  svg.onpointerdown = (event) => {
    const start = at(event);
    points = [start, start.slice()]; held = 1;
    svg.setPointerCapture(event.pointerId);
    event.preventDefault();
  };
  svg.onpointermove = (event) => {
    if (held === null) return;
    points = points.map((p, index) => (index === held ? at(event) : p));
    draw();
  };
  svg.onpointerup = () => {
    if (held === null) return;
    held = null;
    const far = Math.hypot(points[0][0] - points[1][0], points[0][1] - points[1][1]);
    if (far < 3 * pixel()) { points = svg.points; draw(); return; }
    draw(); tell();
  };
  svg.onpointercancel = () => { held = null; points = svg.points; draw(); };
  let waiting = null;
  function nudge(event, index) {
    const step = event.shiftKey ? 10 : 1;
    const by = { ArrowUp: [-step, 0], ArrowDown: [step, 0], ArrowLeft: [0, -step],
      ArrowRight: [0, step] }[event.key];
    if (!by) return;
    event.preventDefault();
    points = points.map((p, k) => (k === index ? inside([p[0] + by[0], p[1] + by[1]]) : p));
    draw(index);
    clearTimeout(waiting);
    waiting = setTimeout(tell, 350);
  }
  svg.onkeydown = (event) => {
    if (event.target !== svg || event.key !== "Enter" || points) return;
    points = [[height * 0.3, width * 0.3], [height * 0.7, width * 0.7]];
    draw(0); tell();
  };
  draw();
}
"""

_WORDS = {
    "region": "Drag over the part of the picture that is to be measured.",
    "marks": "Drag from one mark of the scale to another.",
    "bar": "Drag from one end of the scale bar to the other.",
    "stretch": "Drag along the stretch of edge that is to be left out.",
    "sides": "Drag from the upper side of the bright line to the lower side.",
}
_NAMED = {"region": "Region", "marks": "Marks", "bar": "Ends", "stretch": "Stretch",
          "sides": "Both sides are set"}  # fmt: skip


@st.cache_resource(show_spinner=False)
def _board():
    """The component, registered once."""
    return st.components.v2.component("edgetest_marking", html=_HTML, css=_CSS, js=_JS)


def mark(jpeg, width_px, height_px, *, name, kind, points=None, before=(), key):
    """Two points that a person drags on a photograph, in pixels of the photograph itself.

    Enter on the picture sets two points to begin with; arrow keys move them by one pixel,
    with Shift by ten.

    Parameters
    ----------
    jpeg : bytes
        The picture to show; smaller than the photograph, or as large.
    width_px, height_px : int
        Size of the photograph itself.
    name : str
        Of the photograph; another one starts anew.
    kind : {"region", "marks", "bar", "stretch", "sides"}
    points : pair of (row, column), optional
        Where the points stand at first.
    before : sequence of pairs of (row, column)
        What is in force already, drawn thin.
    key : str

    Returns
    -------
    pair of [row, column], or None
        The points.
    float
        Pixels of the photograph that one pixel of the screen covers: no point is set more
        closely than that.
    """
    data = {
        "picture": "data:image/jpeg;base64," + base64.b64encode(jpeg).decode(),
        "width": width_px,
        "height": height_px,
        "name": name,
        "kind": kind,
        "points": points,
        "before": [list(pair) for pair in before],
        "words": f"{_WORDS[kind]} With the keyboard: Enter, then Tab and the arrow keys.",
        "named": _NAMED[kind],
    }
    nothing = {"points": points, "pixel": 1.0}
    result = _board()(data=data, key=key, default={"marked": nothing}, on_marked_change=_changed)
    return result.marked["points"], result.marked["pixel"]


def _changed():
    """The page runs again with the new points; nothing else is to be done."""
