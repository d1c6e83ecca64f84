"""How does a page keep what a person typed, through a page change, a reload and a killed server?

Every change of a field is on disk at once, in `store.typed_drafts`; the field shows what stands
there until it is saved for good or forgotten. A form is drawn without `st.form`, which would
keep all to itself until its button is pressed::

    form = kept_form(folder, "known")
    low = form.field(left.text_input, "Low-carbon steel", saved_low, "low")
    if form.save("Save the known steels"):
        put_facts(...)
        form.forget()

What is only chosen, and never saved, is kept for its own window: ``kept_choice``.

A callback is cut short at its first touch of `st.session_state` or of the page when something
further was pressed meanwhile, and what it had still to write would be lost: the callbacks here
read by `st.session_state.to_dict()`, which is not cut short, and touch nothing else of the page.
"""

import time
from threading import Lock

import streamlit as st
from streamlit.runtime import Runtime, exists
from streamlit.runtime.scriptrunner import get_script_run_ctx

from edgetest.app.verbatim import verbatim
from edgetest.store import typed_drafts as drafts

WINDOW = "window"  # this window's name, in its address
NAMED = "kept.window"  # in the window's state
PAUSE = "500ms"  # without a key: then what stands in the field is kept
# A run that a further change overtakes starts again at once, and the press counts in the new one.
PRESSED_S = 20.0
_WRITING = Lock()
ONE_OF = ("selectbox", "segmented_control", "select_slider", "radio")


@st.cache_resource(show_spinner=False)
def _windows():
    """By a window's name: the session that holds it, and what its forms note until it closes."""
    return {}


def window():
    """The name of this window: it outlives a reload in the address, and nobody else has it."""
    state = st.session_state.to_dict()
    if NAMED not in state:
        named = st.query_params.get(WINDOW, "")
        known = _windows().get(named, {})
        free = drafts.NAME.fullmatch(named) and not _in_use(known.get("session"))
        state[NAMED] = st.session_state[NAMED] = named if free else drafts.new_window()
        context = get_script_run_ctx()
        _windows()[state[NAMED]] = {"session": context.session_id if context else ""}
    return state[NAMED]


def _in_use(session):
    """Whether another window of a browser is connected under a session."""
    context = get_script_run_ctx()
    other = session and (context is None or session != context.session_id)
    return bool(other and exists() and Runtime.instance().is_active_session(session))


def keep_address():
    """The window's name in its address on every page, once something was typed in it."""
    name = st.session_state.to_dict().get(NAMED) or ""
    if _windows().get(name, {}).get("used") and st.query_params.get(WINDOW) != name:
        st.query_params[WINDOW] = name


def kept_form(folder, name, *, alone=False):
    """A form whose fields are kept as they are typed.

    Parameters
    ----------
    folder : Path
        Of the study; of the workspace, where the form belongs to none.
    name : str
        The same whenever the form is drawn, and another for every row that it can be about.
    alone : bool
        For its window alone, as what is only tried is.
    """
    return KeptForm(folder, name, alone=alone)


def kept_choice(folder, widget, label, usual, name, **options):
    """Something that is chosen and never saved, such as what is looked at; kept for its window.

    Parameters
    ----------
    folder : Path
    widget : callable
        `st.toggle`, `left.selectbox`, …
    label : str
    usual
        What is chosen where nobody chose.
    name : str
        Of the choice, one for the whole app.
    options
        Of the widget.
    """
    return _choice(folder, name).field(widget, label, usual, "", **options)


def kept_chosen(folder, usual, name):
    """What was chosen by `kept_choice` on another page."""
    return _choice(folder, name).held("", usual)


def choose_now(folder, usual, name, now):
    """Make a choice for the person, as where a button leads to it."""
    _choice(folder, name).keep("", usual, now)


def _choice(folder, name):
    return KeptForm(folder, f"choice {name}", alone=True)


