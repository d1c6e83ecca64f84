"""The command that writes the next test down, test by test."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, TemperSeen, TrialSeen
from edgetest.study.steel.entry_hint import FOUND, entry_hint
from edgetest.study.steel.fill_in import known_beside


def hint(
    code,
    of=None,
    piece="old leaf",
    heats=(),
    use=None,
    trials=(),
    broken=(),
    wanted_hrc=(55.0, 61.0),
    **how,
):
    test = SimpleNamespace(code=code) if code else None
    decision = SimpleNamespace(
        **{
            "action": "go_on",
            "next_test": test,
            "of": of,
            "soak": "",
            "contradictions": broken,
            **how,
        }
    )
    told = SimpleNamespace(
        asked=SimpleNamespace(piece=piece, decision=decision),
        seen=SimpleNamespace(heats=heats, trials=trials, pieces=(), use=use, wanted_hrc=wanted_hrc),
        noted=SimpleNamespace(heats=heats),
        wanted_hrc=wanted_hrc,
    )
    return entry_hint(told, "a b")


START = f"{FOUND} edgetest enter 'a b' --evidence "


@pytest.mark.parametrize(
    ("code", "of", "row"),
    [
        ("magnet", None, "pieces id='old leaf' magnet=STRONG-WEAK-OR-NONE"),
        ("laboratory", None, "pieces id='old leaf' carbon_pct=PER-CENT"),
        (
            "coupon_oil",
            None,
            "heats piece='old leaf' coupon=1 medium=oil heat_c=DEGREES-READ magnet=HOLDS-OR",
        ),
        ("coupon_water", ("C 2", 3), "heats piece='old leaf' coupon='C 2' medium=warm_water "),
        ("second_piece", ("C2", 3), "heats piece=OTHER coupon=1 medium=oil "),
        ("grind_and_file", ("C2", 3), "heats piece='old leaf' coupon=C2 heat=3 hardness_below="),
        ("break_coupon", None, "heats piece='old leaf' coupon=coupon1 medium=oil "),
        ("temper_ladder", ("C2", 3), "tempers piece='old leaf' coupon=C2 temperature_c=175"),
        (
            "bend",
            ("C2", 3),
            "trials piece='old leaf' coupon=C2 heat=3 test=bend edge=SOUND-OR-HOW-HURT",
        ),
        ("bend", None, "trials piece='old leaf' test=bend edge=SOUND-OR-HOW-HURT"),
        ("sharpen_again", None, "trials piece='old leaf' test=rope result=BETTER-SAME-OR-WORSE"),
    ],
)
def test_each_test_has_its_row(code, of, row):
    assert hint(code, of).startswith(START + row)


def test_the_line_of_sparks_asks_for_the_two_known_steels():
    named = "--evidence known known_low=LOW-CARBON-STEEL known_high=HIGH-CARBON-STEEL"
    assert hint("sparks").endswith(f"name them too: edgetest enter 'a b' {named}")
    assert "--evidence known" not in hint("magnet")


def test_a_trial_blade_is_written_down_with_its_heat_and_temper():
    told = hint("trial_blade").split("\n  ")
    assert len(told) == 4
    assert [line.split(" --evidence ")[1].split()[0] for line in told[1:]] == [
        "heats", "tempers", "trials",
    ]  # fmt: skip
    assert all("coupon=blade1" in line for line in told[1:])
    assert "trials heat=1 coupon=blade1 piece='old leaf' test=rope" in told[3]
    assert all("heat=1" in line for line in told[1:])
    assert "hardness_below=" in told[1]
    assert "hardness=" in told[2]


def read(low, high=None):
    return (HardnessSeen(low, high or low, "below", by_files=high is not None),)


def test_a_trial_blade_takes_the_quench_and_temper_that_the_coupons_showed_to_work():
    soft = HeatSeen("old leaf", "A", medium="oil", hardness=read(45.0, 50.0))
    hard = HeatSeen(
        "old leaf", "B", medium="warm_water", heat_c=816.0, hardness=read(58.5),
        tempers=(TemperSeen(246.0, 60.0, hardness=read(50.0, 55.0)),
                 TemperSeen(191.0, 60.0, hardness=read(55.0, 60.0))),
    )  # fmt: skip
    sister = HeatSeen("other", "B", medium="brine", hardness=read(63.0))
    told = hint("trial_blade", heats=(soft, hard, sister)).split("\n  ")
    assert "medium=warm_water heat_c='816 °C'" in told[1]
    assert "temperature_c='191 °C'" in told[2]


@pytest.mark.parametrize("code", [None, "something_else"])
def test_what_is_written_down_otherwise_has_no_hint(code):
    assert hint(code) == ""


@pytest.mark.parametrize(("use", "test"), [("chopper", "chop"), ("knife", "rope")])
def test_a_trial_blade_is_tried_as_its_use_asks(use, test):
    assert f"test={test} " in hint("trial_blade", use=use)


@pytest.mark.parametrize(("done_c", "next_c"), [((), 175), ((175.0, 189.0), 203), ((255.0,), 260)])
def test_the_line_of_a_ladder_is_of_its_next_step(done_c, next_c):
    heat = HeatSeen("old leaf", tempers=tuple(TemperSeen(at) for at in done_c))
    assert f"temperature_c={next_c} " in hint("temper_ladder", heats=(heat,))


def test_a_trial_beside_a_known_blade_has_room_for_its_name():
    assert "beside=KNOWN-BLADE" in hint("sharpen_again")
    assert "beside=" not in hint("brass_rod")


@pytest.mark.parametrize("action", ["reuse", "light_use", "leave", "buy_known"])
def test_where_the_matter_ends_the_page_to_keep_is_named(action):
    decision = SimpleNamespace(action=action, next_test=None, of=None, soak="")
    told = SimpleNamespace(asked=SimpleNamespace(piece="A", decision=decision))
    assert entry_hint(told, "a b").endswith("the page to keep: edgetest report 'a b'")


CHIPPED = TrialSeen("old leaf", "chop", "worse", "chipped", heat=("blade1", 1))


def test_a_fresh_coupon_has_a_new_number_and_the_heat_of_the_blade_that_chipped():
    hot = {"colour": "bright_cherry", "medium": "oil", "soak_min": 6.0, "section_mm": 4.0}
    blade = HeatSeen("old leaf", "blade1", **hot)
    told = hint("break_coupon", heats=(HeatSeen("old leaf"), blade), trials=(CHIPPED,))
    assert "coupon=2 medium=oil colour='bright cherry' soak_min=6 section_mm=4 " in told


def test_a_blade_tempered_hotter_is_tried_next_and_by_chopping_where_it_is_struck():
    blade = HeatSeen("old leaf", "blade1", tempers=(TemperSeen(175), TemperSeen(190)))
    told = hint("temper_and_try", ("blade1", 1), heats=(blade,), use="hedging_tool")
    assert "tempers" not in told
    assert "coupon=blade1 heat=1 temper_c='190 °C' test=chop" in told


def test_a_run_whose_edge_hit_something_stays_beside_the_next_one():
    blade = HeatSeen("old leaf", "blade1", tempers=(TemperSeen(205),))
    short = TrialSeen("old leaf", "chop", edge="sound", heat=("blade1", 1), strokes=20)
    hit = replace(short, edge="rolled", strokes=90, hit="old fence staple")
    for trials, over in (((short,), True), ((hit,), False), ((hit, short), False)):
        told = hint("temper_and_try", ("blade1", 1), heats=(blade,), trials=trials)
        assert (" --replace " in told) == over


def test_a_blade_hardened_anew_goes_on_from_its_own_last_temper():
    blade = HeatSeen("old leaf", "blade1", tempers=(TemperSeen(190),))
    told = hint("temper_and_try", ("blade1", 2), heats=(blade, replace(blade, heat=2, tempers=())))
    assert "heat=2 temperature_c='190 °C'" in told


def test_a_temper_that_was_read_on_clean_steel_is_read_once_more_behind_that_reading():
    def line(read):
        heat = HeatSeen("A", "1", tempers=(TemperSeen(204, hardness=(read,)),))
        told = SimpleNamespace(where=SimpleNamespace(value=204))
        found = SimpleNamespace(code="drawn_too_far", heats=(heat,), doubt=told)
        return hint("grind_and_file", ("1", 1), heats=(heat,), broken=(found,))

    skin = "temperature_c=204 --replace hardness= hardness_below=LOW-HIGH"
    assert line(HardnessSeen(45, 50)).endswith(skin)
    again = "temperature_c=204 --replace hardness_below='45-50; LOW-HIGH'"
    assert line(HardnessSeen(45, 50, "below")).endswith(again)


def test_a_temper_whose_readings_disagree_is_read_again_in_its_own_row():
    apart, coupon = (HardnessSeen(45, 50), HardnessSeen(60, 65)), "piece='old leaf' coupon=1 heat=1"
    after = HeatSeen("A", "1", tempers=(TemperSeen(204, hardness=apart),))
    bare = HeatSeen("A", "1", tempers=(TemperSeen(hardness=apart),))
    later = HeatSeen("A", "1", tempers=(*after.tempers, TemperSeen(220, hardness=apart[:1])))

    def line(heat, at_c):
        told = SimpleNamespace(where=SimpleNamespace(value=at_c))
        found = SimpleNamespace(code="temper_read_apart", heats=(heat,), doubt=told)
        return hint("grind_and_file", ("1", 1), heats=(heat,), broken=(found,))

    again = "--replace hardness= hardness_below=LOW-HIGH"
    assert line(after, 204).endswith(f"tempers {coupon} temperature_c=204 {again}")
    assert line(bare, None).endswith(f"tempers {coupon} {again}")
    assert "heats piece" in line(later, 204)  # its coupon was tempered again since


def test_a_short_temper_is_no_step_of_the_ladder_and_leaves_a_blade_to_be_tempered():
    short, long = TemperSeen(200, 5.0), TemperSeen(200, 60.0)
    for tempers, at in (((short,), 175), ((long,), 214)):
        told = hint(
            "temper_ladder", ("C2", 1), heats=(HeatSeen("old leaf", "C2", tempers=tempers),)
        )
        assert f"temperature_c={at} " in told
    for tempers, rows in (((short,), 2), ((long,), 1)):
        blade = HeatSeen("old leaf", "blade1", tempers=tempers)
        told = hint("temper_and_try", ("blade1", 1), heats=(blade,))
        assert told.count("--evidence") == rows


@pytest.mark.parametrize(
    ("coupon", "fresh"),
    [("coupon1", "coupon2"), ("3", "4"), ("blade1", "blade2"), ("T1", "T2"), ("my own", "coupon1")],
)
def test_a_fresh_coupon_follows_a_cracked_one_and_a_blade_a_blade(coupon, fresh):
    heats = tuple(
        HeatSeen("old leaf", one, medium="water") for one in ("1", "2") * coupon.isdigit()
    )
    heats += (HeatSeen("old leaf", coupon, medium="water", cracked=1),)
    told = hint(None, (coupon, 1), heats=heats, action="heat_treat_again", way="slower_quench")
    assert f" coupon={fresh} heat=1 medium=oil " in told
    assert (" grain=" in told) == (not fresh.startswith("blade"))


def test_the_known_steels_are_asked_for_as_far_as_nobody_named_them():
    both = SimpleNamespace(known_low="mild bar", known_high="an old file")
    assert known_beside("sparks", "st", both) == ""
    one = known_beside("sparks", "st", SimpleNamespace(known_low="mild bar", known_high=""))
    assert one.endswith("--evidence known known_high=HIGH-CARBON-STEEL")
    assert known_beside("magnet", "st", None) == ""
