"""An earlier demo is not lost before the new one stands; what the demo did not make stays."""

import pytest

from edgetest.cli import demo
from edgetest.errors import UnusableInput


@pytest.fixture
def small(monkeypatch):
    """A demo of one file, which holds the word that it is given; no word is a failing disk."""

    def make(folder, word):
        def copied(_, place, **__):
            place.mkdir()
            (place / "log.csv").write_text(word or "half")
            if word is None:
                raise OSError(28, "No space left on device", str(place))
            return place

        monkeypatch.setattr(demo, "copy_sample_run", copied)
        monkeypatch.setattr(demo, "open_source", lambda study: study)
        monkeypatch.setattr(demo, "analyse", lambda source, **_: source)
        monkeypatch.setattr(demo, "_pictures", lambda result, folder: [])
        demo.run_demo(folder)

    return make


def held(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_text()
        for path in folder.rglob("*")
        if path.is_file() and path.name != demo.MARK
    }


LOG = f"{demo.RUN}/log.csv"


def test_a_demo_that_fails_leaves_the_earlier_one_and_one_that_is_made_takes_its_place(
    small, tmp_path
):
    small(tmp_path / "d", "old")
    with pytest.raises(OSError, match="No space"):
        small(tmp_path / "d", None)
    assert held(tmp_path / "d") == {LOG: "old"}
    small(tmp_path / "d", "new")
    assert held(tmp_path / "d") == {LOG: "new"}
    assert [path.name for path in (tmp_path / "d").iterdir() if path.name != demo.MARK] == [
        demo.RUN
    ]


@pytest.mark.parametrize("lies", [demo.ASIDE, demo.MOVING])
def test_where_the_program_died_the_earlier_demo_is_found_where_it_lies(small, tmp_path, lies):
    small(tmp_path / "d", "old")
    (tmp_path / "d" / lies).mkdir()
    (tmp_path / "d" / demo.RUN).rename(tmp_path / "d" / lies / demo.RUN)
    (tmp_path / "d" / demo.DONE_WITH).mkdir()
    with pytest.raises(OSError, match="No space"):
        small(tmp_path / "d", None)
    assert held(tmp_path / "d") == {LOG: "old"}


def test_a_folder_that_the_demo_did_not_make_is_refused_and_left(small, tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(UnusableInput, match="did not make"):
        small(tmp_path, "new")
    assert held(tmp_path) == {"mine.txt": "mine"}


@pytest.mark.parametrize("name", [demo.ASIDE, demo.MOVING, demo.DONE_WITH])
def test_a_file_under_a_name_that_the_demo_needs_is_refused_before_anything_is_done(
    small, tmp_path, name
):
    small(tmp_path / "d", "old")
    (tmp_path / "d" / name).write_text("mine")
    with pytest.raises(UnusableInput, match="move or delete it") as met:
        small(tmp_path / "d", "new")
    assert met.value.where == str(tmp_path / "d" / name)
    assert held(tmp_path / "d") == {LOG: "old", name: "mine"}
