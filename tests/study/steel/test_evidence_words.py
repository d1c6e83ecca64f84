"""What was seen of a steel, in a line each; and which temper to go on with, of those read."""

from dataclasses import replace

import pytest

from edgetest.steel.steel_seen import (
    HardnessSeen,
    HeatSeen,
    PieceSeen,
    SteelSeen,
    TemperSeen,
    TrialSeen,
)
from edgetest.study.steel.evidence_words import (
    hardness_words,
    heat_line,
    heat_name,
    heats_in_words,
    in_celsius_too,
    instruments_in_words,
    nearest_temper,
    notes_in_words,
    pieces_in_words,
    temper_line,
    trial_line,
    trials_in_words,
)
from edgetest.study.steel.steel_rows import SteelRows

WANTED = (52.0, 59.0)


def temper(celsius, low, high, where="below", **more):
    return TemperSeen(celsius, 60.0, hardness=(HardnessSeen(low, high, where),), **more)


def heats(*tempers, **more):
    return [HeatSeen("A", "1", tempers=tempers, **more)]


def test_the_middle_of_what_is_wanted_is_the_mark():
    found = nearest_temper(heats(temper(175, 60, 65), temper(205, 55, 60), temper(230, 55, 60),
                                 temper(260, 50, 55, for_use=True)), WANTED)  # fmt: skip
    assert found == (
        "Of the tempers read, 205 °C (55 to 60 HRC) and 230 °C (55 to 60 HRC) came nearest to the "
        "middle of the 52 to 59 HRC wanted. The one for use, 260 °C, read 50 to 55 HRC of coupon "
        "1, heat 1: partly beside it."
    )


def test_a_temper_for_use_within_what_is_wanted_is_not_remarked_upon():
    found = nearest_temper(heats(temper(205, 57.0, 57.0, for_use=True)), WANTED)
    assert found.endswith("205 °C (57 HRC) came nearest to the middle of the 52 to 59 HRC wanted.")


@pytest.mark.parametrize(
    "given",
    [heats(), heats(temper(205, None, 60)), heats(temper(None, 55, 60)),
     heats(temper(205, 44.4, 46.1)), heats(temper(150, 60, 65)),
     heats(temper(205, 55, 60), carburised=True)],
)  # fmt: skip
def test_of_what_was_not_read_or_lies_wholly_beside_nothing_is_said(given):
    assert nearest_temper(given, WANTED) == ""


def test_readings_below_the_skin_come_before_those_of_it():
    both = TemperSeen(205, 60.0, hardness=(HardnessSeen(40, 45, "skin"),
                                           HardnessSeen(55, 60, "below")))  # fmt: skip
    assert "205 °C (55 to 60 HRC)" in nearest_temper(heats(both), WANTED)


def test_a_temper_for_use_that_lies_wholly_beside_is_said_to():
    found = nearest_temper(heats(temper(205, 55, 60), temper(300, 45, 50, for_use=True)), WANTED)
    assert found.endswith(
        "The one for use, 300 °C, read 45 to 50 HRC of coupon 1, heat 1: beside it."
    )


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (HardnessSeen(60, 65, "below"), "60 to 65 HRC below the skin"),
        (HardnessSeen(61.52, 61.52, "skin"), "61.5 HRC on the skin"),
        (HardnessSeen(None, 40), "under 40 HRC"),
        (HardnessSeen(65, None), "over 65 HRC"),
    ],
)
def test_a_reading_is_told_as_it_was_made(reading, said):
    assert hardness_words((reading,)) == said
    assert hardness_words((reading, HardnessSeen(50, 55))) == f"{said}, 50 to 55 HRC"


def test_a_heat_is_told_with_all_that_is_known_of_it():
    heat = HeatSeen(
        "A", "A1", 2, "warm_water", 60.0, 800.0, "dull_red", "lets_go", 5.0, section_mm=6.0,
        hardness=(HardnessSeen(60, 65),), grain="fine", fracture="snapped_clean", cracked=0,
        count=3, tempers=(TemperSeen(200.0, 60.0, 2, for_use=True),), carburised=True,
    )  # fmt: skip
    assert heat_line(heat) == (
        "packed with carbon; section 6 mm, 800 °C, dull red, the magnet lets go, soaked 5 min, "
        "into warm water at 60 °C; 60 to 65 HRC; grain fine; snapped clean; 0 of 3 cracked; "
        "temper 2 × 200 °C, 60 min (for use)"
    )


