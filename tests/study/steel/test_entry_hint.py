"""The command that the verdict names for the next test is one that the prompt takes."""

import shlex
from types import SimpleNamespace

import pytest

from edgetest.steel.steel_decision import SteelDecision
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, PieceSeen, TemperSeen
from edgetest.steel.steel_words import TESTS_BY_CODE
from edgetest.study.steel.entry_hint import entry_hint
from tests.steel.seen_steel import files, heat
from tests.study.steel.filled_in import filled

STUDY = """
title = "two pieces"
[[evidence.pieces]]
id = "disc A"
[[evidence.pieces]]
id = "OTHER"
[[evidence.heats]]
piece = "disc A"
coupon = "7"
medium = "oil"
hardness = "60-65"
"""


def result_with(code, of=None):
    decision = SimpleNamespace(action="go_on", next_test=TESTS_BY_CODE.get(code), of=of, soak="")
    seen = SimpleNamespace(heats=(), trials=(), pieces=(), use=None)
    return SimpleNamespace(
        asked=SimpleNamespace(piece="disc A", decision=decision),
        seen=seen,
        noted=seen,
        wanted_hrc=(55.0, 61.0),
    )


@pytest.mark.parametrize("code", sorted(set(TESTS_BY_CODE) - {"look_up_degrees"}))
def test_the_prompt_takes_it_with_what_was_seen(code, tmp_path, run):
    folder = tmp_path / "my discs"
    folder.mkdir()
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    on_coupon = code in {"temper_ladder", "grind_and_file", "break_coupon"}
    said = entry_hint(result_with(code, ("7", 1) if on_coupon else None), folder)
    _, *commands = said.split("edgetest ")
    assert commands
    for command in commands:
        words = shlex.split(command.partition("\n")[0])
        assert words[0] == "enter"
        before = (folder / "study.toml").read_bytes()
        status, _, told = run(*words)
        assert (status == 0, "only keeps a place" in told) == (False, True)
        assert (folder / "study.toml").read_bytes() == before
        status, out, told = run(*filled(words))
        assert (status, told) == (0, "")
        # What the program itself proposes raises no question; the study's coupon has no temper.
        assert code in {"bend", "brass_rod", "sharpen_again"} or "asked: " not in out
        now = (folder / "study.toml").read_text(encoding="utf-8")
        assert all(f"{cell.partition('=')[0]} = " in now for cell in words[4:])


def test_a_trial_blade_is_written_down_with_its_heat_and_temper(tmp_path):
    said = entry_hint(result_with("trial_blade"), tmp_path)
    tables = [line.split("--evidence ")[1].split()[0] for line in said.splitlines()[1:]]
    assert tables == ["heats", "tempers", "trials"]
    assert said.count("coupon=blade1") == 3


def test_a_trial_blade_is_soaked_as_the_coupon_that_worked(tmp_path):
    found = result_with("trial_blade")
    assert " soak_min=5 " in entry_hint(found, tmp_path)
    coupon = heat(files(60, 65, "below"), piece="disc A", coupon="7", soak_min=6.0)
    found.seen.heats = (coupon,)
    assert " soak_min=6 " in entry_hint(found, tmp_path)


def test_the_degrees_of_a_temper_are_typed_over_what_stands_there(tmp_path, run):
    temper = '[[evidence.tempers]]\npiece = "disc A"\ncoupon = "7"\ntemperature_c = 400\n'
    (tmp_path / "study.toml").write_text(STUDY + temper, encoding="utf-8")
    _, line = entry_hint(result_with("look_up_degrees", ("7", 1)), tmp_path).split("edgetest ")
    words = shlex.split(line)
    assert run(*words)[0] != 0  # as printed it says nothing
    assert run(*filled(words))[0] == 0
    assert 'temperature_c = "400 °F"' in (tmp_path / "study.toml").read_text(encoding="utf-8")


def test_where_nothing_is_next_nothing_is_named(tmp_path):
    assert entry_hint(result_with(""), tmp_path) == ""


