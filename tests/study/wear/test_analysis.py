"""What an analysis says where the log gives it nothing to fit."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse


def test_photographs_all_refused_say_why(sample_run):
    folder = sample_run("billhook_temper_study")
    heading, *rows = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    (folder / "log.csv").write_text("\n".join([heading, *rows[:3]]), encoding="utf-8")
    (folder / "measured.csv").unlink(missing_ok=True)
    for picture in (folder / "photos").glob("*.jpg"):
        if picture.name != "micrometer.jpg":
            picture.write_bytes(b"no picture")
    with pytest.raises(UnusableInput, match=r"refused, most often: .*picture"):
        analyse(open_source(folder))


def forces(reading, curve):
    rows = [
        f"{blade},{cuts},{curve(cuts) * share:.1f}"
        for blade, share in (("A", 1.0), ("B", 1.1))
        for cuts in (0, 10, 25, 50, 100, 150, 200)
    ]
    return "\n".join([f"blade,cuts,{reading}", *rows])


@pytest.mark.parametrize(
    ("reading", "curve", "asked"),
    [
        ("sever_force_gf", lambda cuts: 130 + 300 * (1 - 0.99**cuts), False),
        ("edge_width_um", lambda cuts: (6 + 0.5 * cuts) ** 0.5, True),
    ],
)
def test_stations_are_missed_only_where_the_protocol_reads_at_them(tmp_path, reading, curve, asked):
    study = new_study(tmp_path / "mine", "sisal_rope", "mine", blades=[{"id": "A"}, {"id": "B"}])
    (study.folder / "log.csv").write_text(forces(reading, curve))
    found = analyse(
        open_source(study.folder), AnalysisOptions(reading=reading, limit_of_fresh=2), compare=False
    )
    assert ("one_station" in {one.code for one in found.doubts}) is asked
    bare = tmp_path / "bare.csv"
    bare.write_text(forces(reading, curve))
    of_bare = analyse(open_source(bare), AnalysisOptions(limit_of_fresh=2), compare=False)
    assert "one_station" in {one.code for one in of_bare.doubts}


@pytest.mark.parametrize("places", ["40", "20,40,60"])
def test_a_force_that_noted_one_place_says_so_in_the_study_as_it_does_of_the_log(tmp_path, places):
    """The protocol asks for no place of a force; that it was read at one is known all the same."""
    study = new_study(tmp_path / "mine", "sisal_rope", "mine", blades=[{"id": "A"}, {"id": "B"}])
    heading, *rows = forces("sever_force_gf", lambda cuts: 130 + 300 * (1 - 0.99**cuts)).split()
    placed = [f"{row},{at}" for row in rows for at in places.split(",")]
    (study.folder / "log.csv").write_text("\n".join([f"{heading},station_mm", *placed]))
    options = AnalysisOptions(reading="sever_force_gf", limit_of_fresh=2)
    found = analyse(open_source(study.folder), options, compare=False)
    of = {one.where.blade for one in found.doubts if one.code == "one_station"}
    assert of == ({"A", "B"} if places == "40" else set())
    left = [one.done for one in found.departures if one.of == "stations"]
    assert left == (["nothing at 20 mm, 60 mm: all runs"] if places == "40" else [])


def test_the_life_of_a_blade_names_the_unit_and_the_reading_of_its_limit(tmp_path):
    log = tmp_path / "bare.csv"
    log.write_text(forces("sever_force_gf", lambda cuts: 130 + 300 * (1 - 0.99**cuts)))
    asks = AnalysisOptions(limit=300)
    said = analyse(open_source(log), asks, compare=False).curve_words()
    assert " to 300 gf (thread severing force)\n" in said