def test_of_a_heat_that_nobody_told_of_only_that_is_said():
    assert heat_line(HeatSeen("A", medium_c=60.0)) == "quench not told"


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (TemperSeen(), "temper not told"),
        (TemperSeen(200.0), "temper 200 °C"),
        (
            TemperSeen(200.0, 90.0, hardness=(HardnessSeen(58, 58),)),
            "temper 200 °C, 90 min: 58 HRC",
        ),
        (TemperSeen(None, 90.0, 2), "temper 2 × not told, 90 min"),
    ],
)  # fmt: skip
def test_a_temper_is_told_by_what_is_known(told, said):
    assert temper_line(told) == said


@pytest.mark.parametrize(
    ("heat", "alone", "among"),
    [
        (HeatSeen("A", "A1"), "coupon A1, heat 1", "A, coupon A1, heat 1"),
        (HeatSeen("A", "K1", blade="K1"), "K1", "A, K1"),
        (HeatSeen("A", "K1", 2, blade="K1"), "K1, heat 2", "A, K1, heat 2"),
    ],
)
def test_a_heat_has_a_name(heat, alone, among):
    assert heat_name(heat, several=False) == alone
    assert heat_name(heat, several=True) == among


def test_heats_name_their_piece_only_where_there_are_several():
    heat, one, other = HeatSeen("A"), PieceSeen("A"), PieceSeen("B")
    assert heats_in_words(SteelSeen(pieces=(one,), heats=(heat,)))[0][0] == "coupon 1, heat 1"
    assert heats_in_words(SteelSeen(pieces=(one, other), heats=(heat,)))[0][0] == (
        "A, coupon 1, heat 1"
    )


@pytest.mark.parametrize(
    ("trial", "said"),
    [
        (
            TrialSeen("A", "rope", "worse", "took_a_set", 0.44, carburised=True, note="wet rope"),
            "packed with carbon; worse; edge took a set; lasted 0.44 of the known blade's life, "
            "how sure not said; wet rope",
        ),
        (
            TrialSeen("A", "rope", life_ratio=0.44, life_ratio_log_u=0.1, ratio_typed="0.44 (…)"),
            "lasted 0.44 (…) of the known blade's life",
        ),
        # 0.5 times e to the power of -0.19600 and of 0.19600.
        (
            TrialSeen("A", "rope", life_ratio=0.5, life_ratio_log_u=0.1),
            "lasted 0.50 (0.41 to 0.61) of the known blade's life",
        ),
        (TrialSeen("A", "bend"), ""),
    ],
)
def test_a_trial_is_told_with_what_it_showed(trial, said):
    assert trial_line(trial) == said
    assert trials_in_words(SteelSeen(trials=(trial,))) == [(f"A, {trial.trial}", said)]


def told_of(**facts):
    rows = SteelRows.model_validate({"pieces": [{"id": "A", **facts}]})
    seen = SteelSeen(pieces=(PieceSeen("A", hardness=(HardnessSeen(None, 40, "skin"),)),))
    ((name, said),) = pieces_in_words(rows, seen)
    assert name == "A"
    return said


def test_a_piece_is_told_by_what_was_looked_at():
    assert told_of() == "coating not looked at; under 40 HRC on the skin"
    assert told_of(
        form="disc", origin="plough disc", source="a sale", thickness_mm=6, makes_blades=1,
        coating="painted", lead="no", closed_hollow=True, loaded_spring=True, magnet="strong",
        sparks="like_low", stream="short_red", forging="moves", fracture="did_not_break",
        carbon_pct=0.62,
    ) == (
        "disc; plough disc; a sale; 6 mm thick; for 1 blade; coating painted; lead no; closed "
        "hollow; loaded spring; magnet strong; sparks like low; stream short red; forging: moves; "
        "break did not break; 0.62 % carbon by analysis; under 40 HRC on the skin"
    )  # fmt: skip
    assert "for 9 blades" in told_of(makes_blades=9)
    assert "lot harrow" in told_of(lot="harrow")


