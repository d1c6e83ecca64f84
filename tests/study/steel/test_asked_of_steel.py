"""Bare temperatures that may be °F are asked about; those with a unit, and usual ones, are not."""

import pytest

from edgetest.store.records import study_of
from edgetest.study.steel.asked_of_steel import asked_of_steel


def asked(tmp_path, **evidence):
    return [
        str(one) for one in asked_of_steel(study_of({"title": "x", "evidence": evidence}, tmp_path))
    ]


def test_a_blade_hardened_before_is_asked_for_no_temper(tmp_path):
    trial = {"coupon": "b1", "test": "chop", "edge": "rolled"}
    mine, bought = (
        asked(tmp_path, heats=[{"coupon": "b1", "medium": medium}], trials=[trial])
        for medium in ("oil", "factory")
    )
    assert any("b1 has no temper" in one for one in mine)
    assert bought == []


PACK = {
    "core_pct": 0.2, "heats": [{"temperature_c": 900, "hours": 4, "surface": "carburising"}],
    "sections": [{"thickness_mm": 1}],
}  # fmt: skip


FILED = {"heats": [{"hardness": 62}]}
LONG = {"test": "rope", "beside": "K", "life_ratio": 14, "carburised": True}


@pytest.mark.parametrize(
    ("evidence", "place", "said"),
    [
        (
            {**FILED, "tempers": [{"temperature_c": 400}]},
            "tempers 1, temperature_c",
            "400 °F is 204 °C",
        ),
        ({"heats": [{"medium": "oil", "medium_c": 140}]}, "heats 1, medium_c", "140 °F is 60 °C"),
        ({"heats": [{"medium": "warm water", "medium_c": 100}]}, "heats 1, medium_c", "38 °C"),
        ({"heats": [{"soak_min": "5 h"}]}, "heats 1, soak_min", "a soak of 300 min is long"),
        ({"heats": [{"soak_min": 61}]}, "heats 1, soak_min", "a soak of 61 min is long"),
        ({"heats": [{"heat_c": 1200}]}, "heats 1, heat_c", "1200 °F is 649 °C"),
        ({"pack": {**PACK, "temper": {"temperature_c": 320}}}, "pack, temper", "160 °C"),
        (
            {**FILED, "tempers": [{"temperature_c": 20}]},
            "tempers 1, temperature_c",
            "20 °C: so cool a temper",
        ),
        ({"heats": [{"heat_c": 82}]}, "heats 1, heat_c", "82 °C: no steel hardens from there"),
        ({"heats": [{"section_mm": 60}]}, "heats 1, section_mm", 'with its unit, "60 mm"'),
        ({"pieces": [{"id": "A", "thickness_mm": 600}]}, "pieces 1, thickness_mm", "so thick"),
        ({"trials": [LONG]}, "trials 1, life_ratio", "a life of 14 times the known blade's"),
    ],
)
def test_a_bare_number_beyond_the_usual_is_asked_about(tmp_path, evidence, place, said):
    (one,) = asked(tmp_path, **evidence)
    assert place in one
    assert said in one
    assert "\n" not in one


@pytest.mark.parametrize(
    "evidence",
    [
        {
            **FILED,
            "tempers": [
                {"temperature_c": 200},
                {"temperature_f": 400},
                {"temperature_c": "400 °C"},
            ],
        },
        {"heats": [{"medium": "oil", "medium_c": "140 °F", "heat_c": "1500F"}]},
        {"heats": [{"medium": "oil", "medium_c": 60, "heat_c": 880}, {"medium_c": 400}]},
        {"pack": {**PACK, "temper": "none"}},
        {"tempers": [{"temperature_c": "20 °C"}], "heats": [{"heat_c": "82 °C", "hardness": 60}]},
        {"heats": [{"section_mm": "60 mm"}]},
        {"trials": [{**LONG, "life_ratio": "14 (12 to 16)"}, {**LONG, "life_ratio": 1.4}]},
        {"pack": PACK},
        {"heats": [{"soak_min": "1 h"}, {"soak_min": "5 h", "note": "soak of high-speed steel"}]},
        {},
    ],
)
def test_a_unit_or_a_usual_number_is_not_asked_about(tmp_path, evidence):
    assert asked(tmp_path, **evidence) == []


