"""Large buttons that count cuts; every tap is on disk before the page shows it as counted.

A gloved hand taps faster than a page answers, and a page that is busy melts taps of one
kind into one. So the buttons keep a list of all taps, each with a name of its own, and send
the whole list every time: what arrives twice counts once, and what the server did not
answer (it was killed, the network dropped) is sent again until it does.
"""

from dataclasses import dataclass

import streamlit as st

from edgetest.app.open_study import faults_kept
from edgetest.study.bench.session_file import count_taps, read_session, undo_tap


@dataclass(frozen=True)
class Buttons:
    """What is counted, and by how many a tap; `rest` adds one button for all that are left.

    The `word` stands before the number on each button.
    """

    label: str
    steps: tuple[int, ...] = (1, 5, 10)
    rest: bool = True
    word: str = ""


CUTS = Buttons("cuts")

_HTML = """
<div class="steps" role="group"></div>
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
  // Buttons that are gone have been answered: the page went on to something else.
  function insist() {
    clearTimeout(box.again);
    if (!waiting().length) return;
    box.again = setTimeout(() => { if (box.isConnected) { send(); insist(); } }, 2000);
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
  box.setAttribute("aria-label", data.label);
  if (!box.children.length) {
    for (const step of data.steps.concat(data.rest ? [0] : [])) {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.step = step;
      button.textContent = `${data.word}+${step}`;
      button.className = step === data.steps[0] && !data.word ? "first" : step ? "" : "rest";
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
    counter(
        source.path, action.run, stage=action.stage, met=action.cuts_done, read_to=action.read_to
    )
    undo_button(source, action)


def counter(folder, run, *, stage, met, read_to=0, buttons=CUTS):
    """Buttons that add to the count of a run, up to a stage.

    Parameters
    ----------
    folder : Path
        The study.
    run : (str, str)
        What the taps are kept under.
    stage, met : int
        The count that is gone for, and the one that stands.
    read_to : int
        What the log has already; the count never falls behind it.
    buttons : Buttons
    """
    key = f"bench.count.{folder.name}.{run}.{stage}"

    def count(taps):
        """Put taps on disk; those that are there already count once."""
        named = [(str(name), int(cuts)) for name, cuts in taps or ()]
        return count_taps(folder, run, named, stage=stage, read_to=read_to)

    before = st.session_state.get(key)
    sent = [str(name) for name, _ in (before.taps or ())] if before else []
    known = read_session(folder).known
    result = _component()(
        key=key,
        data={
            "to_go": max(stage - met, 0),
            "steps": list(buttons.steps),
            "rest": buttons.rest,
            "word": buttons.word,
            "label": f"Count {buttons.label}",
            "known": [name for name in sent if name in known],
        },
        default={"taps": []},
        on_taps_change=lambda: count(st.session_state[key].taps),
    )
    # Taps that came in while the server was down arrive with the page, not with a callback.
    if count(result.taps):
        st.rerun()


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
    with faults_kept():
        undo_tap(folder, action.run, shown=action.last_tap)
