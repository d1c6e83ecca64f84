"""Rod, plate, two masses and a pendulum through `edgetest chop --json`, against closed forms.

Rod: inertia m L²/12, percussion at 2/3 L when held at its end; plate: m (L² + b²)/12; two masses:
m1 m2 / (m1 + m2) d²; the physical pendulum T = 2 pi sqrt(I / (m g d)) with g = 9.80665 m/s²
(any textbook of mechanics, such as Kibble and Berkshire, Classical Mechanics, chapter 9, from
memory).
"""

from math import pi, sqrt

import pytest

GRAVITY = 9.80665
LENGTH, MASS = 0.400, 0.600
BODIES = {
    "rod": (MASS, LENGTH / 2, MASS * LENGTH**2 / 12),
    "plate": (MASS, LENGTH / 2, MASS * (LENGTH**2 + 0.080**2) / 12),
    "two masses": (0.200 + 0.500, (0.2 * 0.05 + 0.5 * 0.37) / 0.7, 0.2 * 0.5 / 0.7 * 0.32**2),
}
HEAD = 'title = "Bodies (invented)"\nprotocol = "billet_chop"\n[[blades]]\nid = "T1"\n'


@pytest.mark.parametrize("body", BODIES)
def test_bodies_swing_to_their_closed_forms(tmp_path, answer, body):
    mass, centre, inertia = BODIES[body]
    pivot, grip, strike = 0.010, 0.060, 0.300
    arm = centre - pivot
    seconds = 20 * 2 * pi * sqrt((inertia + mass * arm**2) / (mass * GRAVITY * arm))
    (tmp_path / "study.toml").write_text(
        f"{HEAD}[handling.T1]\ngrip_mm = 60\nstrike_mm = 300\nlength_mm = 400\n"
        f"mass_g = {1e3 * mass!r}\nbalance_mm = {1e3 * centre!r}\npivot_mm = 10\n"
        f"swings = 20\nseconds = [{seconds!r}]\n",
        encoding="utf-8",
    )
    (tmp_path / "chops.csv").write_text("blade,kind\n", encoding="utf-8")
    (tool,) = answer("chop", tmp_path)["tools"]
    told = tool["measured"].items()
    found = {name: one["value"] for name, one in told if isinstance(one, dict) and "value" in one}
    about_grip = inertia + mass * (centre - grip) ** 2
    assert found["inertia_balance_kg_cm2"] == pytest.approx(1e4 * inertia, rel=1e-6)
    assert found["inertia_grip_kg_cm2"] == pytest.approx(1e4 * about_grip, rel=1e-6)
    percussion = grip + about_grip / (mass * (centre - grip))
    assert found["percussion_mm"] == pytest.approx(1e3 * percussion, rel=1e-6)
    free = 1 / (1 / mass + (strike - centre) ** 2 / inertia)
    assert found["effective_mass_free_g"] == pytest.approx(1e3 * free, rel=1e-6)


def test_a_drawn_plate_has_its_closed_form_and_an_honest_interval(tmp_path, answer):
    (tmp_path / "study.toml").write_text(
        f"{HEAD}[handling.T1]\ngrip_mm = 0\nstrike_mm = 300\n"
        "[outline.T1]\nwidths = [[0, 40], [400, 40]]\nthicknesses = [[0, 5]]\nground = 0.0\n",
        encoding="utf-8",
    )
    (tmp_path / "chops.csv").write_text("blade,kind\n", encoding="utf-8")
    (tool,) = answer("chop", tmp_path)["tools"]
    drawn = tool["predicted"]["balance"]
    mass = 7850 * 0.4 * 0.04 * 0.005
    assert drawn["mass_g"]["value"] == pytest.approx(1e3 * mass, rel=1e-6)
    assert drawn["inertia_grip_kg_cm2"]["value"] == pytest.approx(1e4 * mass * 0.16 / 3, rel=1e-6)
    percussion = drawn["percussion_mm"]
    assert percussion["value"] == pytest.approx(1e3 * 0.4 * 2 / 3, rel=1e-6)
    # The hand is known to 3 mm, and moves the centre of percussion by a third of that at the end.
    assert percussion["high"] - percussion["low"] > 4


def test_limits_typed_beside_a_value_are_its_uncertainty(tmp_path, answer):
    def percussion(grip):
        (tmp_path / "study.toml").write_text(
            f"{HEAD}[handling.T1]\ngrip_mm = {grip}\nstrike_mm = 300\n"
            "[outline.T1]\nwidths = [[0, 40], [400, 40]]\nthicknesses = [[0, 5]]\n",
            encoding="utf-8",
        )
        (tmp_path / "chops.csv").write_text("blade,kind\n", encoding="utf-8")
        (tool,) = answer("chop", tmp_path)["tools"]
        one = tool["predicted"]["balance"]["percussion_mm"]
        return one["value"], one["high"] - one["low"]

    plain, close, wide = percussion("62"), percussion('"62 ± 1"'), percussion('"6.2 +/- 1 cm"')
    assert plain[0] == close[0] == pytest.approx(wide[0])
    assert close[1] < plain[1] < wide[1]
