"""What is said of the fresh edge follows from whether it was looked at."""

import pytest

from edgetest.doubts import catalogue
from tests.wear.columns import fit_study
from tests.wear.curve.exact_study import study


@pytest.mark.parametrize(
    ("before", "places", "said", "not_said"),
    [
        ([f"{b},0,{at},<2" for b in "AB" for at in (20, 40)], (20, 40, 60), "fresh_too_fine",
         "fresh_not_read"),
        ([], (20, 40), "fresh_not_read", "fresh_too_fine"),
    ],
)  # fmt: skip
def test_a_fresh_edge_that_was_looked_at_is_not_called_unseen(
    run, tmp_path, before, places, said, not_said
):
    rows = [
        f"{blade},{cuts},{place},{rate * cuts**0.5 * (1 + 0.03 * ((cuts + place) % 3 - 1)):.2f}"
        for blade, rate in (("A", 0.9), ("B", 1.08))
        for cuts in (25, 50, 100, 200, 400)
        for place in places
    ]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["blade,cuts,station_mm,edge_width_um", *before, *rows]), "utf-8")
    code, told, _ = run("fit", log, "--limit", "14")
    assert code == 0
    assert catalogue()[said].says in told
    assert catalogue()[not_said].says not in told


def test_every_blade_without_a_fresh_reading_is_named_and_so_is_a_low_end_of_nothing(run, tmp_path):
    """A was first read short of the limit, B far beyond it, C fresh."""
    rows = [
        f"{blade},{cuts},{place},"
        f"{rate * (cuts + 1) ** 0.5 * (1 + 0.03 * ((cuts + place) % 3 - 1)):.2f}"
        for blade, rate, stages in (
            ("A", 0.9, (25, 50, 100, 200, 400)),
            ("B", 1.4, (300, 350, 400)),
            ("C", 1.0, (0, 25, 50, 100, 200, 400)),
        )
        for cuts in stages
        for place in (20, 40, 60)
    ]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["blade,cuts,station_mm,edge_width_um", *rows]), "utf-8")
    code, told, _ = run("fit", log, "--limit", "14")
    assert code == 0
    (line,) = [line for line in told.splitlines() if "before the first cut counts" in line]
    assert line.startswith("A, B: ")
    (low,) = [line for line in told.splitlines() if "no lower end above 0" in line]
    assert low.startswith("B: ")
    (life,) = [line for line in told.splitlines() if line.startswith("B: ") and "µm" in line]
    assert "(0 to " in life


def test_a_scale_that_all_readings_share_moves_a_limit_and_no_multiple_of_fresh():
    data = study((300.0, 330.0), cv=0.02, places=2, seed=4)
    options = {"power": 2.0, "unit": "µm"}
    plain = fit_study(**data, limit_of_fresh=4.0, **options)["A"].life
    scaled = fit_study(**data, limit_of_fresh=4.0, shared_scale_u=0.1, **options)["A"].life
    assert (scaled.low, scaled.high) == pytest.approx((plain.low, plain.high))
    assert plain.high / plain.low < 1.5
    plain = fit_study(**data, limit=10.0, **options)["A"].life
    scaled = fit_study(**data, limit=10.0, shared_scale_u=0.1, **options)["A"].life
    assert scaled.high / scaled.low > 1.2 * plain.high / plain.low
