"""A plan that is saved keeps what was chosen when the study was made."""

import csv

MAKE = ("new", "--protocol", "sisal_rope", "--blade", "H1=hard", "--blade", "S1=soft")


def test_a_plan_keeps_to_the_reading_that_was_chosen(run, tmp_path):
    folder = tmp_path / "rope"
    assert run(*MAKE, folder, "--reading", "edge_width_um")[0] == 0
    assert run("plan", folder)[0] == 0
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["block"] for row in rows} == {"roll 1"}
    assert {row["station_mm"] for row in rows} == {"20", "40", "60"}
    assert len(rows) == 2 * 9 * 3  # blades, stages, stations: no row for other readings
    assert "sever_force_gf" not in rows[0]


def test_a_reading_that_was_not_chosen_can_still_be_entered(run, tmp_path):
    folder = tmp_path / "rope"
    assert run(*MAKE, folder, "--reading", "edge_width_um")[0] == 0
    assert run("enter", folder, "blade=H1", "cuts=0", "sever_force_gf=90")[0] == 0
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        assert [row["blade"] for row in csv.DictReader(file) if row["sever_force_gf"]] == ["H1"]