def test_one_temper_in_two_scales_is_told_once():
    """400 °F is 204.4 °C: no oven holds the two apart."""
    both = heats(temper(400 / 1.8 - 160 / 9, 55, 60), temper(204, 55, 60, repeats=2, for_use=True))
    found = nearest_temper(both, WANTED, take=True)
    assert found.count("HRC) ") == 1
    assert not any(word in found for word in ("beside it", "hottest"))


def test_of_two_tempers_within_half_a_degree_of_hardness_both_are_named():
    """Middles of 55 to 56 lie 0 and half a unit off the middle wanted, 55.5; of 58, 2.5."""
    near, far = temper(200, 55, 56), temper(250, 55.5, 56.5)
    told = nearest_temper(heats(near, far, temper(150, 58, 58)), WANTED)
    assert "205" not in told
    assert "200 °C (55 to 56 HRC)" in told
    beside = nearest_temper(heats(near, temper(250, 56, 56.5)), WANTED)  # three quarters off
    assert "200 °C (55 to 56 HRC) came nearest" in beside


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(45, 52, "partly beside it"), (59, 63, "partly beside it"), (52, 59, ""),
     (45, 51.9, "beside it"), (59.1, 63, "beside it")],
)  # fmt: skip
def test_the_ends_of_what_is_wanted_belong_to_it(low, high, said):
    told = nearest_temper(heats(temper(205, 55, 56), temper(300, low, high, for_use=True)), WANTED)
    assert told.endswith(f": {said}." if said else "wanted.")


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(50, 55, True), (50, 52, True), (50, 51.9, False), (59, 63, True), (59.1, 63, False)],
)
def test_a_temper_comes_into_what_is_wanted_by_either_end(low, high, said):
    assert bool(nearest_temper(heats(temper(205, low, high)), WANTED)) is said


def test_of_a_temper_that_may_have_been_read_at_one_end_only_that_end_is_not_taken():
    both = TemperSeen(205, 60.0, hardness=(HardnessSeen(55, None), HardnessSeen(54, 58)))
    assert "205 °C (54 to 58 HRC)" in nearest_temper(heats(both), WANTED)
    several = TemperSeen(205, 60.0, hardness=(HardnessSeen(53, 55), HardnessSeen(54, 58)))
    assert "205 °C (53 to 58 HRC)" in nearest_temper(heats(several), WANTED)


def test_a_trial_names_the_coupon_and_heat_the_known_blade_and_the_day():
    trial = TrialSeen("A", "chop", "same", "sound", heat=("blade1", 2), beside="my old chopper",
                      day="2026-05-04")  # fmt: skip
    one = SteelSeen(pieces=(PieceSeen("A"),), trials=(trial,))
    told = "chop; same; edge sound; beside my old chopper; strokes not noted; 2026-05-04"
    assert trials_in_words(one) == [("blade1, heat 2", told)]
    two = replace(one, pieces=(PieceSeen("A"), PieceSeen("B")))
    assert trials_in_words(two) == [("A, blade1, heat 2", told)]


def test_rows_of_one_temper_are_told_as_one_and_a_later_one_apart():
    below, any_place = HardnessSeen(60, 65, "below"), HardnessSeen(60, 65)
    same = [TemperSeen(175, 60.0, hardness=(one,)) for one in (below, any_place)]
    line = heat_line(HeatSeen("A", tempers=(*same, TemperSeen(190, 60.0), same[0])))
    assert "temper 175 °C, 60 min: 60 to 65 HRC below the skin, 60 to 65 HRC" in line
    assert line.count("temper 175 °C") == 2  # the last came behind another temper
    assert line.count("temper ") == 3


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("temper 430 °F, 60 min", "temper 430 °F (221 °C), 60 min"),
        ("1490 °F (58 HRC)", "1490 °F (810 °C) (58 HRC)"),
        ("800 °C", "800 °C"),
        *[(same, same) for same in ("400 °F is 204 °C", 'if so, write "400 °F"')],
    ],
)
def test_a_temperature_in_fahrenheit_has_its_celsius_behind_it(said, told):
    assert in_celsius_too(said) == told


def test_a_temperature_without_its_degree_sign_is_told_with_it():
    (row,) = SteelRows.model_validate({"tempers": [{"temperature_c": "430 F"}]}).tempers
    assert temper_line(TemperSeen(row.temperature_c)) == "temper 430 °F"


