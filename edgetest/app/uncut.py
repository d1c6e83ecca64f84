"""How is a callback kept from being cut short by what is pressed or typed next?

Whenever a callback touches the page or its state, Streamlit looks whether something further was
pressed, and if so leaves the callback there and then: what it had still to write would be lost,
or would be shown as not done. Seen with a choice from a list and a press on Save 0.1 s after it.

So whatever a button or a field calls, and touches the page, is `uncut`
(`tests/app/test_uncut_callbacks.py` finds one that is not).
"""

from functools import wraps

from streamlit.runtime.scriptrunner import get_script_run_ctx
from streamlit.runtime.state.safe_session_state import SafeSessionState


def uncut(callback):
    """A callback that comes to its end before what was pressed next counts."""

    @wraps(callback)
    def whole(*args, **more):
        context = get_script_run_ctx(suppress_warning=True)
        if context is None:
            return callback(*args, **more)
        state, send = context.session_state, context._enqueue
        told: list = []
        context.session_state = SafeSessionState(state._state, lambda: None)  # looks for nothing
        context._enqueue = told.append
        try:
            return callback(*args, **more)
        finally:
            context.session_state, context._enqueue = state, send
            for message in told:
                send(message)

    return whole
