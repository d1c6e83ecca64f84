"""A page that fails in a way nobody foresaw says so calmly; the traceback goes to the server."""

import logging
import secrets
import traceback

import streamlit as st

from edgetest.app.open_study import show_fault
from edgetest.errors import UnusableInput
from edgetest.store.files import disk_fault

_log = logging.getLogger("edgetest.app")


def run(show):
    """Run a page; whatever goes wrong in it is told in a sentence."""
    try:
        show()
    except UnusableInput as fault:
        show_fault(fault)
    except Exception as fault:
        if isinstance(fault, OSError) and (told := disk_fault(fault)):
            show_fault(told)
            return
        mark = secrets.token_hex(3)
        _log.error("page failed, mark %s\n%s", mark, traceback.format_exc())
        st.error(
            "This page met something that was not foreseen. Nothing that you entered is lost: "
            "every reading is on disk before the page says so. Load the page again; if it happens "
            f"again, send the lines that stand under **{mark}** in the window where the program "
            "runs, and say what you pressed.",
            icon=":material/build:",
        )
