"""What departs from the protocol is told by every surface, each with what follows from it."""

import pytest

from edgetest.store.history import read_history
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import save_protocol
from edgetest.study.sources import open_source
from edgetest.study.wear.protocol_departures import LOOKED_AT, ORDER, departures_of
from edgetest.study.wear.study_readings import readings_of_study

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

STAGES = (0, 10, 25, 50, 100, 150, 200, 300, 400)
BLADES = ("H1", "H2", "S1", "S2", "C1")


def study_toml(*, angle=15, finish="1000 grit", control="C1", plan="", protocol="sisal_rope"):
    lines = ['title = "Rope"', f'protocol = "{protocol}"', "invented = true"]
    lines += [f'control = "{control}"'] if control else []
    lines += [plan] + [f'[[heat_treatments]]\nid = "{name}"' for name in ("hard", "soft")]
    for blade in BLADES:
        treatment = {"H": 'heat_treatment = "hard"', "S": 'heat_treatment = "soft"'}.get(blade[0])
        lines += [f'[[blades]]\nid = "{blade}"', treatment or ""]
        lines += [f"angle_per_side_deg = {angle}"] if angle else []
        lines += [f'edge_finish = "{finish}"'] if finish else []
    return "\n".join(lines) + "\n"


def width_um(blade, cuts, station):
    rate = {"H": 0.3, "S": 0.5, "C": 0.4}[blade[0]] * (1 + 0.05 * int(blade[1]))
    return (2.4**2 + rate * cuts) ** 0.5 * (1 + 0.01 * ((cuts + station) % 3 - 1))


def log_rows(*, stages=STAGES, stations=(20, 40, 60), blades=BLADES, block="roll 1", thread=5):
    """A log in which all is done as asked, of the stages and stations given."""
    for blade in blades:
        for cuts in stages[blade] if isinstance(stages, dict) else stages:
            for station in stations:
                width = f"{width_um(blade, cuts, station):.3f}"
                yield f"{blade},{block},{cuts},{station},,{width},,"
            for check in range(thread):
                yield f"{blade},{block},{cuts},,{check + 1},,{100 + cuts / 4 + check:g},"
            yield f"{blade},{block},{cuts},,,,,shaves"


@pytest.fixture
def departures(tmp_path):
    """The departures of a study, as `compare` tells them."""

    def found(rows, **facts):
        heading = "blade,block,cuts,station_mm,check_no,edge_width_um,sever_force_gf,grade"
        (tmp_path / "study.toml").write_text(study_toml(**facts), "utf-8")
        (tmp_path / "log.csv").write_text("\n".join([heading, *rows]) + "\n", "utf-8")
        source = open_source(tmp_path)
        met = readings_of_study(source, "edge_width_um").readings
        told = departures_of(source.study, source.protocol, source.log, met)
        return [each.to_dict() for each in told]

    return found


def only(found):
    (one,) = found
    return one


def test_nothing_departs_where_all_was_done_as_asked(departures):
    assert departures(log_rows()) == []


def test_a_run_whose_block_nobody_wrote_down_is_told_as_that(departures):
    stages = {"H1": (0, 10, 50, 100, 150, 200, 300, 400)}
    again = log_rows(stages=stages, blades=("H1",), block="")
    told = [one for one in departures([*log_rows(), *again]) if one["of"] == "stages"]
    assert only(told)["done"] == "not read at 25 cuts: H1 (block not noted)"


def test_a_stage_left_out_names_its_runs(departures):
    stages = {blade: STAGES for blade in BLADES} | {"S2": (0, 10, 50, 100, 150, 200, 300, 400)}
    one = only(departures(log_rows(stages=stages)))
    assert one["of"] == "stages"
    assert one["asked"] == "readings at 0, 10, 25, 50, 100, 150, 200, 300, 400 cuts"
    assert one["done"] == "not read at 25 cuts: S2"


def test_a_stage_more_and_a_run_stopped_are_two_things(departures):
    found = departures(log_rows(stages=(0, 10, 25, 50, 75, 100, 150, 200, 300)))
    assert {each["done"] for each in found} == {
        "read at 75 cuts too: all runs",
        "stopped at 300 cuts: C1, H1 and H2",  # the soft ones were past 12 µm there
    }


def test_a_force_is_not_held_to_the_limit_of_a_width(departures, answer, tmp_path):
    stages = (0, 10, 25, 50, 100, 150, 200, 300)
    departures(log_rows(stages=stages))
    told = answer("compare", tmp_path, "--reading", "sever_force_gf", "--limit", 150)["departures"]
    assert "stopped at 300 cuts: C1, H1 and H2" in [one["done"] for one in told]


def test_stations_left_out(departures):
    one = only(departures(log_rows(stations=(20, 40))))
    assert (one["of"], one["done"]) == ("stations", "nothing at 60 mm: all runs")


@pytest.mark.parametrize(("thread", "done"), [(0, "never read"), (3, "fewer at 45 of 45 places")])
def test_readings_left_out_or_taken_fewer_times(departures, thread, done):
    one = only(departures(log_rows(thread=thread)))
    assert one["of"] == "readings"
    assert one["asked"].startswith("thread severing force")
    assert one["done"].startswith(done)


def test_a_control_blade_that_was_named_and_never_run(departures, run, tmp_path):
    found = departures(log_rows(blades=BLADES[:4]))
    assert [each["done"] for each in found] == ["C1 was named and never run"]
    assert found[0]["means"].endswith("did to all blades alike is not seen.")
    code, out, _ = run("check", tmp_path)
    assert code == 0
    assert "C1 was named and never run" in out
    code, out, _ = run("compare", tmp_path)
    assert "names a control blade that was never cut" in out