class KeptForm:
    """The fields of one form; see `kept_form`."""

    def __init__(self, folder, name, *, alone=False):
        self.folder, self.name, self.window = folder, name, window()
        self.key = f"kept.{folder.name}.{name}"
        self.saved, self._labels, self._read = {}, {}, {}
        self._noted = _windows().setdefault(self.window, {}).setdefault(self.key, {})
        keep_address()
        with _WRITING:  # a callback that another run overtook may still be at work
            self._shown = dict(self._noted.setdefault("shown", {}))
            self.mine = drafts.typed_by(folder, self.window, name)
            self.others = () if alone else drafts.typed_elsewhere(folder, self.window, name)
        self.begun = None if self.mine else self._begun()
        self.typed = self.mine or self.begun

    def _begun(self):
        """What another window typed, where it alone did before this one looked."""
        alone = [each.window for each in self.others] if len(self.others) == 1 else []
        of = self._noted.setdefault("of", alone)
        return next((each for each in self.others if each.window in of), None)

    def field(self, widget, label, saved, name, **options):
        """Draw a field; what it holds.

        Parameters
        ----------
        widget : callable
            `st.text_input`, `left.number_input`, `right.toggle`, …; its value is given by
            `saved`, not by the `value`, `index` or `default` of its own.
        label : str
        saved
            What the file says, and what the field holds until something is typed.
        name : str
            Of the field in this form.
        options
            Of the widget. `then`: a function called after a change was kept.
        """
        saved, then = _plain(saved), options.pop("then", None)
        kind, key, state = widget.__name__, self._drawn_as(name, options), st.session_state
        now = _plain(_possible(kind, self.held(name, saved, label), saved, options))
        shown = self._shown.get(name, now)
        if key not in state or _plain(state[key]) == shown != now:
            state[key] = now
        elif _plain(state[key]) != shown:  # changed a moment ago, its callback still under way
            now = _plain(state[key])
            self.keep(name, saved, now)
        self._noted["shown"][name] = self._read[name] = now
        if kind == "text_input":
            options.setdefault("live", PAUSE)
        options |= _begins(kind, now, options)
        return widget(
            label, key=key, on_change=self._changed, args=(name, key, saved, then), **options
        )

    def _drawn_as(self, name, options):
        """Key of a field: another one whenever the words of its list change.

        A list comes back from the browser as the words that are chosen. Where these were changed
        since, as by a new title, it would fall back to its first, unasked.
        """
        told = options.get("format_func", str)
        words = {repr(one): told(one) for one in options.get("options", ())}
        had, changes = self._noted.setdefault("words", {}).get(name, (words, 0))
        changes += any(had.get(one, now) != now for one, now in words.items())
        self._noted["words"][name] = words, changes
        return self._key_of(name)

    def _key_of(self, name):
        _, changes = self._noted.get("words", {}).get(name, ({}, 0))
        return f"{self.key}.{name}" + (f"~{changes}" if changes else "")

    def held(self, name, saved, label=""):
        """What a field holds: what was typed into it, else what is saved."""
        self.saved[name], self._labels[name] = saved, label or name
        return self.typed.now.get(name, saved) if self.typed else saved

    def _changed(self, name, key, saved, then):
        state = st.session_state.to_dict()
        if key in state:
            with _WRITING:
                self.keep(name, saved, state[key])
                self._noted["shown"][name] = _plain(state[key])
        if then is not None:
            then()

    def now(self, name):
        """What a field holds this moment; in a callback too, which it does not cut short."""
        return st.session_state.to_dict().get(self._key_of(name))

    def keep(self, name, saved, now):
        """Keep what a field holds; for what is no widget of Streamlit's own."""
        drafts.keep_typed(
            self.folder, self.window, self.name, name, _plain(saved), _plain(now),
            begun=self.begun,
        )  # fmt: skip
        _windows()[self.window]["used"] = True

    def unsaved(self):
        """The fields that hold something else than the file."""
        now = self.typed.now if self.typed else {}
        return {k: now[k] for k in now if k not in self.saved or now[k] != self.saved[k]}

    def save(self, label, *, primary=True, disabled=False):
        """The form's button, and beside it what there is to say of what is not saved.

        Returns
        -------
        bool
            Whether it was pressed, and nothing that was typed here was saved elsewhere meanwhile.
        """
        with st.container(horizontal=True, vertical_alignment="center"):
            st.button(
                label, key=f"{self.key}.save", type="primary" if primary else "secondary",
                disabled=disabled, on_click=self._press,
            )  # fmt: skip
            self.way_back()
        pressed = time.monotonic() - self._noted.pop("pressed", -PRESSED_S)
        return pressed < PRESSED_S and not self._clash()

    def _press(self):
        self._noted["pressed"] = time.monotonic()

    def way_back(self, words="Forget what I typed", *, note="Kept as you typed it, not saved yet."):
        """Buttons to forget what was typed, to have it back, to take over another window's."""
        key, forgotten = self.key, self._noted.get("forgotten")
        if self.unsaved():
            st.button(words, key=f"{key}.forget", on_click=self.forget,
                      kwargs={"by_mistake": True})  # fmt: skip
            if note:
                st.caption(note)
        elif forgotten is not None:
            st.button("Bring back what I typed", key=f"{key}.back", on_click=self._bring_back,
                      args=(forgotten,))  # fmt: skip
        for other in self.others:
            if other is not self.begun:
                st.button(
                    "Take over what another window typed here", key=f"{key}.take.{other.window}",
                    on_click=self._take_over, args=(other,),
                )  # fmt: skip

    def _clash(self):
        """Tell what was saved elsewhere since it was typed here; pressed again, it is saved."""
        if self.typed is None:
            return False
        twice = [
            name for name, was in self.typed.was.items()
            if name in self.saved and self.saved[name] not in (was, self.typed.now[name])
        ]  # fmt: skip
        for name in twice:
            st.error(
                f"**{verbatim(self._labels[name])}** was changed elsewhere meanwhile: it is now"
                f" {verbatim(_said(self.saved[name]))}, not"
                f" {verbatim(_said(self.typed.now[name]))}. Press again to save yours, or"
                " forget what you typed."
            )
        if twice:
            drafts.rebase_typed(self.folder, self.window, self.name, self.saved, self.begun)
        return bool(twice)

    def forget(self, *, by_mistake=False):
        """What was typed is saved for good, or is not wanted: it is kept no longer."""
        self._noted["forgotten"] = self._own(self.typed) if by_mistake else None
        self._noted["of"] = []
        if by_mistake:
            drafts.drop_typed(self.folder, self.window, self.name, self.begun)
        else:  # what was typed while it was saved stays
            saved = {**(self.typed.now if self.typed else {}), **self._read}
            drafts.settle_typed(self.folder, self.window, self.name, saved, self.begun)

    def _bring_back(self, forgotten):
        drafts.put_back_typed(self.folder, self.name, forgotten)
        self._noted["forgotten"] = None

    def _take_over(self, other):
        if self.mine is not None:
            self._noted["forgotten"] = self.mine
        self._noted["of"] = [other.window]
        drafts.drop_typed(self.folder, self.window, self.name)

    def _own(self, typed):
        """What was typed, as this window's own."""
        return drafts.TypedForm(self.window, typed.at, typed.was, typed.now)


