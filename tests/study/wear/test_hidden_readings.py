"""A reading that hides from its own curve is named by `fit` as by `compare`."""

import json
import random
from types import SimpleNamespace as Of

import pytest

from edgetest.study.wear import hidden_readings as module
from tests.study.wear.surfaces import worked_out_once

ODD = {("soft", 0, 100): 0.75, ("soft", 1, 50): 1.35, ("hard", 2, 200): 1.35}


@pytest.fixture
def log(tmp_path):
    """Worn wedges read to 3 %, three readings of them far off."""
    chance, lines = random.Random(1), ["blade,heat_treatment,cuts,edge_width_um"]
    for treatment, life in (("soft", 200), ("hard", 270)):
        for blade in range(3):
            own = life * (1 + 0.1 * chance.gauss(0, 1))
            for cuts in (0, 10, 25, 50, 100, 150, 200, 300):
                width = (2.5**2 + (12**2 - 2.5**2) * cuts / own) ** 0.5
                width *= (1 + chance.gauss(0, 0.03)) * ODD.get((treatment, blade, cuts), 1.0)
                lines.append(f"{treatment[0].upper()}{blade},{treatment},{cuts},{width:.2f}")
    path = tmp_path / "log.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def rows_of(doubts):
    return {one["where"]["row"] for one in doubts if one["code"] == "outlying_reading"}


def test_fit_and_compare_name_the_same_rows(run, log, monkeypatch):
    worked_out_once(monkeypatch)

    def asked(verb, *more):
        return json.loads(run(verb, log, "--limit", "12", "--json", *more)[1])

    curves = asked("fit")
    named = set().union(*(rows_of(curve["doubts"]) for curve in curves))
    assert named == rows_of(asked("compare")["doubts"]) == {6, 13, 48}
    assert {curve["blade"] for curve in curves if curve["outlying"]} == {"S0", "S1", "H2"}
    screens = [run(verb, log, "--limit", "12")[1] for verb in ("fit", "compare")]
    for row in named:
        assert all(f"row {row}, " in screen for screen in screens)


def test_where_no_mark_tells_of_one_no_second_fit_is_made(run, log, monkeypatch):
    text = log.read_text(encoding="utf-8")
    kept = [line for n, line in enumerate(text.splitlines(), 1) if n not in (6, 13, 48)]
    log.write_text("\n".join(kept) + "\n", encoding="utf-8")
    monkeypatch.setattr(module, "outlying_doubts", None)
    assert run("fit", log, "--limit", "12")[0] == 0
    monkeypatch.undo()
    log.write_text(text, encoding="utf-8")
    monkeypatch.setattr(module, "outlying_doubts", None)
    assert run("fit", log, "--limit", "12", "--robust")[0] == 0


def test_one_slip_makes_no_sound_reading_suspect(run, tmp_path):
    """Widths read to half a micrometre at two places, one of them with its mark left out."""
    chance, lines = random.Random(2), ["blade,heat_treatment,cuts,station_mm,edge_width_um"]
    for treatment, life in (("soft", 200), ("hard", 270)):
        for blade in range(3):
            own = life * (1 + 0.1 * chance.gauss(0, 1))
            for cuts in (0, 10, 25, 50, 100, 150, 200, 300):
                for place in (20, 40):
                    width = (1.5**2 + (12**2 - 1.5**2) * cuts / own) ** 0.5
                    width = max(round(2 * width * (1 + chance.gauss(0, 0.05))) / 2, 0.5)
                    if (treatment, blade, cuts, place) == ("soft", 1, 100, 40):
                        width *= 10
                    name = f"{treatment[0].upper()}{blade}"
                    lines.append(f"{name},{treatment},{cuts},{place},{width:.1f}")
    log = tmp_path / "log.csv"
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    told = json.loads(run("compare", log, "--limit", "12", "--json")[1])
    assert rows_of(told["doubts"]) == {27}


@pytest.mark.parametrize(("other", "uneven"), [(0.29, False), (0.31, True)])
def test_a_life_known_less_surely_than_others_is_a_mark(other, uneven):
    lives = [Of(log_life_se=0.1), Of(log_life_se=other), Of(log_life_se=float("nan")), None]
    assert module._unevenly_known(Of(blades=[Of(life=one) for one in lives])) is uneven
