"""The protocol's limit on chips: reached, not reached, or unknown within bounds."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_limit import limit_verdicts, rows_past_limit
from edgetest.study.chop.edge_damage import EdgeDamage
from edgetest.study.chop.growth_between import Growth, Photographed
from edgetest.study.sources import open_chops


def study(reading, limit):
    return SimpleNamespace(
        rules=SimpleNamespace(limit=SimpleNamespace(reading=reading, value=limit)),
        limit_value=limit,
    )


def look(source="photographs", lengths_um=(), standing=None, when="after"):
    return SimpleNamespace(
        blade="H1", when=when, chops=20, source=source, standing=standing or EdgeDamage(),
        fresh=False, rows=(),
        seen=lambda kind: [{"length_um": one} for one in lengths_um if kind == "chips"],
    )  # fmt: skip


def chips(least, most):
    new = least if least == most else None
    return Growth("H1", "chips", new, 0, 80.0, 20, "photographs", least, most)


def verdict(reading, limit, seen, grown=(), rows=()):
    return list(limit_verdicts(study(reading, limit), [seen], list(grown), rows))


@pytest.mark.parametrize(
    ("new", "limit", "said"), [(0, 1, "not_reached"), (1, 1, "reached"), (3, 2, "reached")]
)
def test_a_known_count_is_held_against_the_limit(new, limit, said):
    (one,) = verdict("chips_count", limit, look(), [chips(new, new)])
    assert (one["value"], one["verdict"]) == (float(new), said)
    assert one["text"].startswith(f"{new} new chip{'' if new == 1 else 's'};")


@pytest.mark.parametrize(
    ("shown", "said"),
    [((1, 1), "reached"), ((0, 1), "unknown"), ((0, 0), "not_reached")],
)
def test_a_chip_that_photographs_show_beyond_the_eye_reaches_the_limit(shown, said):
    by_eye = replace(chips(0, 0), source="log", photographed=Photographed(*shown, 48.0))
    (one,) = verdict("chips_count", 1, look("log"), [by_eye])
    assert one["verdict"] == said
    words = {(1, 1): "1 new chip in photographs (none new by eye); ", (0, 1): "0 to 1 new chips; "}
    assert one["text"].startswith(words.get(shown, "0 new chips; "))


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [(0, 2, "not_reached"), (0, 3, "unknown"), (2, 3, "unknown"), (3, 5, "reached")],
)
def test_a_count_within_bounds_is_judged_only_where_both_bounds_agree(least, most, said):
    (one,) = verdict("chips_count", 3, look(), [chips(least, most)])
    assert (one["low"], one["high"], one["value"]) == (least, most, None)
    assert one["verdict"] == said
    assert said != "unknown" or one["text"].endswith("it is unknown whether it is reached")


def test_the_largest_chip_is_the_worst_of_photographs_and_log():
    logged = EdgeDamage(seen=(("largest chip", 0.8, 4),))
    (one,) = verdict("largest_chip_mm", 1.0, look(lengths_um=(400.0, 700.0)))
    assert (one["value"], one["verdict"]) == (pytest.approx(0.7), "not_reached")
    (one,) = verdict("largest_chip_mm", 0.75, look(lengths_um=(400.0,), standing=logged))
    assert (one["value"], one["verdict"]) == (0.8, "reached")


def test_a_chip_photographed_between_pieces_is_held_against_a_limit_on_the_largest():
    earlier, last = look(lengths_um=(900.0,), when="between"), look(lengths_um=(400.0,))
    rule = study("largest_chip_mm", 0.75)
    (one,) = limit_verdicts(rule, [earlier, last], [], ())
    assert (one["value"], one["verdict"]) == (0.9, "reached")


def test_a_sound_photograph_has_no_chip_and_a_silent_log_says_nothing():
    (one,) = verdict("largest_chip_mm", 1.0, look())
    assert (one["value"], one["verdict"]) == (0.0, "not_reached")
    assert verdict("largest_chip_mm", 1.0, look(source="log")) == []


def test_looks_before_and_other_limits_have_no_verdict():
    assert verdict("chips_count", 1, look(when="before"), [chips(1, 1)]) == []
    assert verdict("chips_count", 1, look(source=None), [chips(1, 1)]) == []
    assert verdict("force_n", 1, look(), [chips(1, 1)]) == []
    assert list(limit_verdicts(None, [look()], [chips(1, 1)], [])) == []


def test_another_blades_chips_are_not_held_against_this_one():
    other = Growth("H2", "chips", 5, 0, 80.0, 20, "photographs", 5, 5)
    assert verdict("chips_count", 1, look(), [other]) == []


@pytest.mark.parametrize(
    ("rolls", "told"),
    [(0, ""), (1, " (1 new roll not counted)"), (2, " (2 new rolls not counted)")],
)
def test_new_rolls_are_told_beside_a_limit_on_chips(rolls, told):
    rolled = Growth("H1", "rolls", rolls, 0, 80.0, 20, "photographs", rolls, rolls)
    (one,) = verdict("chips_count", 1, look(), [chips(0, 0), rolled])
    assert one["text"] == f"0 new chips; the protocol's limit is 1 new chip: not reached{told}"


def unseen(kind, count, least=0):
    return Growth("H1", kind, count, 0, 80.0, 20, "no_look_before", least, count)


@pytest.mark.parametrize(("count", "said"), [(2, "not_reached"), (3, "unknown"), (5, "unknown")])
def test_without_a_look_before_the_test_no_chip_and_no_roll_is_new(count, said):
    grown = [unseen("chips", count), unseen("rolls", 1)]
    (one,) = verdict("chips_count", 3, look(), grown)
    assert (one["low"], one["high"], one["value"], one["verdict"]) == (0, count, None, said)
    assert "the edge was not looked at before the test" in one["text"]
    (one,) = verdict("chips_count", 3, look(), [unseen("chips", 0), unseen("rolls", 1)])
    assert one["text"].endswith("limit is 3 new chips: not reached (1 new or old roll not counted)")


def test_chips_that_came_after_the_first_look_are_new_also_without_a_look_before():
    (one,) = verdict("chips_count", 1, look(), [unseen("chips", 2, least=1)])
    assert (one["low"], one["high"], one["verdict"]) == (1, 2, "reached")
    assert one["text"].startswith("1 to 2 new chips (the edge was not looked at before the test);")


def test_a_first_look_of_the_log_that_agrees_with_the_photographs_leaves_no_bounds():
    (one,) = verdict("chips_count", 2, look(), [unseen("chips", 2, least=2)])
    assert (one["value"], one["verdict"]) == (2.0, "reached")
    assert one["text"] == "2 new chips; the protocol's limit is 2 new chips: reached"
    (one,) = verdict("chips_count", 2, look(), [unseen("chips", 2, least=1)])
    assert one["text"].endswith("limit is 2 new chips, it is unknown whether it is reached")


def further(chops):
    """A row of the tool whose strokes nobody looked after, 20 made before it and seen."""
    return [ChopRow(2, "H1", "billet", chops=parse_strokes("20")),
            ChopRow(3, "H1", "billet", chops=parse_strokes(str(chops)))]  # fmt: skip


@pytest.mark.parametrize(
    ("least", "most", "limit", "said"),
    [
        (0, 0, 1, "unknown"), (1, 1, 1, "reached"), (0, 2, 3, "unknown"), (0, 2, 1, "unknown"),
        (3, 4, 3, "reached"),
    ],
)  # fmt: skip
def test_strokes_after_the_last_look_leave_open_a_limit_that_it_did_not_show(
    least, most, limit, said
):
    (one,) = verdict("chips_count", limit, look(), [chips(least, most)], further(38))
    assert one["verdict"] == said
    open_now = "not reached after 20 strokes; nobody looked after the 38 that followed"
    assert (open_now in one["text"]) == (said == "unknown" and most < limit)


def test_one_stroke_before_the_last_look_is_told_as_one():
    seen = SimpleNamespace(**{**vars(look()), "chops": 1})
    (one,) = verdict("chips_count", 1, seen, [chips(0, 0)], further(38))
    assert "not reached after 1 stroke; nobody looked" in one["text"]


def test_a_limit_is_told_with_what_it_is_on():
    (one,) = verdict("largest_chip_mm", 2.0, look(lengths_um=(400.0,)))
    assert one["text"].endswith("the protocol's limit is 2 mm, the largest chip: not reached")


def test_the_json_holds_the_bounds_within_which_new_chips_are_known(tmp_path):
    (tmp_path / "study.toml").write_text(
        'title = "Hatchet (invented)"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n',
        encoding="utf-8",
    )
    rows = "blade,kind,chops,diameter_mm,chips_count\nH1,billet,20,50,1\nH1,billet,20,50,3\n"
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    (one,) = analyse_chops(open_chops(tmp_path)).to_dict()["limit"]
    assert (one["blade"], one["reading"], one["verdict"]) == ("H1", "chips_count", "reached")
    assert (one["low"], one["high"], one["value"], one["limit"]) == (2, 3, None, 1.0)


def rows(*told):
    """Rows of one tool: "t" a touch-up, else its kind's letter and the chips counted, if any."""
    kinds = {"t": "touch-up", "b": "billet", "i": "inspection"}
    return [
        ChopRow(n, "H1", kinds[one[0]], chips_count=int(one[1:]) if one[1:] else None)
        for n, one in enumerate(told)
    ]


