"""A run that came without its photographs has them when it is copied, or is not there at all."""

import json
import shutil

import pytest

from edgetest.errors import UnusableInput
from edgetest.store import workspace
from edgetest.store.places import shipped
from edgetest.store.sample_photographs import RENDERED, photographs_to_render
from edgetest.store.workspace import copy_sample_run, must_be_rendered

NAME = RENDERED[0]
FEW = 3


@pytest.fixture
def without(tmp_path, monkeypatch):
    """The run as it travels, of few photographs."""
    root, kept = tmp_path / "travelled", shipped("sample_runs")
    (root / NAME).mkdir(parents=True)
    for name in ("study.toml", "log.csv"):
        shutil.copy(kept / NAME / name, root / NAME / name)
    told = json.loads((kept / NAME / "truth.json").read_text(encoding="utf-8"))
    told["photos"] = dict(list(told["photos"].items())[:FEW])
    (root / NAME / "truth.json").write_text(json.dumps(told), encoding="utf-8")
    monkeypatch.setattr(workspace, "shipped", lambda kind: root)
    return root


def test_every_photograph_is_rendered_and_counted(without, tmp_path):
    counts = []
    made = copy_sample_run(
        NAME, tmp_path / "mine", workers=1, progress=lambda *count: counts.append(count)
    )
    names = {path.name for path in (made / "photos").iterdir()}
    assert names == set(photographs_to_render(without / NAME))
    assert counts == [(n, FEW + 1) for n in range(1, FEW + 2)]
    assert not (without / NAME / "photos").exists()


def test_two_processes_render_the_same_bytes(without, tmp_path):
    one = copy_sample_run(NAME, tmp_path / "one", workers=1) / "photos"
    two = copy_sample_run(NAME, tmp_path / "two", workers=2) / "photos"
    for path in one.iterdir():
        assert (two / path.name).read_bytes() == path.read_bytes()


def test_a_stop_leaves_nothing(without, tmp_path):
    class EnoughError(Exception):
        pass

    def stop(done, total):
        if done == 2:
            raise EnoughError

    with pytest.raises(EnoughError):
        copy_sample_run(NAME, tmp_path / "here" / "mine", workers=1, progress=stop)
    assert list((tmp_path / "here").iterdir()) == []


def test_a_damaged_truth_is_told_and_leaves_nothing(without, tmp_path):
    (without / NAME / "truth.json").write_text("{", encoding="utf-8")
    with pytest.raises(UnusableInput, match=r"cannot be read.*install the program again"):
        copy_sample_run(NAME, tmp_path / "here" / "mine")
    assert list((tmp_path / "here").iterdir()) == []


def test_where_photographs_are_there_none_is_rendered():
    for run in shipped("sample_runs").glob("*/study.toml"):
        assert not must_be_rendered(run.parent.name)


def test_every_photograph_of_the_run_has_its_truth():
    kept = shipped("sample_runs") / NAME
    told = json.loads((kept / "truth.json").read_text(encoding="utf-8"))
    names = {path.name for path in (kept / "photos").iterdir()}
    assert names == {*told["photos"], "micrometer.jpg"}
    assert all("chance" in truth for truth in told["photos"].values())
