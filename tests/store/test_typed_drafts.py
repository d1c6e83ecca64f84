"""What is typed and not saved: a file for each window, gone once it is saved, in no export."""

import io
import zipfile

import pytest

from edgetest.store.typed_drafts import (
    TYPED_FOLDER,
    drop_typed,
    keep_typed,
    new_window,
    put_back_typed,
    rebase_typed,
    settle_typed,
    typed_by,
    typed_elsewhere,
)
from edgetest.store.workspace import new_study
from tests.store.zipped_study import zip_of

HERE, THERE, THIRD = "0000000a", "0000000b", "0000000c"
FORM = "document"


@pytest.fixture
def folder(tmp_path):
    return tmp_path


def note(folder, window):
    found = typed_by(folder, window, FORM)
    return found.now.get("note") if found else None


def test_a_change_is_on_disk_and_what_is_as_saved_is_kept_no_longer(folder):
    keep_typed(folder, HERE, FORM, "note", "", "Boil the rope")
    keep_typed(folder, HERE, FORM, "times", 2, 3)
    found = typed_by(folder, HERE, FORM)
    assert found.now == {"note": "Boil the rope", "times": 3}
    assert found.was == {"note": "", "times": 2}
    keep_typed(folder, HERE, FORM, "times", 2, 2)
    assert typed_by(folder, HERE, FORM).now == {"note": "Boil the rope"}
    keep_typed(folder, HERE, FORM, "note", "", "")
    assert not (folder / TYPED_FOLDER).exists()


def test_two_windows_do_not_overwrite_one_another(folder):
    keep_typed(folder, HERE, FORM, "note", "", "mine")
    keep_typed(folder, THERE, FORM, "note", "", "theirs")
    assert (note(folder, HERE), note(folder, THERE)) == ("mine", "theirs")
    drop_typed(folder, HERE, FORM)
    assert (note(folder, HERE), note(folder, THERE)) == (None, "theirs")


def test_what_is_gone_on_with_in_another_window_goes_when_that_saves(folder):
    keep_typed(folder, HERE, FORM, "note", "", "begun")
    (begun,) = typed_elsewhere(folder, THERE, FORM)
    keep_typed(folder, THERE, FORM, "note", "", "begun and ended", begun=begun)
    assert note(folder, HERE) == "begun"
    assert [each.window for each in typed_elsewhere(folder, THIRD, FORM)] == [THERE]
    drop_typed(folder, THERE, FORM)
    assert not (folder / TYPED_FOLDER).exists()


def test_what_the_first_window_typed_since_stays_there(folder):
    keep_typed(folder, HERE, FORM, "note", "", "begun")
    (begun,) = typed_elsewhere(folder, THERE, FORM)
    keep_typed(folder, THERE, FORM, "note", "", "ended there", begun=begun)
    keep_typed(folder, HERE, FORM, "note", "", "ended here")
    drop_typed(folder, THERE, FORM)
    assert note(folder, HERE) == "ended here"


def test_cleared_where_it_was_gone_on_with_it_does_not_come_back(folder):
    keep_typed(folder, HERE, FORM, "note", "", "begun")
    (begun,) = typed_elsewhere(folder, THERE, FORM)
    keep_typed(folder, THERE, FORM, "note", "", "", begun=begun)
    assert typed_elsewhere(folder, THIRD, FORM) == ()
    assert typed_elsewhere(folder, THERE, FORM) == ()


def test_what_was_typed_while_it_was_saved_stays(folder):
    keep_typed(folder, HERE, FORM, "note", "", "saved")
    keep_typed(folder, HERE, FORM, "care", "", "typed since")
    settle_typed(folder, HERE, FORM, {"note": "saved"}, None)
    assert typed_by(folder, HERE, FORM).now == {"care": "typed since"}
    settle_typed(folder, HERE, FORM, {"care": "typed since"}, None)
    assert not (folder / TYPED_FOLDER).exists()


def test_what_was_forgotten_comes_back(folder):
    keep_typed(folder, HERE, FORM, "note", "", "150 letters")
    typed = typed_by(folder, HERE, FORM)
    drop_typed(folder, HERE, FORM)
    put_back_typed(folder, FORM, typed)
    assert note(folder, HERE) == "150 letters"


def test_what_was_told_of_a_change_elsewhere_is_not_told_again(folder):
    keep_typed(folder, HERE, FORM, "note", "old", "mine")
    rebase_typed(folder, HERE, FORM, {"note": "theirs", "other": "x"})
    assert typed_by(folder, HERE, FORM).was == {"note": "theirs"}
    assert note(folder, HERE) == "mine"


@pytest.mark.parametrize("cut", ["", "{", "[]", '{"document": 3}'])
def test_a_file_cut_short_holds_nothing(folder, cut):
    keep_typed(folder, HERE, FORM, "note", "", "x")
    (folder / TYPED_FOLDER / f"{HERE}.json").write_text(cut)
    assert typed_by(folder, HERE, FORM) is None
    keep_typed(folder, HERE, FORM, "note", "", "again")
    assert note(folder, HERE) == "again"


def test_it_is_in_no_export(tmp_path):
    new_study(tmp_path / "s", "sisal_rope", "one", blades=("A1",))
    before = zip_of(tmp_path / "s")
    keep_typed(tmp_path / "s", new_window(), FORM, "note", "", "not yet")
    names = zipfile.ZipFile(io.BytesIO(zip_of(tmp_path / "s"))).namelist()
    assert not any(TYPED_FOLDER in name for name in names)
    assert zip_of(tmp_path / "s") == before