def _plain(value):
    """A value as it comes back from disk."""
    return [*map(_plain, value)] if isinstance(value, list | tuple) else value


def _possible(kind, now, saved, options):
    """What was typed, if the field can still hold it; else what is saved."""
    known = options.get("options")
    if known is None:
        return now
    if kind == "multiselect" or options.get("selection_mode") == "multi":
        return [each for each in now or [] if each in known]
    if kind in ONE_OF and now is not None and now not in known:
        return saved if saved in known else None
    return now


def _begins(kind, now, options):
    """What a field begins with, in the words of its widget.

    A run that is overtaken may never reach the browser with the value that it set: the field would
    then begin with the widget's own, a blank or the first of a list, and send that as if typed.
    """
    if kind in ("selectbox", "radio"):
        known = list(options["options"])
        return {"index": known.index(now) if now in known else None}
    if kind in ("multiselect", "segmented_control", "pills"):
        return {"default": now}
    if kind == "number_input" and now is not None:
        whole = isinstance(options.get("min_value", options.get("step")), int)
        return {"value": int(now) if whole else float(now)}
    return {} if now is None and kind != "number_input" else {"value": now}


def _said(value):
    """A field's contents in words."""
    if value in (None, "", []):
        return "blank"
    return ", ".join(map(str, value)) if isinstance(value, list) else f"“{value}”"
