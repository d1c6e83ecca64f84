"""The pack's core, its temper and what it is for, part by part, before anything is worked out."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.pack_potential import STATED_U_PCT, U_PCT
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, PieceSeen, SteelSeen
from edgetest.steel.temper_softening import USUAL_TEMPER
from edgetest.steel.usual_pack import WANTED_HRC
from edgetest.study.steel import steel_pack as module
from edgetest.study.steel.case_plan import pack_of_one, plan_case
from edgetest.study.steel.pack_records import Pack
from edgetest.study.steel.steel_pack import (
    UNKNOWN_CORE,
    Core,
    core_of,
    hardness_of,
    of_the_pack,
    packed_piece,
    pieces_packed,
    target_of,
    wanted_of,
)
from edgetest.study.steel.steel_rows import VerdictWishes

HEAT = {"temperature_c": 900, "hours": 4, "surface": "carburising"}


def pack(**more):
    return Pack.model_validate({"heats": [HEAT], "sections": [{"thickness_mm": 1}], **more})


def seen(*pieces, heats=()):
    return SteelSeen(pieces=tuple(PieceSeen(name, **facts) for name, facts in pieces), heats=heats)


def packed(piece):
    return HeatSeen(piece, carburised=True)


@pytest.mark.parametrize(
    ("of", "wanted", "piece"),
    [
        (seen(("A", {}), ("B", {})), None, None),
        (seen(("A", {}), ("B", {})), "B", "B"),
        (seen(("A", {})), None, "A"),
        (seen(("A", {}), ("B", {}), heats=(packed("B"), HeatSeen("A"))), None, "B"),
        (seen(("A", {}), ("B", {}), heats=(packed("B"), packed("A"))), None, None),
        (seen(), None, None),
    ],
)
def test_the_pack_started_from_the_piece_asked_about_or_the_only_one(of, wanted, piece):
    assert packed_piece(pack(), of, wanted) == piece


def test_a_pack_is_of_the_piece_that_it_names_or_of_those_packed():
    both = seen(("A", {}), ("B", {}))
    of_b = seen(("A", {}), ("B", {}), heats=(packed("B"), HeatSeen("A")))
    assert pieces_packed(pack(piece="B"), both) == {"B"}
    assert pieces_packed(pack(piece="A"), of_b) == {"A"}
    assert pieces_packed(pack(), of_b) == {"B"}
    assert pieces_packed(pack(), both) is None
    assert packed_piece(pack(piece="B"), both, "A") == "B"
    assert not of_the_pack(pack(piece="B"), both, "A")
    assert not of_the_pack(pack(), of_b, "A")
    assert of_the_pack(pack(piece="B"), both, "B")
    assert of_the_pack(pack(), both, "A")
    assert of_the_pack(pack(piece="B"), both, None)
    assert not of_the_pack(None, both, "A")


def test_a_laboratory_comes_before_a_statement_and_that_before_the_quench():
    lab = seen(("A", {}), ("B", {"carbon_pct": 0.3, "carbon_u_pct": 0.03}))
    stated = pack(core_pct=0.2, core_u_pct=0.02)
    assert core_of(stated, lab, "B") == Core(0.3, 0.03, "core_from_analysis")
    assert core_of(stated, lab, None) == Core(0.3, 0.03, "core_from_analysis")
    assert core_of(stated, lab, "A") == Core(0.2, 0.02, "core_as_stated")
    assert core_of(None, seen(), None) == UNKNOWN_CORE
    assert UNKNOWN_CORE.to_dict() == {
        "carbon_pct": None, "carbon_u_pct": None, "from": "core_unknown",
    }  # fmt: skip
    assert Core(0.2, 0.02, "x").to_dict()["carbon_u_pct"] == 0.02


def quenched(piece, hrc, *, where="below", medium="water", **more):
    return HeatSeen(piece, medium=medium, hardness=(HardnessSeen(hrc, hrc, where, False),), **more)


def test_the_core_from_the_quench_is_the_hardest_medium_s():
    soft, hard = quenched("A", 40.0, medium="oil"), quenched("A", 45.0)
    both, alone = (core_of(None, SteelSeen(heats=h), "A") for h in ((soft, hard), (hard,)))
    assert both == alone
    assert both.whence == "core_from_quench"
    assert 0.1 < both.carbon_pct < 0.4
    softer = core_of(None, SteelSeen(heats=(soft,)), "A")
    assert softer.carbon_pct < both.carbon_pct


def test_the_piece_s_own_quench_comes_before_others():
    own, other = quenched("A", 40.0), quenched("B", 48.0)
    found = SteelSeen(heats=(own, other))
    assert core_of(None, found, "A") == core_of(None, SteelSeen(heats=(own,)), "A")
    assert core_of(None, found, "C").carbon_pct > core_of(None, found, "A").carbon_pct


@pytest.mark.parametrize(
    "odd",
    [quenched("A", 60.0, where="skin"), quenched("A", 60.0, medium=None),
     quenched("A", 60.0, carburised=True), HeatSeen("A", medium="water")],
)  # fmt: skip
def test_a_skin_a_pack_or_an_unknown_medium_tells_nothing_of_the_core(odd):
    assert core_of(None, SteelSeen(heats=(odd,)), "A") == UNKNOWN_CORE
    both = SteelSeen(heats=(odd, quenched("A", 40.0)))
    assert core_of(None, both, "A") == core_of(None, SteelSeen(heats=(quenched("A", 40.0),)), "A")


def test_hardness_is_taken_from_numbers_and_brackets():
    number = hardness_of([("A", HardnessSeen(50.0, 50.0, by_files=False))]).hardness
    assert number.value == pytest.approx(50.0)
    bracket = hardness_of([("A", HardnessSeen(45.0, 55.0))]).hardness
    assert bracket.value == pytest.approx(50.0, abs=0.1)
    assert bracket.low < number.low < number.high < bracket.high
    sure, unsure = (
        hardness_of([("A", HardnessSeen(50.0, 50.0, u_hrc=1.0)),
                     ("A", HardnessSeen(50.0, 50.0, u_hrc=u))]).hardness for u in (1.0, 3.0)
    )  # fmt: skip
    assert unsure.high - unsure.low > 1.5 * (sure.high - sure.low)


def test_the_temper_of_a_pack_is_as_told_or_the_usual_one_or_none():
    assert wanted_of(pack(), 58.0).temper == USUAL_TEMPER
    assert wanted_of(pack(temper="none"), 58.0).temper is None
    told = wanted_of(pack(temper={"temperature_c": 150, "time_min": 30, "repeats": 3}), 58.0)
    assert (told.temper.temperature_c, told.temper.time_min, told.temper.repeats) == (150, 30, 3)
    assert told.hardness_hrc == 58.0


@pytest.mark.parametrize(
    ("wishes", "target"),
    [({}, WANTED_HRC), ({"hardness_hrc": "55-60"}, 55.0), ({"edge_hrc": 61}, 61.0),
     ({"edge_hrc": 61, "hardness_hrc": "55-60"}, 61.0)],
)  # fmt: skip
def test_the_hardness_wanted_of_an_edge(wishes, target):
    assert target_of(VerdictWishes.model_validate(wishes)) == target


@pytest.mark.parametrize(
    ("more", "u"),
    [({}, U_PCT), ({"surface_u_pct": 0.2}, 0.2),
     ({"heats": [{**HEAT, "surface_pct": 0.9}]}, STATED_U_PCT),
     ({"heats": [{**HEAT, "surface_pct": 0.9}, HEAT]}, U_PCT),
     ({"heats": [{**HEAT, "surface_pct": 0.9}, {"temperature_c": 800, "hours": 1}]},
      STATED_U_PCT)],
)  # fmt: skip
def test_how_sure_the_carbon_of_a_pack_is(more, u, monkeypatch):
    def solved(heats, plate, *, wanted, known, rng):
        told.append((heats, plate, known))
        raise UnusableInput("enough", "here", "none")

    told = []
    monkeypatch.setattr(module, "solve_case", solved)
    module._worked_out.cache_clear()
    _, doubts = module.worked_or_refused(pack(**more), Core(0.2, 0.02, "x"), 58.0)
    assert [one.code for one in doubts] == ["case_refused"]
    ((heats, plate, found),) = told
    assert found.surface_sd_pct == u
    assert (plate.thickness_mm, plate.core_pct, plate.core_sd_pct) == (1.0, 0.2, 0.02)
    assert heats[0].hours == 4


def test_a_pack_of_one_section_is_built_from_plain_numbers():
    made = pack_of_one(
        {"thickness_mm": 2}, {"temperature_c": 900, "hours": 4}, core_pct=0.2,
        then=[(800, 1, "sealed"), (760, 0.5, "decarburising")], coupon=(3, 0.5, 0.05),
        temper=(150, 60, 2),
    )  # fmt: skip
    assert [heat["name"] for heat in made["heats"]] == ["pack", "2", "3"]
    assert made["heats"][0]["surface"] == "carburising"
    assert made["heats"][2]["hours"] == 0.5
    assert made["coupon"] == {"thickness_mm": 3, "depth_mm": 0.5, "depth_u_mm": 0.05}
    assert made["temper"] == {"temperature_c": 150, "time_min": 60, "repeats": 2}
    Pack.model_validate(made)
    bare = pack_of_one({"thickness_mm": 2}, {"temperature_c": 900, "hours": 4}, temper="none")
    assert bare["temper"] == "none"
    assert "coupon" not in bare
    with pytest.raises(UnusableInput, match="the carbon of the core is not known"):
        plan_case(bare)
