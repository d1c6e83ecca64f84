"""What is said of the fresh edge follows from whether it was looked at."""

import pytest

from edgetest.doubts import catalogue
from tests.wear.columns import fit_study
from tests.wear.curve.exact_study import study


@pytest.mark.parametrize(
    ("before", "said", "not_said"),
    [
        (["A,0,20,<2", "A,0,40,<2"], "fresh_too_fine", "fresh_not_read"),
        ([], "fresh_not_read", "fresh_too_fine"),
    ],
)
def test_a_fresh_edge_that_was_looked_at_is_not_called_unseen(
    run, tmp_path, before, said, not_said
):
    rows = [
        f"{blade},{cuts},{place},{rate * cuts**0.5 * (1 + 0.03 * ((cuts + place) % 3 - 1)):.2f}"
        for blade, rate in (("A", 0.9), ("B", 1.08))
        for cuts in (25, 50, 100, 200, 400)
        for place in (20, 40, 60)
    ]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["blade,cuts,station_mm,edge_width_um", *before, *rows]), "utf-8")
    code, told, _ = run("fit", log, "--limit", "14")
    assert code == 0
    assert catalogue()[said].says in told
    assert catalogue()[not_said].says not in told


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
