"""From rows of study.toml to plain observations."""

import tomllib
from math import log

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import HardnessSeen, TemperSeen
from edgetest.store.checking import validate
from edgetest.store.records import load_study
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes, steel_rows_of
from tests.study.steel.found_steel import make_study
from tests.study.steel.typed_steel import WHOLE


def seen_in(text):
    """What a text of study.toml without blades says."""
    data = tomllib.loads(text)
    rows = validate(SteelRows, data.get("evidence", {}), "evidence")
    return steel_seen_of(rows, validate(VerdictWishes, data.get("verdict", {}), "verdict"))


def test_every_key_arrives_as_an_observation():
    seen = seen_in(WHOLE).seen
    piece, heat, trial = seen.pieces[0], seen.heats[0], seen.trials[0]
    assert (seen.use, len(seen.pieces)) == ("hedging_tool", 2)
    assert (piece.origin, piece.lot, piece.makes_blades, piece.carbon_pct) == (
        "plough_disc", "harrow", 9, 0.62,
    )  # fmt: skip
    assert piece.hardness == (HardnessSeen(None, 40, "skin"),)
    assert (heat.coupon, heat.medium_c, heat.cycles, heat.cracked, heat.count) == (
        "A1",
        60,
        2,
        1,
        3,
    )
    assert heat.hardness == (
        HardnessSeen(None, 40, "skin"),
        HardnessSeen(60, None, "below"),  # skates all of this shop's files, whose hardest is 60
        HardnessSeen(50, 60, "below"),
        HardnessSeen(63, 63, "not_stated", by_files=False),
        HardnessSeen(60, 65, "not_stated"),
    )
    (temper,) = heat.tempers
    assert (temper.temperature_c, temper.repeats, temper.for_use) == (180, 2, True)
    assert (trial.trial, trial.result, trial.edge, trial.heat) == (
        "rope", "worse", "took_a_set", ("A1", 1),
    )  # fmt: skip
    assert trial.life_ratio == 0.44
    assert trial.life_ratio_log_u == pytest.approx(log(0.49 / 0.41) / 3.92, rel=1e-4)


ONE = '[[evidence.heats]]\ncoupon = "A1"\nmedium = "oil"\nhardness = "60-65"\n'


def test_a_heat_entered_twice_counts_once_and_is_said():
    found = seen_in(ONE + ONE)
    assert len(found.seen.heats) == 1
    assert found.seen.heats[0].hardness == (HardnessSeen(60, 65),)
    assert codes(found.doubts) == ("entered_twice",)
    more = seen_in(
        ONE + ONE.replace('hardness = "60-65"', 'heat = 1\nhardness = "<40"\ngrain = "fine"')
    )
    (heat,) = more.seen.heats
    assert heat.hardness == (HardnessSeen(60, 65), HardnessSeen(None, 40))  # nothing is averaged
    assert heat.grain == "fine"


def test_a_temper_entered_twice_counts_once():
    temper = '[[evidence.tempers]]\ncoupon = "A1"\ntemperature_c = 200\nhardness = 60\n'
    found = seen_in(ONE + temper + temper)
    assert len(found.seen.heats[0].tempers) == 1
    assert codes(found.doubts) == ("entered_twice",)


def test_a_temper_that_names_none_of_several_heats_is_told_to_which_it_was_put():
    again = ONE.replace('hardness = "60-65"', 'heat = 2\nhardness = "55-60"')
    temper = '[[evidence.tempers]]\ncoupon = "A1"\ntemperature_c = 200\nhardness = 58\n'
    (told,) = seen_in(ONE + again + temper).doubts
    assert told.code == "temper_of_which_heat"
    assert "a temper of it names none: heat 2 is taken" in told.text
    assert seen_in(ONE + again + temper + "heat = 1\n").doubts == ()


LOT = """
[[evidence.pieces]]
id = "A"
origin = "plough disc"
lot = "sale"

[[evidence.pieces]]
id = "B"
origin = "{}"
lot = "{}"
"""


