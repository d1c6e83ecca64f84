"""What do earlier studies teach: offered, never taken unasked, and never twice?"""

import json

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.settled_pieces import add_settled, offered_words, settled_pieces

STOOD = '[[evidence.trials]]\npiece = "{}"\ntest = "rope"\nresult = "same"\n'
GAVE_OUT = '[[evidence.trials]]\npiece = "{}"\ncoupon = "{}"\ntest = "rope"\nresult = "worse"\n'


def study(folder, evidence, *, head=""):
    folder.mkdir(parents=True)
    text = f'title = "Study {folder.name}"\n{head}[verdict]\nuse = "knife"\n{evidence}'
    (folder / "study.toml").write_text(text, encoding="utf-8")
    return folder


def piece(name, more=""):
    return f'[[evidence.pieces]]\nid = "{name}"\norigin = "leaf spring"\n{more}'


@pytest.fixture
def shop(tmp_path):
    """A new leaf spring beside studies that settled some pieces and left others open."""
    study(tmp_path / "springs", piece("A", 'lot = "car"\n') + piece("B", 'lot = "car"\n')
          + piece("C") + STOOD.format("A") + STOOD.format("B"))  # fmt: skip
    poor = piece("P") + GAVE_OUT.format("P", 1) + GAVE_OUT.format("P", 2)
    once = piece("once") + GAVE_OUT.format("once", 1)
    study(tmp_path / "poor", poor + piece("M", "carbon_pct = 0.1\n") + once)
    study(tmp_path / "made_up", piece("I") + STOOD.format("I"), head="invented = true\n")
    study(tmp_path / "packed", piece("K") + STOOD.format("K") + "carburised = true\n")
    study(tmp_path / "broken", "[[evidence.pieces]]\nid = 3\n")
    return study(tmp_path / "new", piece("N", 'magnet = "strong"\nsparks = "between"\n'))


def test_what_is_settled_is_offered_and_nothing_else(shop):
    found = {one.pieces: (one.row.turned_out, one.row.count) for one in settled_pieces(shop)}
    assert found == {("A", "B"): ("fit", 2), ("P",): ("unfit", 1), ("M",): ("unfit", 1)}
    said = offered_words(settled_pieces(shop))
    assert said.startswith("4 settled pieces of earlier studies could be added: ")
    assert "A, B of Study springs (springs): leaf spring, served as a blade (2 pieces)" in said
    assert "P of Study poor (poor): leaf spring, made no blade that lived (1 piece)" in said
    by_figure = "leaf spring, too little carbon for an edge, by the laboratory's figure (1 piece)"
    assert f"M of Study poor (poor): {by_figure}" in said


def test_a_blade_that_gave_out_at_the_last_is_no_success(tmp_path):
    blade = '[[evidence.trials]]\npiece = "{}"\ncoupon = "b"\ntest = "chop"\nresult = "same"\n'
    rolled = blade.format("A") + 'edge = "rolled"\n'
    study(tmp_path / "rolled", piece("A") + rolled)
    study(tmp_path / "even", piece("A", "thickness_mm = 6\n") + rolled + blade.format("A"))
    new = study(tmp_path / "new", piece("N"))
    assert settled_pieces(new) == ()


def test_of_a_lot_settled_in_two_ways_what_stands_in_the_tables_is_taken_off_once(tmp_path):
    """One piece gave out twice, the laboratory settled its sister: one lot, one row of two."""
    lot = 'lot = "car"\n'
    poor = piece("P", lot) + GAVE_OUT.format("P", 1) + GAVE_OUT.format("P", 2)
    study(tmp_path / "poor", poor + piece("M", f"{lot}carbon_pct = 0.1\n"))
    new = study(tmp_path / "new", piece("N"))
    (one,) = settled_pieces(new)
    assert (one.pieces, one.row.count) == (("P", "M"), 2)
    assert "made no blade that lived (2 pieces)" in one.summary()


def test_a_copy_of_a_study_is_offered_once_and_its_folder_is_named(tmp_path):
    text = piece("A") + STOOD.format("A")
    for name in ("first", "second"):
        folder = study(tmp_path / name, text)
        toml = folder / "study.toml"
        toml.write_text(toml.read_text("utf-8").replace(f"Study {name}", "Tines"), "utf-8")
    (one,) = settled_pieces(study(tmp_path / "new", piece("N")))
    assert one.summary().startswith(f"A of Tines ({one.folder}): ")
    assert one.folder in ("first", "second")


