"""Which page is next, from what a study waits for, step by step."""

from types import SimpleNamespace

import pytest

from edgetest.study import next_step as module
from edgetest.study.next_step import next_step, steel_step
from edgetest.study.study_state import NEXT


@pytest.fixture
def step(monkeypatch, tmp_path):
    def of(code, *, tray=0, order=False, scale=False, kind="done", by="log", plan=None,
           session=False, blades=("A",), chops=False, evidence=None):  # fmt: skip
        action = SimpleNamespace(kind=kind, summary=lambda: "cut on")
        monkeypatch.setattr(module, "read_tray", lambda _: SimpleNamespace(waiting=[1] * tray))
        for name, value in (("needs_order", order), ("needs_scale", scale),
                            ("next_action", action), ("next_chop", action)):  # fmt: skip
            monkeypatch.setattr(module, name, lambda _, value=value: value)
        if session:
            (tmp_path / "bench.jsonl").write_text("", "utf-8")
        study = SimpleNamespace(protocol="x", blades=blades, plan=plan, evidence=evidence)
        source = SimpleNamespace(study=study, path=tmp_path, protocol=SimpleNamespace(log=by))
        found = next_step(source, SimpleNamespace(next=code, chops=chops))
        return found.page, found.words

    return of


@pytest.mark.parametrize(
    ("code", "page"),
    [("mend", "log"), ("cut", "bench"), ("measure", "photographs"), ("limit", "wear-curves"),
     ("treatments", "blades"), ("answer", "comparison")],
)  # fmt: skip
def test_each_code_has_its_page(step, code, page):
    assert step(code) == (page, NEXT[code])
    assert step("answer", chops=True)[0] == "chopper"


def test_pictures_to_sort_come_first_unless_the_log_has_faults(step):
    assert step("answer", tray=1, order=True) == ("sorting", "give 1 picture its place")
    assert step("answer", tray=2) == ("sorting", "give 2 pictures their places")
    assert step("mend", tray=2, order=True)[0] == "log"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"order": True, "scale": True}, "draw the order of its blades"),
        (
            {"scale": True, "plan": {}},
            "take the scale of its photographs, or say that you type its widths",
        ),
        ({"plan": {"order": []}, "kind": "cut"}, "cut on"),
        ({"session": True, "kind": "read"}, "cut on"),
        ({"by": "chops", "order": True, "kind": "read"}, "cut on"),
    ],
)
def test_what_is_due_at_the_bench(step, more, words):
    assert step("answer", **more) == ("bench", words)


@pytest.mark.parametrize(
    "more",
    [{"kind": "cut"}, {"plan": {"order": []}}, {"by": "chops"}, {"order": True, "blades": ()}],
)
def test_where_the_bench_has_nothing_due_the_answer_is_next(step, more):
    assert step("answer", **more)[0] == "comparison"


def test_a_study_of_a_steel_asks_for_its_first_piece():
    bare = steel_step(SimpleNamespace(evidence=None))
    assert (bare.page, bare.words) == ("verdict", "say what the first piece of steel is")
    assert steel_step(SimpleNamespace(evidence={"pieces": []})).words == bare.words
    assert steel_step(SimpleNamespace(evidence={"pieces": [1]})).words == NEXT["steel"]


def test_a_steel_s_step_is_its_own_page_s(step):
    assert step("steel", evidence={"pieces": [1]}) == ("verdict", NEXT["steel"])
    assert step("steel", kind="cut", plan={"x": 1}) == ("bench", "cut on")