@pytest.mark.parametrize(
    ("origin", "lot", "told"),
    [("harrow tine", "sale", 1), ("plough disc", "sale", 0), ("harrow tine", "other", 0),
     ("unknown", "sale", 0)],
)  # fmt: skip
def test_a_lot_of_several_kinds_of_part_is_told(origin, lot, told):
    doubts = seen_in(LOT.format(origin, lot)).doubts
    assert [one.code for one in doubts] == ["lot_of_several_kinds"] * told
    assert all("plough disc and harrow tine" in one.text for one in doubts)


def test_a_temper_of_a_coupon_that_was_never_quenched_is_told():
    quench = '[[evidence.heats]]\ncoupon = "A1"\nmedium = "oil"\n'
    temper = '[[evidence.tempers]]\ncoupon = "{}"\ntemperature_c = 205\ntime_min = 60\n'
    for coupon, told in (("A1", []), ("A2", ["temper_without_quench"])):
        doubts = seen_in(quench + temper.format(coupon)).doubts
        assert [one.code for one in doubts] == told


def test_heats_without_a_number_are_counted_in_their_order():
    found = seen_in(ONE + ONE.replace("oil", "water") + '[[evidence.tempers]]\ncoupon = "A1"\n'
                    "temperature_c = 180\nhardness = 58\n")  # fmt: skip
    assert [(h.heat, h.medium) for h in found.seen.heats] == [(1, "oil"), (2, "water")]
    assert [len(h.tempers) for h in found.seen.heats] == [0, 1]  # the coupon's last heat
    assert codes(found.doubts) == ("temper_of_which_heat",)


def test_heats_are_counted_as_the_prompt_counts_them_whatever_was_added_to_one():
    more = ONE.replace('hardness = "60-65"', "heat = 1\nhardness = 61")
    piece = '[[evidence.pieces]]\nid = "A"\n'
    named = ONE.replace("[[evidence.heats]]", '[[evidence.heats]]\npiece = "A"')
    for text in (ONE + more + ONE, piece + ONE + more + named):
        assert [heat.heat for heat in seen_in(text).noted.heats] == [1]


def test_an_old_temper_stays_with_the_heat_that_was_tried_when_the_blade_is_hardened_again():
    row = 'piece = "A"\ncoupon = "blade1"\n'
    heats = "".join(f"[[evidence.heats]]\n{row}heat = {n}\nheat_c = 810\n" for n in (1, 2))
    temper = f"[[evidence.tempers]]\n{row}temperature_c = "
    trial = f'[[evidence.trials]]\n{row}test = "chop"\nresult = "same"\nedge = "rolled"\n'
    tempers = f"{temper}230\n{temper}215\n"
    tried = seen_in(f"{heats}{tempers}{trial}").seen.heats
    assert [[one.temperature_c for one in heat.tempers] for heat in tried] == [[230], [215]]
    untried = seen_in(heats + tempers).seen.heats
    assert [len(heat.tempers) for heat in untried] == [0, 2]


def test_one_number_for_two_heats_is_refused_with_its_mend():
    numbered = ONE + "heat = 1\n"
    with pytest.raises(UnusableInput, match="medium oil and water") as caught:
        seen_in(numbered + numbered.replace('"oil"', '"water"'))
    assert "heat = 2" in caught.value.mend


def test_vickers_goes_through_the_table_and_is_less_sure():
    (reading,) = seen_in('[[evidence.heats]]\nhardness = 720\nscale = "HV"').seen.heats[0].hardness
    assert reading.low_hrc == reading.high_hrc == pytest.approx(61.0, abs=0.1)
    assert reading.u_hrc > 1.0
    with pytest.raises(UnusableInput, match="1200 HV lies above the table that turns HV into HRC"):
        seen_in('[[evidence.heats]]\nhardness = 1200\nscale = "HV"')


BLADES = """
[[heat_treatments]]
id = "hard"
steps = [
    { kind = "normalise", temperature_c = 900, repeats = 2 },
    { kind = "austenitise", temperature_c = 810, soak_min = 9 },
    { kind = "quench", medium = "warm water, 60 °C" },
    { kind = "temper", temperature_c = 200, time_min = 60, repeats = 2 },
]
[[heat_treatments]]
id = "packed"
steps = [{ kind = "carburise", temperature_c = 900 }, { kind = "quench", medium = "oil" }]
[[evidence.pieces]]
id = "disc"
"""


