"""Large buttons that count cuts; every tap is on disk before the page shows it as counted.

A gloved hand taps faster than a page answers, and a page that is busy melts taps of one
kind into one. So the buttons keep a list of all taps, each with a name of its own, and send
the whole list every time: what arrives twice counts once, and what the server did not
answer (it was killed, the network dropped) is sent again until it does.
"""

import streamlit as st

from edgetest.app.workspace import keep_fault
from edgetest.errors import UnusableInput
from edgetest.study.session_file import count_taps, read_session, undo_tap

STEPS = (1, 5, 10)

_HTML = """
<div class="steps" role="group" aria-label="Count cuts"></div>
<p class="word" role="status"></p>
"""

_CSS = """
.steps { display: flex; flex-wrap: wrap; gap: .7rem; }
button { flex: 1 1 5rem; min-height: 5.2rem; min-width: 44px; padding: .3rem .6rem;
  font: 600 1.7rem/1.1 var(--st-font, sans-serif); cursor: pointer; touch-action: manipulation;
  color: var(--st-text-color); background: var(--st-background-color);
  border: 1px solid var(--st-border-color, currentColor); border-radius: .4rem; }
button.first { color: #ffffff; background: #b5431a; border-color: #b5431a; }
button.rest { flex-basis: 8rem; font-size: 1.3rem; }
button:active { filter: brightness(.85); }
button:focus-visible { outline: 3px solid var(--st-text-color); outline-offset: 2px; }
button:disabled { opacity: .38; cursor: default; }
.word { margin: .4rem 0 0; min-height: 1.4em; font: 1rem/1.4 var(--st-font, sans-serif);
  color: var(--st-text-color); }
"""

_JS = """
export default function (component) {
  const { data, parentElement, setStateValue } = component;
  const box = parentElement.querySelector(".steps");
  const word = parentElement.querySelector(".word");
  box.taps = box.taps || [];
  const known = new Set(data.known);
  const waiting = () => box.taps.filter((tap) => !known.has(tap[0]));
  const left = () => data.to_go - waiting().reduce((sum, tap) => sum + tap[1], 0);
  const send = () => setStateValue("taps", box.taps.slice());
  // A page that comes back to the server does not run again by itself: send until it answers.
  function insist() {
    clearTimeout(box.again);
    if (waiting().length) box.again = setTimeout(() => { send(); insist(); }, 2000);
  }
  function show() {
    const open = waiting();
    for (const button of box.children) {
      const step = Number(button.dataset.step);
      button.disabled = left() <= 0 || step > left();
      if (!step) { button.textContent = `All ${Math.max(left(), 0)}`; }
    }
    word.textContent = open.length
      ? `Saving +${open.reduce((sum, tap) => sum + tap[1], 0)}` : box.taps.length ? "Saved" : "";
  }
  function tap(step) {
    const cuts = step || left();
    if (cuts <= 0 || cuts > left()) return;
    const name = Array.from(crypto.getRandomValues(new Uint32Array(3)), (n) => n.toString(36));
    box.taps.push([name.join(""), cuts]);
    show();
    send();
    insist();
  }
  if (!box.children.length) {
    for (const step of data.steps.concat([0])) {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.step = step;
      button.textContent = `+${step}`;
      button.className = step === data.steps[0] ? "first" : step ? "" : "rest";
      box.appendChild(button);
    }
  }
  for (const button of box.children) button.onclick = () => tap(Number(button.dataset.step));
  show();
  insist();
}
"""


@st.cache_resource(show_spinner=False)
def _component():
    return st.components.v2.component("edgetest.counter", html=_HTML, css=_CSS, js=_JS)


def show(source, action):
    """The count, the buttons that add to it, and the undo."""
    st.progress(
        action.cuts_done / action.stage, f"{action.cuts_done} of {action.stage} cuts counted"
    )
    key = f"bench.count.{source.path.name}.{action.run}.{action.stage}"

    def arrived():
        _count(source.path, action, st.session_state[key].taps)

    before = st.session_state.get(key)
    sent = [str(name) for name, _ in (before.taps or ())] if before else []
    known = read_session(source.path).known
    result = _component()(
        key=key,
        data={
            "to_go": action.to_go,
            "steps": list(STEPS),
            "known": [name for name in sent if name in known],
        },
        default={"taps": []},
        on_taps_change=arrived,
    )
    # Taps that came in while the server was down arrive with the page, not with a callback.
    if _count(source.path, action, result.taps):
        st.rerun()
    undo_button(source, action)


def _count(folder, action, taps):
    """Put taps on disk; those that are there already count once."""
    return count_taps(
        folder,
        action.run,
        [(str(name), int(cuts)) for name, cuts in taps or ()],
        stage=action.stage,
        read_to=action.read_to,
    )


def undo_button(source, action):
    """Take back the last tap of this blade."""
    tap = action.last_tap
    st.button(
        f"Undo +{tap.cuts}" if tap else "Undo",
        key="bench.undo_tap",
        on_click=_undo_tap,
        args=(source.path, action),
        disabled=tap is None,
        width="stretch",
    )


def _undo_tap(folder, action):
    try:
        undo_tap(folder, action.run, shown=action.last_tap)
    except UnusableInput as fault:
        keep_fault(fault)
