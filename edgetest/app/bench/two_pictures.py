"""Two pictures of one place laid over each other: a slider wipes or blends from one to the other.

It runs in the browser alone, so that it follows the hand.
"""

from base64 import b64encode

import streamlit as st

_HTML = """
<div class="frame"><img class="last"><img class="new"><i class="rule"></i></div>
<div class="ways" role="group" aria-label="How the pictures are laid over each other">
  <button type="button" data-way="wipe">Wipe</button>
  <button type="button" data-way="blend">Blend</button>
  <button type="button" data-way="beside">Beside</button>
</div>
<label class="slide"><span class="from"></span><input type="range" min="0" max="100" value="50">
<span class="to"></span></label>
"""

_CSS = """
/* No higher than what the page gives it (--shown-high), however the pictures are made. */
.frame { position: relative; overflow: hidden; border-radius: .4rem; line-height: 0;
  max-width: calc(var(--shown-high, 100vh) * var(--ratio, 99)); margin: 0 auto; }
.frame.beside { max-width: calc(var(--shown-high, 100vh) * var(--ratio, 99) / 2); }
.frame img { width: 100%; height: auto; display: block; }
.frame:not(.beside) .new { position: absolute; inset: 0; height: 100%; object-fit: contain; }
.rule { position: absolute; top: 0; bottom: 0; width: 2px; margin-left: -1px; background: #b5431a; }
.frame:not(.wipe) .rule { display: none; }
.frame.beside .last { margin-bottom: .4rem; }
.ways { display: flex; gap: .5rem; margin: .5rem 0 .2rem; }
.ways button { flex: 1 1 5rem; min-height: 44px; min-width: 44px; cursor: pointer;
  font: 600 1rem/1.2 var(--st-font, sans-serif); color: var(--st-text-color);
  background: var(--st-background-color); border: 1px solid var(--st-border-color, currentColor);
  border-radius: .4rem; touch-action: manipulation; }
.ways button[aria-pressed=true] { color: #ffffff; background: #b5431a; border-color: #b5431a; }
button:focus-visible, input:focus-visible { outline: 3px solid var(--st-text-color);
  outline-offset: 2px; }
.slide { display: flex; align-items: center; gap: .7rem; min-height: 48px;
  font: 1rem/1.3 var(--st-font, sans-serif); color: var(--st-text-color); }
.slide input { flex: 1 1 auto; min-width: 6rem; height: 44px; accent-color: #b5431a; }
.slide[hidden] { display: none; }
"""

_JS = """
export default function (component) {
  const { data, parentElement } = component;
  const find = (name) => parentElement.querySelector(name);
  const frame = find(".frame"), slide = find(".slide"), input = find("input");
  for (const name of ["last", "new"]) {
    const image = find("img." + name);
    if (image.src !== data[name]) image.src = data[name];
    image.alt = data[name + "_words"];
    image.onload = () =>
      frame.style.setProperty("--ratio", image.naturalWidth / image.naturalHeight);
  }
  find(".from").textContent = data.last_words;
  find(".to").textContent = data.new_words;
  input.setAttribute("aria-label", `From the ${data.last_words} picture to the ${data.new_words}`);
  function draw() {
    const way = frame.dataset.way || "wipe", share = Number(input.value);
    frame.className = "frame " + way;
    slide.hidden = way === "beside";
    const over = find("img.new");
    over.style.clipPath = way === "wipe" ? `inset(0 ${100 - share}% 0 0)` : "none";
    over.style.opacity = way === "blend" ? share / 100 : 1;
    find(".rule").style.left = `${share}%`;
    for (const each of parentElement.querySelectorAll(".ways button"))
      each.setAttribute("aria-pressed", String(each.dataset.way === way));
  }
  for (const each of parentElement.querySelectorAll(".ways button"))
    each.onclick = () => { frame.dataset.way = each.dataset.way; draw(); };
  input.oninput = draw;
  draw();
}
"""


@st.cache_resource(show_spinner=False)
def _laid():
    return st.components.v2.component("edgetest.two_pictures", html=_HTML, css=_CSS, js=_JS)


def lay_over(last, new, last_words, new_words, *, key):
    """The new picture over the last, to be wiped or blended, or beside it.

    Parameters
    ----------
    last, new : bytes
        JPEG.
    last_words, new_words : str
        What to call them.
    key : str
    """
    _laid()(
        key=key,
        data={
            "last": _address(last), "new": _address(new),
            "last_words": last_words, "new_words": new_words,
        },
    )  # fmt: skip


def _address(jpeg):
    return f"data:image/jpeg;base64,{b64encode(jpeg).decode('ascii')}"