def test_a_trial_of_a_blade_of_two_heats_is_asked_for_its_heat(tmp_path):
    heats = [{"coupon": "blade1", "heat": n, "heat_c": 810} for n in (1, 2)]
    tempers = [{"coupon": "blade1", "temperature_c": 215}]
    trial = {"coupon": "blade1", "test": "chop", "result": "same", "beside": "K"}
    bare = asked(tmp_path, heats=heats, tempers=tempers, trials=[trial])
    assert any("blade1 had 2 heats, and the trial names none" in one for one in bare)
    told = asked(tmp_path, heats=heats, tempers=tempers, trials=[{**trial, "heat": 2}])
    assert not any("names none" in one for one in told)
    once = asked(tmp_path, heats=heats[:1], tempers=tempers, trials=[trial])
    assert not any("names none" in one for one in once)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("5.4.2026", '"5.4.2026" is read as 2026-04-05; write 2026-04-05'),
        ("28/11/2026", '"28/11/2026" is read as 2026-11-28; write 2026-11-28'),
    ],
)
def test_a_day_with_its_year_last_is_asked_about(tmp_path, day, said):
    trial = {"test": "rope", "result": "same", "day": day, "carburised": True, "beside": "K"}
    (only,) = asked(tmp_path, trials=[trial])
    assert f"trials 1, day: {said}: year first" in only
    assert asked(tmp_path, trials=[{**trial, "day": "2026-11-28"}]) == []


SOUND = {
    "coupon": "b1",
    "test": "chop",
    "edge": "sound",
    "result": "same",
    "strokes": 60,
    "beside": "K",
}


@pytest.mark.parametrize(
    ("first", "then", "more"),
    [
        ({}, {"temper_c": 205}, "temper_c"),
        ({"beside": ""}, {"result": None, "strokes": None}, "beside"),
        ({"beside": ""}, {"test": "rope"}, None),
        ({"temper_c": 205, "heat": 1}, {"temper_c": 205, "day": "2026-11-14"}, "day"),
        ({}, {"temper_c": "205 °C", "note": "oak"}, "note and temper_c"),
        ({"day": "2026-11-13"}, {"day": "2026-11-14", "temper_c": 205}, None),
        ({"edge": "rolled"}, {"temper_c": 205}, None),
        ({"temper_c": 205}, {}, None),
        ({"coupon": None}, {"coupon": None, "temper_c": 205}, None),
    ],
)
def test_a_trial_that_says_one_before_it_and_a_word_more_is_asked_about(
    tmp_path, first, then, more
):
    found = asked(tmp_path, trials=[{**SOUND, **first}, {**SOUND, **then}])
    told = [one for one in found if "stands as a second trial" in one]
    if more is None:
        assert told == []
        return
    (only,) = told
    assert f"trials 2: it says {more} beside what trials 1 says, nothing against it, and" in only
    assert "stands as a second trial of b1; if it is the same" in only
    assert f"--replace, which puts {more} into the first; if it was another, give each" in only


def test_a_trial_that_names_its_temper_is_asked_for_none(tmp_path):
    heats = [{"coupon": "b1", "medium": "oil"}]
    bare, named = (
        asked(tmp_path, heats=heats, trials=[{**SOUND, **more}]) for more in ({}, {"temper_c": 205})
    )
    assert any("b1 has no temper" in one for one in bare)
    assert named == []


@pytest.mark.parametrize(
    ("heats", "said"),
    [
        ([], "coupon 2 was tempered, and nobody has entered it as quenched yet; add a heat with"),
        ([{"coupon": "1", "hardness": 62}], "coupon 2 was tempered, and nobody has entered it"),
        ([{"coupon": "2", "medium": "oil"}], "nobody has entered how hard it came out as quenched"),
        ([{"coupon": "2", "hardness_below": 62}], None),
    ],
)
def test_a_temper_of_a_coupon_that_nobody_filed_as_quenched_is_asked_about(tmp_path, heats, said):
    tempers = [{"coupon": "2", "temperature_c": at, "hardness": 58} for at in (175, 190)]
    found = asked(tmp_path, heats=heats, tempers=tempers)
    assert len(found) == (said is not None)
    assert all(said in one and "coupon = 2" in one for one in found)


