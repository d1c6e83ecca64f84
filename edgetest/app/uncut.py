"""How is a callback kept from being cut short by what is pressed or typed next?

Whenever a callback touches the page's state, Streamlit looks whether something further was
pressed, and if so leaves the callback there and then: what it had still to write would be lost,
though the field shows it. Seen with a choice from a list and a press on Save 0.1 s after it.
"""

from functools import wraps

from streamlit.runtime.scriptrunner import RerunException

TIMES = 5  # presses that may fall into one callback; each is taken up when it has ended


def uncut(callback):
    """A callback that is begun again where it was left, and ends before the next press counts.

    What it does must come to the same when it is done twice.
    """

    @wraps(callback)
    def whole(*args, **more):
        later = None
        for _ in range(TIMES):
            try:
                callback(*args, **more)
            except RerunException as cut:
                later = cut
            else:
                break
        if later is not None:
            raise later

    return whole
