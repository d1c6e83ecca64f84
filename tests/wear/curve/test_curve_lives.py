"""What is said of the fresh edge follows from whether it was looked at."""

import pytest

from edgetest.doubts import catalogue

WEAR = [(25, 4.5), (50, 6.4), (100, 9.0), (200, 12.7), (400, 18.0)]


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
        f"A,{cuts},{place},{width * (1 + 0.02 * ((cuts // 25 + place // 20) % 3 - 1)):.2f}"
        for cuts, width in WEAR
        for place in (20, 40)
    ]
    log = tmp_path / "log.csv"
    log.write_text("\n".join(["blade,cuts,station_mm,edge_width_um", *before, *rows]), "utf-8")
    code, told, _ = run("fit", log, "--limit", "14")
    assert code == 0
    assert catalogue()[said].says in told
    assert catalogue()[not_said].says not in told
