"""What departs from a chop test's protocol is told, each with what follows; nothing else is."""

import pytest

from edgetest.store.places import shipped

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

HEAD = ("blade,kind,order,chops,near_misses,width_mm,thickness_mm,species,moisture_pct,knots,"
        "chips_count,rolls_count,result,board")  # fmt: skip


def facts(*, control="C1", angle=20, tools=("H1", "H2")):
    lines = ['title = "Hatchets"', 'protocol = "billet_chop"', "invented = true"]
    lines += [f'control = "{control}"'] if control else []
    for tool in (*tools, "C1"):
        lines += [f'[[blades]]\nid = "{tool}"']
        lines += [f"angle_per_side_deg = {angle}"] if angle else []
    return "\n".join(lines) + "\n"


def piece(tool, order, *, size=50, wood="European ash", misses="0", look="0", board="board a"):
    chops = 15 + order + len(tool)
    return (
        f"{tool},billet,{order},{chops},{misses},{size},{size},{wood},12,0,{look},{look},,{board}"
    )


def whole(tools=("H1", "H2", "C1"), pieces=3, **more):
    """All as asked: pieces in turn, an inspection and a shave at the end."""
    rows = [piece(tool, n, **more) for n in range(1, pieces + 1) for tool in tools]
    for tool in tools:
        rows += [f"{tool},inspection,,,,,,,,,0,0,,", f"{tool},shave,,,,,,,,,,,pass,"]
    return rows


@pytest.fixture
def departures(tmp_path, answer):
    def found(rows, verb="check", **known):
        (tmp_path / "study.toml").write_text(facts(**known), "utf-8")
        (tmp_path / "chops.csv").write_text("\n".join([HEAD, *rows]) + "\n", "utf-8")
        return [(d["of"], d["done"]) for d in answer(verb, tmp_path)["departures"]]

    return found


def test_nothing_departs_where_all_was_done_as_asked(departures):
    assert departures(whole(), "chop") == []


@pytest.mark.parametrize(
    ("rows", "known", "told"),
    [
        (whole(pieces=2), {}, ("pieces", "2 severed or tried: H1 and H2")),
        ([row.replace(",billet,", ",lumber,") for row in whole()], {},
         ("kind of piece", "3 of kind lumber: H1, H2 and C1")),
        (whole(size=60), {}, ("size", "60 mm × 60 mm in 3 of 3 pieces: H1, H2 and C1")),
        (whole(misses=""), {}, ("near misses", "not noted for 3 of 3 pieces: H1, H2 and C1")),
        (whole(board=""), {}, ("boards", "not noted in 3 of 3 rows: H1 and H2")),
        (whole(("H1", "H2")), {}, ("control blade", "C1 was named and never chopped with")),
        (whole(("H1", "H2")), {"control": ""}, ("control blade", "none was named")),
        ([*whole()[:-1], piece("H1", 4)], {},
         ("closing tests", "done after 57 of 78 strokes: H1")),
        (sorted(whole()), {}, ("turns", "blades one after the other")),
        (whole(), {"angle": None}, ("edge angle", "not noted: H1, H2 and C1")),
        ([*whole()[:9], piece("H1", 4, size=60), *whole()[9:]], {},
         ("the maker's addition", "1 piece of European ash, 60 mm × 60 mm: H1")),
    ],
)  # fmt: skip
def test_each_departure_is_told(departures, rows, known, told):
    assert told in departures(rows, **known)


def test_a_look_is_missed_only_where_none_followed(departures):
    rows = whole(look="")
    assert ("looks at the edge", "not after 2 of 3 pieces: H1, H2 and C1") in departures(rows)


def test_a_sheet_tells_of_its_own_tool_alone(departures, run, tmp_path):
    departures([*whole(), piece("H2", 4, size=60)])
    run("report", tmp_path, "--to", tmp_path / "d")
    paths = {tool: tmp_path / "d" / f"chopper_{tool}.html" for tool in ("H1", "H2")}
    pages = {
        tool: path.read_text("utf-8").replace("\u00ad", "").replace("\u00a0", " ")
        for tool, path in paths.items()
    }
    beside = "1 piece of European ash, 60 mm × 60 mm, beside the protocol's 3 pieces a blade"
    assert f"The maker's addition: {beside}. They have figures" in pages["H2"]
    assert "60 mm" not in pages["H1"]
    code, out, _ = run("check", tmp_path)
    assert code == 0
    assert "60 mm × 60 mm: H2, beside the protocol's 3 pieces a blade" in out


