"""`edgetest case`: what the diagram allows, through the command."""

import pytest


def plan(*more, heat=900, mm=1, hours=4):
    return ("case", "--thickness-mm", mm, "--temperature-c", heat, "--hours", hours, *more)


def test_a_pack_below_a3_of_the_core_is_one_line_and_exit_2(run):
    code, out, err = run(*plan(heat=780))
    assert (code, out) == (2, "")
    assert err.strip().count("\n") == 0
    assert "--temperature-c: at 780 °C a core of 0.20 % carbon is still partly ferrite" in err
    assert "pack above 837 °C" in err


def test_more_carbon_than_austenite_dissolves_is_held_to_it(run, answer):
    rich = plan("--surface-pct", 1.6, heat=850, hours=12)
    found = answer(*rich)
    assert max(found["profile"]["carbon_pct_middle"]) == pytest.approx(1.085, abs=0.005)
    code, text, _ = run(*rich)
    assert code == 0
    for said in (text, str(found["warnings"])):
        assert "austenite dissolves no more than 1.08 %" in said