def test_a_control_blade_that_nobody_named(departures):
    found = departures(log_rows(blades=BLADES[:4]), control="")
    assert [each["done"] for each in found] == ["none was named"]


def test_a_control_blade_missing_on_a_roll(departures):
    rows = [*log_rows(), *log_rows(blades=BLADES[:4], block="roll 2")]
    assert [each["done"] for each in departures(rows)] == ["C1 was not run in roll 2"]


def test_no_batch_and_no_roll_noted(departures):
    found = departures(log_rows(block=""))
    assert [each["of"] for each in found] == ["roll of the medium"]


def test_other_angles_and_facts_that_nobody_noted(departures):
    one, *more = departures(log_rows(), angle=20)
    assert not more
    assert one["done"] == "H1, H2, S1, S2 and C1 20° per side (40° included)"
    found = departures(log_rows(), angle=None, finish="")
    assert [each["of"] for each in found] == ["edge angle", "edge finish"]
    assert all("not noted: C1, H1, H2, S1 and S2" in _sorted(each["done"]) for each in found)


def _sorted(done):
    """The words with the names in one order."""
    head, _, names = done.partition(": ")
    *most, last = sorted(names.replace(" and ", ", ").split(", "))
    return f"{head}: {', '.join(most)} and {last}"


PLAN = '[plan]\nseed = 1\norder = [["roll 1", "H1"], ["roll 1", "S1"]]\nfingerprint = ""'


def test_the_order_is_held_against_the_record_of_the_bench(departures, run, tmp_path):
    """A log typed in afterwards has no order; rows entered at the prompt have."""
    found = departures(log_rows(blades=("H1", "S1")), plan=PLAN, control="")
    assert "when each run was begun was not noted" in found[-1]["done"]
    (tmp_path / "log.csv").write_text(
        "blade,block,cuts,station_mm,check_no,edge_width_um,sever_force_gf,grade\n", "utf-8"
    )
    for blade in ("S1", "H1"):
        for cuts in (0, 50, 100, 200):
            width = f"edge_width_um={width_um(blade, cuts, 20):.3f}"
            run("enter", tmp_path, f"blade={blade}", "block=roll 1", f"cuts={cuts}",
                "station_mm=20", width)  # fmt: skip
    assert len([each for each in read_history(tmp_path) if each.what == "append"]) == 8
    code, out, _ = run("compare", tmp_path)
    assert code == 0
    assert "begun in this order: S1 (roll 1); H1 (roll 1)" in out


def test_document_and_text_tell_what_json_tells(departures, answer, run, tmp_path):
    told = departures(log_rows(thread=0, stations=(20, 40)))
    found = answer("compare", tmp_path)["departures"]
    assert found == told
    code, out, _ = run("compare", tmp_path)
    assert code == 0
    assert all(each["done"] in out and each["means"] in out for each in found)
    code, _, _ = run("report", tmp_path, "--to", tmp_path / "d")
    page = (tmp_path / "d" / "comparison.html").read_text("utf-8")
    plain = " ".join(page.replace("\u00ad", "").replace("\u200b", "").split())
    assert all(each["done"] in plain and each["means"] in plain for each in found)
    assert all(each in plain for each in LOOKED_AT)
    assert ORDER not in plain  # none was drawn


def test_a_document_says_what_was_looked_at_where_nothing_departs(departures, run, tmp_path):
    departures(log_rows())
    run("report", tmp_path, "--to", tmp_path / "d")
    page = " ".join((tmp_path / "d" / "comparison.html").read_text("utf-8").split())
    assert "Nothing departs from it" in page.replace("\u00ad", "")


def test_a_place_left_out_at_the_last_stage_is_named(departures):
    rows = [row for row in log_rows() if not row.startswith("H2,roll 1,400,40,")]
    told = only(departures(rows))
    assert told["asked"].endswith("along the edge, at the first and the last stage at the least")
    assert told["done"] == "nothing at 40 mm at the stage of 400 cuts: H2"


def between_ends(row):
    """Whether a row is of another place than 40 mm, at a stage between the first and the last."""
    cuts, station = row.split(",")[2:4]
    return cuts not in ("0", "400") and station in ("20", "60")


def test_between_first_and_last_stage_the_rope_s_protocol_asks_for_one_place(departures):
    assert departures([row for row in log_rows() if not between_ends(row)]) == []


def test_alike_stages_stand_in_one_line_by_their_numbers(departures, tmp_path):
    """A protocol of one's own that asks for all places at every stage."""
    rules = load_protocol("sisal_rope").to_toml_dict() | {"id": "own"}
    for each in rules["readings"]:
        each.pop("all_stations_at", None)
    save_protocol(rules, tmp_path)
    rows = [row for row in log_rows() if not between_ends(row)]
    rows = [row for row in rows if not row.startswith("H2,roll 1,100,")]
    told = [one for one in departures(rows, protocol="own.toml") if one["of"] == "stations"]
    assert only(told)["done"] == (
        "nothing at 20 mm, 60 mm at the stages of 10, 25, 50, 150, 200, 300 cuts: all runs; "
        "at the stage of 100 cuts: C1, H1, S1 and S2"
    )


def test_a_reading_that_was_set_aside_is_no_place_left_out(tmp_path, departures, answer):
    rows = [f"{row}," for row in log_rows()]
    at = next(i for i, row in enumerate(rows) if row.startswith("H2,roll 1,50,40,"))
    rows[at] += "struck the clamp"
    heading = "blade,block,cuts,station_mm,check_no,edge_width_um,sever_force_gf,grade,exclude"
    (tmp_path / "study.toml").write_text(study_toml(), "utf-8")
    (tmp_path / "log.csv").write_text("\n".join([heading, *rows]) + "\n", "utf-8")
    assert answer("compare", tmp_path)["departures"] == []
