"""Work beside the pages goes on, counts, stops, and keeps its result until a page takes it."""

from threading import Event

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.app import long_work
from edgetest.app.long_work import StoppedError, start_work, take, work_of
from edgetest.errors import UnusableInput


@pytest.fixture
def hurried(monkeypatch):
    monkeypatch.setattr(long_work, "PATIENCE_S", 0.05)


def test_it_counts_and_its_result_is_taken_once():
    gate = Event()

    def make(report):
        report(3, 7)
        gate.wait(10)
        return "found"

    work = start_work("counts", make, "Reading")
    while not work.done:
        pass
    assert work.words() == "Reading: 3 of 7 done"
    assert start_work("counts", make, "Reading") is work
    gate.set()
    assert work.ended.wait(10)
    assert take(work) == "found"
    assert take(work) == "found"  # another run of the page that asked for it too
    assert work_of("counts") is None


def test_a_stop_ends_it_at_its_next_count_and_keeps_what_was_done():
    gate, done = Event(), []

    def make(report):
        for number in range(1, 100):
            done.append(number)
            report(number, 99)
            if number == 4:
                gate.wait(10)

    work = start_work("stops", make, "Reading")
    while len(done) < 4:
        pass
    work.stop()
    gate.set()
    assert work.ended.wait(10)
    assert work.stopped
    assert done == [1, 2, 3, 4, 5]
    with pytest.raises(StoppedError):
        take(work)


def test_its_fault_is_told_where_it_is_taken():
    def make(report):
        raise UnusableInput("is cut short", "a.jpg", "take it again")

    work = start_work("faulty", make, "Reading")
    assert work.ended.wait(10)
    with pytest.raises(UnusableInput, match="is cut short"):
        take(work)


def page(kept):
    import streamlit as st

    from edgetest.app.long_work import awaited

    there, found = awaited(kept["key"], kept["make"], "Reading the log")
    st.markdown(f"answer {found}" if there else "behind it")


def test_a_page_left_and_opened_again_finds_its_work_going_on(hurried):
    gate, begun = Event(), []

    def make(report):
        begun.append(1)
        report(1, 2)
        gate.wait(20)
        return 42

    kept = {"key": "left", "make": make}
    first = AppTest.from_function(page, args=(kept,), default_timeout=20).run()
    assert [each.value for each in first.markdown] == ["behind it"]
    assert first.button[0].label == "Stop"
    again = AppTest.from_function(page, args=(kept,), default_timeout=20).run()
    assert [each.value for each in again.markdown] == ["behind it"]
    gate.set()
    assert work_of("left").ended.wait(10)
    again.run()
    assert [each.value for each in again.markdown] == ["answer 42"]
    assert begun == [1]


def test_what_was_stopped_says_so_and_goes_on_when_asked(hurried):
    gate, rounds = Event(), []

    def make(report):
        rounds.append(1)
        if len(rounds) == 1:
            gate.wait(20)
        report(1, 2)
        return "whole"

    kept = {"key": "goes on", "make": make}
    shown = AppTest.from_function(page, args=(kept,), default_timeout=20).run()
    shown.button[0].click().run()
    assert "behind it" in [each.value for each in shown.markdown]
    gate.set()
    assert work_of("goes on").ended.wait(10)
    shown.run()
    assert "Reading the log: stopped." in [each.value for each in shown.markdown]
    shown.button[0].click().run()
    shown.run()
    assert [each.value for each in shown.markdown] == ["answer whole"]