@pytest.mark.parametrize(
    ("told", "past"),
    [
        (("i0", "b", "b1", "b", "b"), [3, 4]),
        (("i1", "b1", "b"), []),  # it was there before
        (("i0", "b1", "b", "t", "i0", "b", "b1", "b"), [2, 7]),  # stoned out, and chipped anew
        (("i0", "b1", "t", "b1", "b"), []),  # the touch-up may have left it
        (("i0", "b1", "t", "b2", "b"), [4]),
        (("i0", "b", "t", "b1", "b"), [4]),
        (("i0", "b1", "t", "i1", "b1", "b"), []),
    ],
)
def test_a_touch_up_begins_an_edge_that_has_not_failed(told, past):
    found = rows_past_limit(rows(*told), "chips_count", 1.0)
    assert [row.line for row in found if row.kind != "touch-up"] == past


def test_the_largest_chip_is_of_the_whole_edge_also_where_it_was_there_before():
    chipped = [ChopRow(n, "H1", "billet", largest_chip_mm=mm) for n, mm in enumerate((2.0, None))]
    assert [row.line for row in rows_past_limit(chipped, "largest_chip_mm", 2.0)] == [1]


def test_a_limit_of_the_study_is_told_as_its_own_and_only_on_chips(run, tmp_path):
    folder = tmp_path / "hatchet"
    run("new", folder, "--protocol", "billet_chop", "--blade", "H1")
    text = (folder / "study.toml").read_text(encoding="utf-8")
    (folder / "study.toml").write_text(f"limit = 5\n{text}", encoding="utf-8")
    rows = ["H1,inspection,0,,,,,0", "H1,billet,1,European ash,12,50,12,", "H1,inspection,1,,,,,2"]
    head = "blade,kind,order,species,moisture_pct,diameter_mm,chops,chips_count"
    (folder / "chops.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    assert "the study's own limit is 5 new chips: not reached" in run("chop", folder)[1]
    with_reading = f'limit = 5\nreading = "chops"\n{text}'
    (folder / "study.toml").write_text(with_reading, encoding="utf-8")
    for command in ("check", "chop"):
        code, out, err = run(command, folder)
        assert code == 2
        assert 'the limit of this test is on chips_count, not on "chops"' in out + err
        assert "leave limit out too if it was not meant of chips_count" in out + err
