"""What departs from a chop test's protocol is told, each with what follows; nothing else is."""

import pytest

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
         ("kind of piece", "3 of kind lumber: H1 and H2")),
        (whole(size=60), {}, ("size", "60 mm × 60 mm in 3 of 3 pieces: H1 and H2")),
        (whole(misses=""), {}, ("near misses", "not noted for 3 of 3 pieces: H1 and H2")),
        (whole(board=""), {}, ("boards", "not noted in 3 of 3 rows: H1 and H2")),
        (whole(("H1", "H2")), {}, ("control blade", "C1 was named and never chopped with")),
        (whole(("H1", "H2")), {"control": ""}, ("control blade", "none was named")),
        ([*whole()[:-1], piece("H1", 4)], {},
         ("closing tests", "not done: H1")),
        (sorted(whole()), {}, ("turns", "blades one after the other")),
        (whole(), {"angle": 25},
         ("edge angle", "H1 25° per side (50° included); H2 25° per side (50° included)")),
    ],
)  # fmt: skip
def test_each_departure_is_told(departures, rows, known, told):
    assert told in departures(rows, **known)


def test_a_look_is_missed_only_where_none_followed(departures):
    rows = whole(look="")
    assert ("looks at the edge", "not after 2 of 3 pieces: H1 and H2") in departures(rows)


def test_a_sheet_tells_of_its_own_tool_alone(departures, run, tmp_path):
    departures([*whole(), piece("H2", 4, size=60)])
    run("report", tmp_path, "--to", tmp_path / "d")
    paths = {tool: tmp_path / "d" / f"chopper_{tool}.html" for tool in ("H1", "H2")}
    pages = {
        tool: path.read_text("utf-8").replace("\u00ad", "").replace("\u00a0", " ")
        for tool, path in paths.items()
    }
    assert "60 mm × 60 mm in 1 of 4 pieces" in pages["H2"]
    assert "60 mm" not in pages["H1"]
    code, out, _ = run("check", tmp_path)
    assert code == 0
    assert "60 mm × 60 mm in 1 of 4 pieces: H2" in out
