"""Where a study stands, from its counts alone; and what stands between it and its answer."""

from types import SimpleNamespace

import pytest

from edgetest.study import study_state as module
from edgetest.study.study_state import StudyState, state_of_source


def state(**more):
    facts = {"title": "x", "protocol": "x", "invented": False, "chops": False, "blades": 2,
             "rows": 3, "photos": 0, "measured": 0, "refused": 0, "missing": 0, "faults": 0,
             "next": "cut"}  # fmt: skip
    return StudyState(**facts | more)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "2 blades, 3 rows"),
        ({"blades": 1, "rows": 1}, "1 blade, 1 row"),
        ({"photos": 5, "measured": 2}, "2 blades, 3 rows, 2 of 5 photographs measured"),
        ({"photos": 5, "chops": True}, "2 blades, 3 rows, 5 photographs"),
        ({"photos": 5, "refused": 2, "missing": 1, "faults": 1},
         "2 blades, 3 rows, 0 of 5 photographs measured, 2 refused, 1 missing, 1 fault"),
    ],
)  # fmt: skip
def test_a_state_is_its_counts_in_a_line(more, said):
    assert state(**more).summary() == said


def test_what_is_there_and_neither_measured_nor_refused_is_to_be_measured():
    assert state(photos=9, missing=1, measured=3, refused=2).to_measure == 3


def row(blade="A", *, photo="", waiting=False):
    return SimpleNamespace(blade=blade, photo=photo, waiting=waiting)


@pytest.fixture
def stands(tmp_path, monkeypatch):
    def of(*rows, chops=None, by="log", there=(), table=None, names=(), faults=(), limit=12,
           reading="edge_width_um", treatments=None, steel=False, control=None):  # fmt: skip
        for name in there:
            (tmp_path / name).write_bytes(b"x")
        known = {name: {"numbers": {"status": status}} for name, status in (table or {}).items()}
        monkeypatch.setattr(module, "read_measured", lambda _: known)
        kinds = treatments or {}
        study = SimpleNamespace(
            invented=False, blades=["A", "B"], of_steel=steel, reading_name=reading,
            limit_value=limit, control=control, heat_treatment_of=kinds.get,
        )  # fmt: skip
        held = None if chops is None else SimpleNamespace(rows=chops)
        return state_of_source(SimpleNamespace(
            study=study, protocol=SimpleNamespace(log=by, title="Rope"), title="x", path=tmp_path,
            log=SimpleNamespace(rows=rows, reading_names=names), chops=held, faults=faults,
            photos_folder=tmp_path,
        ))  # fmt: skip

    return of


TWO = {"A": "hard", "B": "soft"}


@pytest.mark.parametrize(
    ("rows", "more", "code"),
    [
        ([], {}, "cut"),
        ([row(waiting=True)], {}, "cut"),
        ([], {"steel": True}, "steel"),
        ([row()], {"faults": ["x"]}, "mend"),
        ([row()], {"limit": None}, "limit"),
        ([row()], {"limit": 0}, "treatments"),
        ([row()], {}, "treatments"),
        ([row(), row("B")], {"treatments": TWO}, "answer"),
        ([row(), row("B")], {"treatments": TWO, "control": "B"}, "treatments"),
        ([row(), row("B")], {"treatments": {"A": "hard"}}, "treatments"),
        ([row(), row("B")], {"names": ("life",), "limit": None, "treatments": TWO}, "answer"),
        ([row(), row("B")], {"names": ("life",)}, "treatments"),
        ([row(photo="a")], {"there": ["a"]}, "measure"),
        ([row(photo="a")], {}, "treatments"),  # a photograph that is missing cannot be measured
        ([row(photo="a")], {"there": ["a"], "table": {"a": "refused"}}, "treatments"),
        ([row(photo="a")], {"there": ["a"], "reading": "grade"}, "treatments"),
    ],
)
def test_the_first_thing_that_stands_between_a_study_and_its_answer(stands, rows, more, code):
    assert stands(*rows, **more).next == code


def test_photographs_are_counted_once_each(stands):
    rows = [row(photo=name) for name in ("a", "a", "b", "c", "d", "")]
    found = stands(*rows, there=["a", "b", "c"],
                   table={"a": "measured", "b": "refused", "z": "measured"})  # fmt: skip
    assert (found.photos, found.measured, found.refused, found.missing) == (4, 1, 1, 1)
    assert (found.rows, found.to_measure) == (6, 1)


def test_a_chop_test_is_counted_by_its_own_log(stands):
    found = stands(row(), chops=[row(), row(waiting=True)], by="chops")
    assert (found.rows, found.chops, found.next) == (1, True, "answer")
    assert stands(row(), chops=[row(), row()]).rows == 1
    assert stands(row(), by="chops").rows == 1