def test_a_temper_is_held_against_the_heat_that_it_names(tmp_path):
    heats = [{"coupon": "2", "hardness": 62}, {"coupon": "2", "heat": 2, "medium": "oil"}]
    (only,) = asked(
        tmp_path,
        heats=heats,
        tempers=[{"coupon": "2", "heat": 2, "temperature_c": 200, "hardness": 58}],
    )
    assert "add hardness_below to the heat with coupon = 2, heat = 2" in only
    assert (
        asked(
            tmp_path,
            heats=heats,
            tempers=[{"coupon": "2", "heat": 1, "temperature_c": 200, "hardness": 58}],
        )
        == []
    )


def test_a_temper_that_was_read_without_its_degrees_is_asked_about(tmp_path):
    heats = [{"coupon": "2", "hardness": 62}]
    (only,) = asked(tmp_path, heats=heats, tempers=[{"coupon": "2", "hardness": 58}])
    assert "tempers 1, temperature_c: it says how hard the temper left it, and not at how" in only


def test_a_trial_told_twice_is_asked_about_and_with_a_day_of_its_own_is_not(tmp_path):
    chip = {"test": "chop", "edge": "chipped", "carburised": True}
    (only,) = asked(tmp_path, trials=[chip, chip])
    assert "trials 2: the same trial stands there already, as trials 1, so it counts once" in only
    assert asked(tmp_path, trials=[chip, {**chip, "day": "2026-11-28"}]) == []


def test_a_chop_of_a_whole_edge_is_asked_how_many_strokes_it_made(tmp_path):
    trial = {"test": "chop", "result": "same", "carburised": True, "beside": "K"}
    (only,) = asked(tmp_path, trials=[trial])
    assert "trials 1: how many strokes the blade made is not said" in only
    assert "add strokes = their number; from 30 on" in only
    for more in ({"strokes": 60}, {"edge": "chipped"}, {"life_ratio": "1.1 (1 to 1.2)"}):
        assert asked(tmp_path, trials=[{**trial, **more}]) == []


def test_a_trial_of_a_coupon_of_several_tempers_is_asked_which_it_had(tmp_path):
    told = {"heats": [{"coupon": "1", "hardness": 62}],
            "tempers": [{"coupon": "1", "temperature_c": at} for at in (203, 217)]}  # fmt: skip
    rod = {"coupon": "1", "test": "brass_rod", "edge": "sound"}
    (only,) = asked(tmp_path, **told, trials=[rod])
    assert "trials 1: 1 had tempers at 203 and 217 °C, and the trial names none" in only
    assert "add temper_c" in only
    assert asked(tmp_path, **told, trials=[{**rod, "temper_c": 217}]) == []
    told["tempers"][0] = {"coupon": "1"}
    told["tempers"][1] = {"temperature_c": 217}  # of the only coupon, which it does not name
    (only,) = asked(tmp_path, **told, trials=[rod])
    assert "1 had tempers at 217 °C and without degrees, and the trial names none" in only
    told["tempers"].pop()
    assert asked(tmp_path, **told, trials=[rod]) == []


def test_a_trial_typed_under_the_wrong_piece_is_asked_for_the_piece_of_its_blade(tmp_path):
    heat = {"piece": "A", "coupon": "blade1", "heat": 1, "medium": "oil", "hardness": 62}
    other = {"piece": "B", "coupon": "Q1", "heat": 1, "medium": "oil", "hardness": 62}
    trial = {
        "piece": "B",
        "coupon": "blade1",
        "heat": 1,
        "test": "rope",
        "result": "same",
        "beside": "K",
    }
    found = asked(tmp_path, pieces=[{"id": "A"}, {"id": "B"}], heats=[heat, other], trials=[trial])
    (said,) = [one for one in map(str, found) if "trials 1" in one]
    assert "B has no coupon blade1, and A has one; write piece = A, if that was tried" in said
