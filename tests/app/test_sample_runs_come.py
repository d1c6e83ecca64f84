"""A sample run that must be rendered comes beside the pages, counted and stoppable."""

from threading import Event
from types import SimpleNamespace

import pytest

from edgetest.app import sample_runs_come
from edgetest.app.long_work import take


@pytest.fixture
def entry(monkeypatch, tmp_path):
    monkeypatch.setattr(sample_runs_come, "must_be_rendered", lambda name: True)
    return SimpleNamespace(folder=tmp_path / "rope_run", title="Rope")


def test_it_is_rendered_beside_the_pages(entry, monkeypatch, tmp_path):
    go_on = Event()

    def copy(name, target, *, progress):
        progress(3, 7)
        assert go_on.wait(30)
        return target

    monkeypatch.setattr(sample_runs_come, "copy_sample_run", copy)
    assert not sample_runs_come.bring_sample_run(entry, tmp_path)
    work = sample_runs_come.coming(entry, tmp_path)
    assert work.running
    go_on.set()
    assert work.ended.wait(30)
    assert work.words() == (
        "Rendering the photographs of the sample run “Rope”: 3 of 7 photographs"
    )
    assert take(work) == tmp_path / "rope_run"
    assert sample_runs_come.coming(entry, tmp_path) is None


def test_it_can_be_stopped(entry, monkeypatch, tmp_path):
    go_on = Event()

    def copy(name, target, *, progress):
        assert go_on.wait(30)
        progress(1, 7)

    monkeypatch.setattr(sample_runs_come, "copy_sample_run", copy)
    sample_runs_come.bring_sample_run(entry, tmp_path)
    work = sample_runs_come.coming(entry, tmp_path)
    work.stop()
    go_on.set()
    assert work.ended.wait(30)
    assert work.stopped


def test_one_with_its_photographs_is_there_at_once(entry, monkeypatch, tmp_path):
    monkeypatch.setattr(sample_runs_come, "must_be_rendered", lambda name: False)
    copied = []
    monkeypatch.setattr(sample_runs_come, "copy_sample_run", lambda *both: copied.append(both))
    assert sample_runs_come.bring_sample_run(entry, tmp_path)
    assert copied == [("rope_run", tmp_path / "rope_run")]
    assert sample_runs_come.coming(entry, tmp_path) is None
