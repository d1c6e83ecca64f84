"""How a failure of a page is told: calmly, with its mend, and with a mark for the server."""

import logging

from streamlit.testing.v1 import AppTest


def failing():
    """A page with a mistake of ours in it."""
    from edgetest.app import calm

    def show():
        raise ZeroDivisionError("a secret of the page")

    calm.run(show)


def refusing():
    """A page that meets input it cannot use."""
    from edgetest.app import calm
    from edgetest.errors import UnusableInput

    def show():
        raise UnusableInput("12,5 is not a number", "log.csv, row 3", "write 12.5")

    calm.run(show)


def stopping():
    """A page that ends early, which is no failure."""
    import streamlit as st

    from edgetest.app import calm

    def show():
        st.info("nothing here")
        st.stop()

    calm.run(show)


def test_an_unforeseen_failure_is_one_calm_sentence_and_a_traceback_for_the_server(caplog):
    with caplog.at_level(logging.ERROR, logger="edgetest.app"):
        run = AppTest.from_function(failing).run()
    assert not run.exception
    (told,) = run.error
    assert "Nothing that you entered is lost" in told.value
    assert "secret" not in told.value
    (record,) = caplog.records
    assert "ZeroDivisionError: a secret of the page" in record.getMessage()
    mark = record.getMessage().split("mark ")[1].split("\n")[0]
    assert f"**{mark}**" in told.value


def test_unusable_input_is_told_with_its_mend():
    run = AppTest.from_function(refusing).run()
    assert "Write 12.5" in run.error[0].value


def test_a_page_that_stops_is_no_failure():
    run = AppTest.from_function(stopping).run()
    assert not run.error
    assert run.info[0].value == "nothing here"