@pytest.mark.parametrize(
    ("facts", "mended"),
    [
        ('coating = "painted"', "coating=removed"),
        ('coating = "painted"\nlead = "unknown"', "coating=removed lead=NO-SUSPECTED-OR-YES"),
        ('coating = "galvanised"\nclosed_hollow = true', "coating=removed closed_hollow=no"),
        ('lead = "suspected"', "lead=no"),
        ("loaded_spring = true", "loaded_spring=no"),
        ('lead = "yes"', ""),  # nothing that is done takes the lead out of a steel
        (
            'coating = "unknown"',
            "coating=NONE-OR-WHICH lead=NO-SUSPECTED-OR-YES",
        ),  # the test that is next says so
    ],
)
def test_a_stop_says_what_to_write_once_its_cause_is_gone(facts, mended, tmp_path, run):
    text = f'title = "t"\n[[evidence.pieces]]\nid = "T 1"\n{facts}\n'
    (tmp_path / "study.toml").write_text(text, encoding="utf-8")
    _, out, _ = run("verdict", tmp_path, "--workers", 1)
    assert out.startswith("Stop: do not heat or grind it")
    told = out.strip().splitlines()[-1]
    assert told.endswith(mended) if mended else "--evidence" not in out
    if mended and "coating=NONE" not in mended:
        assert told.startswith("Once it is so, and not before")
        clean = told.replace("NO-SUSPECTED-OR-YES", "no")
        status, *_ = run(*shlex.split(clean.split("edgetest ")[1]))
        assert status == 0
        _, out, _ = run("verdict", tmp_path, "--workers", 1)
        assert not out.startswith("Stop")


def test_the_first_look_has_its_line_to_type(tmp_path, run):
    (tmp_path / "study.toml").write_text('title = "t"\n[verdict]\nuse = "knife"\n', "utf-8")
    _, out, _ = run("verdict", tmp_path)
    told = out.strip().splitlines()[-1]
    assert told.startswith("Write down what you see, in place of the words in capitals: ")
    status, out, _ = run(*filled(shlex.split(told.split("edgetest ")[1])))
    assert (status, "asked:" in out) == (0, False)


def test_the_look_at_an_unknown_coating_is_not_taken_as_printed_and_keeps_the_fire_off(
    tmp_path, run
):
    folder = tmp_path / "tines"
    run("new", folder, "--steel-for", "chopper")
    cells = ("id=T2", "origin=harrow tine", "coating=unknown", "lead=no", "magnet=strong")
    run("enter", folder, "--evidence", "pieces", *cells)
    _, out, _ = run("verdict", folder)
    (line,) = [each for each in out.splitlines() if "write down what you found" in each]
    words = shlex.split(line.split("edgetest ")[1])
    assert "lead=" not in line
    assert run(*words)[0] != 0
    assert run(*filled(words))[0::2] == (0, "")
    _, out, _ = run("verdict", folder)
    assert out.startswith("Stop: do not heat or grind it")


def test_the_line_of_a_second_piece_names_one_that_may_be_quenched(tmp_path):
    result = result_with("second_piece")
    pieces = [PieceSeen("disc A", lot="L"), PieceSeen("B", lot="L", coating="plated"),
              PieceSeen("C", lot="L", coating="none")]  # fmt: skip
    result.seen.pieces = pieces
    assert " piece=C coupon=1 " in entry_hint(result, tmp_path)
    result.seen.pieces = pieces[:2]
    assert " piece=OTHER coupon=1 " in entry_hint(result, tmp_path)


@pytest.mark.parametrize("code", ["brass_rod", "bend"])
def test_a_fresh_coupon_for_the_rod_has_its_heat_and_its_temper_written_down_too(code, tmp_path):
    tempers = tuple(
        TemperSeen(at, hardness=(HardnessSeen(low, low + 5),)) for at, low in ((203, 55), (217, 50))
    )
    found = result_with(code)
    coupon = HeatSeen("disc A", "1", medium="oil", heat_c=800.0, tempers=tempers,
                      hardness=(HardnessSeen(60, 65, "below"),))  # fmt: skip
    found.seen.heats = (coupon,)
    rows = entry_hint(found, tmp_path).split("--evidence ")[1:]
    assert [row.split()[0] for row in rows] == ["heats", "tempers", "trials"]
    assert all("coupon=2" in row for row in rows)
    assert "temperature_c='203 °C'" in rows[1]
    assert "strokes" not in rows[2]
    there = result_with(code, ("1", 1))
    there.seen.heats = (coupon,)
    assert "coupon=1 heat=1 temper_c='217 °C' test=" in entry_hint(there, tmp_path)


def test_a_light_use_that_the_soak_may_explain_has_the_line_of_a_longer_soak(tmp_path):
    found = result_with("", of=("blade1", 1))
    found.asked.decision = SteelDecision(
        "light_use", None, "hard_edge", None, (), None, (), (), True, (), of=("blade1", 1),
        soak="the soak may be to blame",
    )  # fmt: skip
    found.seen.heats = (HeatSeen("disc A", "blade1", medium="oil", heat_c=830.0, soak_min=2.0),)
    told = entry_hint(found, tmp_path)
    assert "coupon=blade1 heat=2 medium=oil heat_c='830 °C' soak_min=10" in told
    assert "No test is next" not in told