def test_files_and_tester_are_named_where_they_were_used():
    heat = HeatSeen("A", hardness=(HardnessSeen(60, 65), HardnessSeen(61, 61, by_files=False)))
    usual = instruments_in_words(SteelRows(), SteelSeen(heats=(heat,)))
    assert usual == [
        ("Files", "40, 45, 50, 55, 60 and 65 HRC, the usual set: yours is not noted"),
        ("Tester", "a number is taken as ± 2 HRC (95 %; common practice, no source)"),
    ]
    own = SteelRows(files_hrc=(40, 50), tester_u_hrc=0.5)
    told = instruments_in_words(own, SteelSeen(heats=(heat,)))
    assert told == [("Files", "40 and 50 HRC"), ("Tester", "a number is taken as ± 1 HRC (95 %)")]
    assert instruments_in_words(own, SteelSeen(heats=(HeatSeen("A"),))) == []


@pytest.mark.parametrize(
    ("checked", "by"),
    [(False, "by the oven's own dial alone"), (True, "by a thermometer beside the coupon")],
)
def test_what_told_the_degrees_of_a_temper_is_named_where_it_was_typed(checked, by):
    tempered = SteelSeen(heats=(HeatSeen("A", tempers=(TemperSeen(205.0),)),))
    told = instruments_in_words(SteelRows(oven_checked=checked), tempered)
    assert ("Degrees of the tempers", by) in told
    assert "Degrees of the tempers" not in dict(instruments_in_words(SteelRows(), tempered))


def test_the_heats_that_made_the_grain_fine_are_told():
    assert "3 normalising or reducing heats before" in heat_line(HeatSeen("A", cycles=3))
    assert "1 normalising or reducing heat before" in heat_line(HeatSeen("A", cycles=1))


def test_a_trial_of_a_blade_of_the_study_calls_it_no_coupon():
    blade = HeatSeen("A", "K1", blade="K1")
    one = SteelSeen(pieces=(PieceSeen("A"),), heats=(blade,),
                    trials=(TrialSeen("A", "rope", "same", heat=("K1", 1)),))  # fmt: skip
    assert trials_in_words(one) == [("K1", "rope; same")]


def test_one_temper_read_alike_twice_is_named_once():
    twice = heats(temper(205, 55, 60), temper(205, 55, 60, repeats=2))
    told = nearest_temper(twice, WANTED, take=True)
    assert told.startswith("Of the tempers read, 205 °C (55 to 60 HRC) came nearest")
    assert told.endswith("read of coupon 1, heat 1.")


def test_notes_stand_as_typed_with_what_they_are_of():
    rows = SteelRows(
        note="a wet week",
        pieces=[{"id": "A", "note": "3 goes *at* it"}],
        heats=[{"coupon": "c1", "note": "canola, #2"}, {"coupon": "c2"},
               {"coupon": "blade1", "heat": 2, "note": "warped $1 mm"}],
        tempers=[{"coupon": "c1", "temperature_c": "400 °F", "note": "kitchen oven"}],
        trials=[{"coupon": "blade1", "test": "chop", "edge": "sound", "note": "wet oak"}],
    )  # fmt: skip
    assert notes_in_words(rows) == [
        ("Note", "a wet week"),
        ("Note on A", "3 goes *at* it"),
        ("Note on coupon c1, heat 1", "canola, #2"),
        ("Note on blade1, heat 2", "warped $1 mm"),
        ("Note on coupon c1, heat 1, 400 °F", "kitchen oven"),
    ]
    two = rows.model_copy(update={"pieces": rows.pieces * 2})
    assert ("Note on A, coupon c1, heat 1", "canola, #2") in notes_in_words(two)


def test_a_temper_that_several_coupons_had_rests_on_each_of_them():
    made = [
        HeatSeen("A", name, tempers=(temper(215, low, 60),))
        for name, low in (("D1", 55), ("D2", 54))
    ]
    made.append(HeatSeen("A", "blade1", tempers=(temper(215, 50, 55, for_use=True),)))
    told = nearest_temper(made, WANTED, take=True)
    assert "The one for use, 215 °C, read 50 to 55 HRC of blade1, heat 1: partly" in told
    assert told.endswith("read of coupon D1, heat 1, and 54 to 60 HRC of coupon D2, heat 1.")
