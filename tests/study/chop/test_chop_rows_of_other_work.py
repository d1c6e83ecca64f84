"""Work between the pieces is a row with its strokes and a reason, and no wood."""

STUDY = 'title = "Camp hatchet (invented)"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n'
HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,exclude\n"
WORK = "H1,billet,,,,,,,{chops},other work: offcuts\n"


def made(folder, answer, work):
    rows = [f"H1,billet,{n + 1},B1,European ash,12,50,50,{30 + n}," for n in range(4)]
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    text = HEAD + "\n".join(rows[:2]) + "\n" + work + "\n".join(rows[2:]) + "\n"
    (folder / "chops.csv").write_text(text, encoding="utf-8")
    (own,) = answer("chop", folder)["counts"]["dulling_by_tool"]
    return own


def test_its_strokes_count_as_work_of_the_edge_and_it_is_no_piece(tmp_path, answer, run):
    own = made(tmp_path, answer, WORK.format(chops=120))
    assert own["pieces"] == 4
    code, out, _ = run("check", tmp_path)
    assert "cross-section" not in out
    assert code == 0
    assert run("report", tmp_path)[0] == 0
    less = made(tmp_path, answer, "")
    spread = own["pct_per_100_chops"]["high"] - own["pct_per_100_chops"]["low"]
    assert spread < less["pct_per_100_chops"]["high"] - less["pct_per_100_chops"]["low"]


def test_the_guide_says_how_it_is_logged(run):
    code, out, _ = run("guide", "work between the pieces")
    assert code == 0
    assert "Work between the pieces?" in out
