"""Does a callback come to its end although something further was pressed meanwhile?"""

import pytest
import streamlit as st
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.runtime.scriptrunner import RerunException
from streamlit.runtime.scriptrunner_utils import script_run_context
from streamlit.runtime.scriptrunner_utils.script_requests import RerunData, ScriptRequests
from streamlit.runtime.state.safe_session_state import SafeSessionState
from streamlit.runtime.state.session_state import SessionState

from edgetest.app.uncut import uncut


def pressed(*_):
    """What Streamlit does at a touch of the page when a further press is waiting."""
    raise RerunException(RerunData())


@pytest.fixture
def waiting(monkeypatch):
    """A run of a page with a further press waiting at every touch."""
    context = script_run_context.ScriptRunContext(
        session_id="x", _enqueue=pressed, script_requests=ScriptRequests(), query_string="",
        session_state=SafeSessionState(SessionState(), pressed), uploaded_file_mgr=None,
        main_script_path="", user_info={}, gather_usage_stats=False, fragment_storage=None,
        pages_manager=None, context_info=None, on_script_error=None,
    )  # fmt: skip
    for module in ("streamlit.runtime.scriptrunner_utils.script_run_context",
                   "edgetest.app.uncut"):  # fmt: skip
        monkeypatch.setattr(f"{module}.get_script_run_ctx", lambda **_: context)
    return context


def test_what_touches_the_page_first_is_written_all_the_same(waiting, tmp_path):
    file = tmp_path / "written"

    def press(words):
        st.session_state["shown"] = words
        file.write_text(words)
        st.session_state["shown"] = f"{words}: saved"

    with pytest.raises(RerunException):
        press("heat 1")
    assert not file.exists()

    uncut(press)("heat 1")
    assert file.read_text() == "heat 1"
    assert waiting.session_state._state["shown"] == "heat 1: saved"


def test_a_message_to_the_page_waits_for_the_end_and_the_press_counts_then(waiting, tmp_path):
    file = tmp_path / "written"

    def press():
        waiting._enqueue(ForwardMsg())
        file.write_text("heat 1")

    with pytest.raises(RerunException):
        uncut(press)()
    assert file.exists()
    assert waiting._enqueue is pressed  # the page looks for presses again


def test_a_fault_leaves_the_page_as_it_was(waiting):
    state = waiting.session_state
    with pytest.raises(ValueError, match="no such heat"):
        uncut(_fault)()
    assert waiting.session_state is state


def _fault():
    raise ValueError("no such heat")