def test_blades_belong_to_pieces_and_their_steps_become_a_heat(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R1": 200, "U1": 90, "K1": 250}, head='reference = "R1"',
        blades={"R1": "", "U1": 'piece = "disc"\nheat_treatment = "hard"\nhardness_hrc = [45, 46]',
                "K1": 'piece = "disc"\nheat_treatment = "packed"'},
        evidence=BLADES + '[[evidence.heats]]\nblade = "U1"\ngrain = "fine"\nheat_c = 830\n',
    )  # fmt: skip
    study = load_study(folder)
    found = steel_seen_of(steel_rows_of(study), VerdictWishes(), study=study)
    by = {heat.blade: heat for heat in found.seen.heats}
    assert set(by) == {"U1", "K1"}  # not the reference
    hard = by["U1"]
    assert (hard.piece, hard.medium, hard.medium_c, hard.cycles) == ("disc", "warm_water", 60, 2)
    assert (hard.grain, hard.heat_c, hard.soak_min) == ("fine", 830, 9)  # the row says it better
    assert hard.tempers == (
        TemperSeen(200, 60, 2, tuple(HardnessSeen(h, h, by_files=False) for h in (45, 46)), True),
    )
    assert (by["K1"].carburised, hard.carburised) == (True, False)
    assert found.doubts == ()


def test_a_blade_of_no_piece_is_left_out_and_said(tmp_path):
    folder = make_study(
        tmp_path / "s", {"U1": 90}, blades='hardness_hrc = [60]',
        evidence='[[evidence.pieces]]\nid = "a"\n[[evidence.pieces]]\nid = "b"\n',
    )  # fmt: skip
    study = load_study(folder)
    found = steel_seen_of(steel_rows_of(study), VerdictWishes(), study=study)
    assert found.seen.heats == ()
    assert codes(found.doubts) == ("blade_without_piece",)


@pytest.mark.parametrize(
    ("row", "tempers"),
    [
        ("temperature_c = 200\ntime_min = 60\nrepeats = 2\nhardness = 58", 1),
        ("temperature_c = 200\nhardness = 58", 1),  # what it leaves out is as the treatment says
        ('temperature_c = "392 °F"\ntime_min = "1 h"\nhardness = 58', 1),
        ("temperature_c = 230\ntime_min = 60\nhardness = 58", 2),
        ("temperature_c = 200\ntime_min = 90\nhardness = 58", 2),
        ("temperature_c = 200\ntime_min = 60\nrepeats = 3\nhardness = 58", 2),
    ],
)
def test_a_temper_told_by_heat_treatment_and_row_counts_once(tmp_path, row, tempers):
    folder = make_study(
        tmp_path / "s", {"U1": 90},
        blades='piece = "disc"\nheat_treatment = "hard"',
        evidence=f'{BLADES}[[evidence.tempers]]\nblade = "U1"\n{row}\n',
    )  # fmt: skip
    study = load_study(folder)
    (heat,) = steel_seen_of(steel_rows_of(study), VerdictWishes(), study=study).seen.heats
    assert len(heat.tempers) == tempers
    assert heat.tempers[0].repeats == 2
    assert heat.tempers[-1].hardness == (HardnessSeen(58, 58, by_files=False),)


def test_heats_of_a_coupon_stand_in_the_order_of_their_numbers_wherever_they_were_typed():
    rows = "".join(
        f'[[evidence.heats]]\npiece = "A"\ncoupon = "{coupon}"\nheat = {number}\nmedium = "oil"\n'
        for coupon, number in (("blade1", 2), ("A1", 1), ("blade1", 3), ("blade1", 1))
    )
    seen = seen_in(f'[[evidence.pieces]]\nid = "A"\n{rows}').seen
    assert [(one.coupon, one.heat) for one in seen.heats] == [
        ("blade1", 1), ("A1", 1), ("blade1", 2), ("blade1", 3)
    ]  # fmt: skip