@pytest.mark.parametrize("angle", [12.5, 25])
def test_an_angle_as_the_maker_would_sell_it_is_no_departure(departures, angle):
    assert departures(whole(), "chop", angle=angle) == []
    assert departures(whole(), angle=angle) == []


def test_pieces_beside_all_that_is_asked_are_an_addition_and_nothing_departs(
    departures, run, tmp_path
):
    thin = whole(size=40, wood="hazel", board="pole")[:9]
    poles = [row.replace("hazel,12,", "hazel,green,") for row in thin]
    rows = [*whole()[:9], *poles, *whole()[9:]]
    told = [("the maker's addition", "3 pieces of green hazel, 40 mm × 40 mm: H1, H2 and C1")]
    assert departures(rows) == told
    run("report", tmp_path, "--blade", "H1", "--to", tmp_path / "d")
    page = (tmp_path / "d" / "chopper_H1.html").read_text("utf-8").replace("\u00ad", "")
    assert "Nothing departs from it." in page.replace("\u00a0", " ")
    assert "asked: " not in page
    few = departures([*whole(pieces=2)[:6], *poles, *whole()[9:]])
    assert [of for of, _ in few] == ["size", "wood", "wood"]


@pytest.mark.parametrize(("left", "told"), [("4", "that board"), ("34", "those boards")])
def test_strokes_on_one_board_without_the_control_are_of_one_board(tmp_path, run, left, told):
    rows = [piece(tool, n, board=f"board {n}") for n in range(1, 5) for tool in ("H1", "C1")
            if tool == "H1" or str(n) not in left]  # fmt: skip
    (tmp_path / "study.toml").write_text(facts(tools=("H1",)), "utf-8")
    (tmp_path / "chops.csv").write_text("\n".join([HEAD, *rows]) + "\n", "utf-8")
    assert f"Strokes on {told} have nothing beside them." in run("chop", tmp_path)[1]


def test_what_was_not_noted_of_an_added_piece_is_told(departures):
    bare = [piece(tool, 4, size=40, wood="", board="pole") for tool in ("H1", "H2", "C1")]
    told = departures([*whole()[:9], *bare, *whole()[9:]])
    assert ("wood", "wood not noted in 1 of 4 rows: H1, H2 and C1") in told


def test_no_departure_of_a_chop_test_speaks_of_lives(tmp_path, answer):
    own = shipped("protocols") / "billet_chop.toml"
    edge = "[edge_preparation]\n"
    rules = own.read_text("utf-8").replace('"billet_chop"', '"mine"', 1)
    (tmp_path / "mine.toml").write_text(rules.replace(edge, edge + "angle_per_side_deg = 20\n"))
    (tmp_path / "study.toml").write_text(facts(angle=25).replace("billet_chop", "mine.toml"))
    (tmp_path / "chops.csv").write_text("\n".join([HEAD, *whole()]) + "\n", "utf-8")
    (angle,) = answer("check", tmp_path)["departures"]
    assert angle["done"] == "H1 and H2 25° per side (50° included)"
    assert "strokes" in angle["means"]
    assert "lives" not in angle["means"]


@pytest.mark.parametrize(
    ("written", "instead", "unasked"),
    [
        (", those that miss the kerf in near_misses too", "", "near misses"),
        ("stages = [1, 2, 3]", "stages = [3]", "looks at the edge"),
        ('name = "chips_count"', 'name = "dull_patches_count"', "looks at the edge"),
    ],
)
def test_what_a_protocol_of_your_own_does_not_ask_for_is_not_missed(
    tmp_path, answer, written, instead, unasked
):
    rules = (shipped("protocols") / "billet_chop.toml").read_text("utf-8")
    rules = rules.replace('"billet_chop"', '"mine"', 1).replace('"largest_chip_mm"', '"burr_mm"')
    rules = rules.split("[limit]\n")
    rules = rules[0] + "[sources]\n" + rules[1].split("[sources]\n")[1]
    (tmp_path / "study.toml").write_text(facts().replace("billet_chop", "mine.toml"), "utf-8")
    rows = [row.replace(",0,0,,board", ",,,,board") for row in whole(misses="")]
    (tmp_path / "chops.csv").write_text("\n".join([HEAD, *rows]) + "\n", "utf-8")

    def held(words):
        (tmp_path / "mine.toml").write_text(words, "utf-8")
        told = answer("check", tmp_path)
        return {each["of"] for each in told["departures"]}

    assert held(rules) == {"near misses", "looks at the edge"}
    assert held(rules.replace(written, instead)) == held(rules) - {unasked}
