"""Letters that are not seen."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.unseen import first_unseen, name_fault, shown_whole
from edgetest.store.workspace import new_study, save_photograph


@pytest.mark.parametrize(
    "letter", list("\u202e\u200b\u2066\ufeff\u00ad\u3164\x07\U000e0041\u2028\x7f")
)
def test_a_letter_that_is_not_seen_is_told_by_its_number(letter):
    number = f"U+{ord(letter):04X}"
    assert first_unseen(f"K{letter}1") == number
    assert shown_whole(f"K{letter}1") == f"K⟨{number}⟩1"
    assert number in name_fault(f"K{letter}1")


@pytest.mark.parametrize("name", ["K1", "می\u200cروم", "क्\u200dष", "é", "👩\u200d🔧", "v1.2"])
def test_names_of_any_script_are_names(name):
    assert first_unseen(name) == name_fault(name) == ""
    assert shown_whole(name) == name


def test_a_dot_in_front_hides_a_name():
    assert "dot" in name_fault(".import_x")
    assert "dot" in name_fault(" .x")


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"title": "Rope\u202etest"}, 'title: "Rope⟨U+202E⟩test" holds a letter that is not seen'),
        ({"blades": ("K\u200b1", "K1")}, '"K⟨U+200B⟩1": it holds a letter that is not seen'),
        ({"blades": (".K1",)}, '".K1": it begins with a dot'),
        ({"heat_treatments": [{"id": "\u2066t"}]}, '"⟨U+2066⟩t": it holds a letter that is not'),
        ({"name": ".import_x"}, "it begins with a dot"),
        ({"name": "a\u202eb"}, "U+202E"),
    ],
)
def test_a_new_study_has_no_name_that_is_not_what_it_seems(asked, says, tmp_path):
    options = {"title": "Rope", "name": "rope", **asked}
    folder = tmp_path / options.pop("name")
    with pytest.raises(UnusableInput) as told:
        new_study(folder, "sisal_rope", options.pop("title"), **options)
    assert says in str(told.value)
    assert not folder.exists()


def test_a_study_that_somebody_else_wrote_is_refused_by_the_same_rule(tmp_path, run):
    new_study(tmp_path / "rope", "sisal_rope", "Rope", blades=("K1",))
    file = tmp_path / "rope" / "study.toml"
    file.write_text(file.read_text("utf-8").replace('"K1"', '"K\u200b1"'), "utf-8")
    code, out, err = run("check", tmp_path / "rope")
    told = out + err
    assert code == 2
    assert '"K⟨U+200B⟩1": it holds a letter that is not seen' in told
    assert first_unseen(told.replace("\n", "")) == ""


def test_a_terminal_is_told_nothing_by_a_name(tmp_path, run):
    """An escape sequence in a note, and text turned round, come out by their numbers."""
    new_study(tmp_path / "rope", "sisal_rope", "Rope", blades=("K1",))
    log = tmp_path / "rope" / "log.csv"
    log.write_text("blade,cuts,edge_width_um\nK1,0,5\nK\x1b[31m\u202e2,0,6\n", "utf-8")
    code, out, told = run("check", tmp_path / "rope")
    assert code == 2
    assert "⟨U+001B⟩[31m⟨U+202E⟩2" in out + told
    assert "\x1b" not in out + told
    assert "\u202e" not in out + told


@pytest.mark.parametrize("name", ["edge\u202egpj.exe.jpg", ".hidden.jpg"])
def test_a_photograph_s_name_is_what_it_seems(name, tmp_path):
    with pytest.raises(UnusableInput, match="a new name"):
        save_photograph(tmp_path, name, b"x")
    assert list((tmp_path / "photos").iterdir()) == []
