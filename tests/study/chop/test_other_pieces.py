"""Another piece, asked for in words: what is read, what is refused."""

import pytest

HEAD = "blade,kind,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
ROWS = "".join(f'K1,billet,{n},60,60,"ash, European",12,{k}\n' for k, n in enumerate((18, 20, 22)))


@pytest.fixture
def log(tmp_path):
    path = tmp_path / "chops.csv"
    path.write_text(HEAD + ROWS, encoding="utf-8")
    return path


def test_wood_size_and_how_it_lies_are_read(answer, log):
    told = answer("chop", log, "--to", "European ash 90x45 on edge", "--to", "45", "--to", "2x2 in")
    edge, round_, inches = told["reckoned"]
    sizes = (edge["width_mm"], edge["thickness_mm"], edge["orientation"], edge["wood"])
    assert sizes == (90.0, 45.0, "on edge", "ash, European")
    assert (round_["diameter_mm"], round_["wood"]) == (45.0, "ash, European")
    assert inches["width_mm"] == pytest.approx(50.8)
    assert edge["strokes"]["low"] < edge["strokes"]["value"] < edge["strokes"]["high"]
    assert edge["method"].startswith("reckoned")


@pytest.mark.parametrize("wish", ["oak", "", "0x20", "European ash 20x0"])
def test_what_names_no_piece_is_refused_in_one_line(run, log, wish):
    code, _, err = run("chop", log, "--to", wish)
    assert code == 2
    assert "names no piece" in err