def test_a_copy_that_went_its_own_way_offers_no_piece_of_the_study_or_of_another_copy(tmp_path):
    heat = '[[evidence.heats]]\npiece = "A"\ncoupon = "A1"\nmedium = "oil"\nheat_c = 820\n'
    text, other = piece("A") + heat, heat.replace("820", "830")
    more = heat.replace('"A1"', '"A2"')
    study(tmp_path / "first", text + STOOD.format("A"))
    study(tmp_path / "second", text + more + STOOD.format("A").replace("rope", "chop"))
    study(tmp_path / "another", piece("A") + other + STOOD.format("A"))
    of_a = settled_pieces(study(tmp_path / "new", text))
    assert [one.folder for one in of_a] == ["another"]
    of_n = settled_pieces(study(tmp_path / "newer", piece("N")))
    assert sorted(one.folder for one in of_n) == ["another", "second"]  # which tells of most
    add_settled(tmp_path / "newer", next(one for one in of_n if one.folder == "second"))
    with (tmp_path / "first" / "study.toml").open("a", encoding="utf-8") as file:
        file.write(more + more.replace('"A2"', '"A3"'))  # now the first tells of more
    assert [one.folder for one in settled_pieces(tmp_path / "newer")] == ["another"]


def test_pieces_of_a_lot_of_several_kinds_keep_its_name(tmp_path):
    disc = piece("D", 'lot = "car"\n').replace("leaf spring", "plough disc")
    study(tmp_path / "both", piece("A", 'lot = "car"\n') + disc + STOOD.format("A"))
    (one,) = settled_pieces(study(tmp_path / "new", piece("N")))
    assert (one.row.lot, one.row.origin) == ("both: car", "leaf_spring")


def test_nothing_is_taken_before_it_is_added_and_nothing_twice(shop):
    before = judge_steel(shop, try_numbers=False)
    assert "own pieces" not in before.before.source
    assert not list(shop.glob("*steels.toml"))
    good = next(one for one in settled_pieces(shop) if one.row.turned_out == "fit")
    path = add_settled(shop, good)
    assert path.parent == shop
    after = judge_steel(shop, try_numbers=False)
    assert "own pieces" in after.before.source
    assert after.asked.decision.chance_fit > before.asked.decision.chance_fit
    left = settled_pieces(shop)
    assert good.pieces not in [one.pieces for one in left]
    for one in left:
        add_settled(shop, one)
    assert settled_pieces(shop) == ()
    assert offered_words(()) == ""


def test_a_sister_settled_later_is_offered_alone(shop):
    for one in settled_pieces(shop):
        add_settled(shop, one)
    file = shop.parent / "springs" / "study.toml"
    more = piece("D", 'lot = "car"\n') + STOOD.format("D")
    file.write_text(file.read_text(encoding="utf-8") + more, encoding="utf-8")
    (one,) = settled_pieces(shop)
    assert one.row.count == 1
    assert "3 pieces, 1 of them new" in one.summary()


def test_a_file_of_one_s_own_keeps_its_rows_and_one_with_a_fault_is_left_alone(shop):
    own = shop / "mine.toml"
    own.write_text("# of my shop\n[prior]\n", encoding="utf-8")
    file = shop / "study.toml"
    text = file.read_text(encoding="utf-8")
    named = '[verdict]\ntables = "mine.toml"\n'
    file.write_text(text.replace("[verdict]\n", named), encoding="utf-8")
    one = settled_pieces(shop)[0]
    assert add_settled(shop, one) == own
    assert own.read_text(encoding="utf-8").startswith("# of my shop\n")
    own.write_text("[nonsense]\na = 1\n", encoding="utf-8")
    with pytest.raises(UnusableInput):
        add_settled(shop, one)
    assert own.read_text(encoding="utf-8") == "[nonsense]\na = 1\n"


def test_the_command_names_what_could_be_added(run, shop):
    code, out, _ = run("verdict", shop)
    assert code == 0
    assert "4 settled pieces of earlier studies could be added" in out
    told = json.loads(run("verdict", shop, "--json")[1])["could_be_added"]
    assert {"study": "Study springs", "pieces": ["A", "B"]}.items() <= told[-1].items()
    assert told[-1]["row"]["turned_out"] == "fit"
