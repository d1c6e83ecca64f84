"""The next step of a study in words, with its page, at every turn of the three jobs."""

from edgetest.store.journal import append_reading
from edgetest.store.workspace import new_steel_study, new_study
from edgetest.study.bench.bench_order import draw_order
from edgetest.study.bench.scale_first import needs_scale, type_widths
from edgetest.study.facts.set_facts import set_facts
from edgetest.study.next_step import next_step
from edgetest.study.photos.sort_assign import assign, set_aside
from edgetest.study.photos.sort_places import places_of
from edgetest.study.photos.sort_tray import read_tray, take_in
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import add_row
from edgetest.study.study_state import state_of_source
from tests.browser.studies import STATION, bench_study
from tests.study.photos.row_of_pictures import row

TREATMENTS = [{"id": "a", "title": "temper 190 °C"}, {"id": "b", "title": "temper 260 °C"}]
BLADES = [{"id": "K1", "heat_treatment": "a"}, {"id": "S1", "heat_treatment": "b"}]


def step(folder):
    source = open_source(folder)
    found = next_step(source, state_of_source(source))
    return found.page, found.words


def test_an_edge_is_drawn_scaled_and_read_in_turn(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "sisal_rope", "s", blades=BLADES, heat_treatments=TREATMENTS)
    assert step(folder) == ("bench", "draw the order of its blades")
    draw_order(open_source(folder), ["roll 1"], seed=1)
    says = "take the scale of its photographs, or say that you type its widths"
    assert step(folder) == ("bench", says)
    type_widths(open_source(folder))
    page, words = step(folder)
    assert page == "bench"
    assert "read the fresh edge" in words


def test_the_scale_is_asked_until_there_is_one_or_work_has_begun(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "sisal_rope", "s", blades=BLADES, heat_treatments=TREATMENTS)
    assert needs_scale(open_source(folder))
    append_reading(folder, {"blade": "K1", "cuts": 0, "station_mm": 20, "edge_width_um": 2.5})
    assert not needs_scale(open_source(folder))
    other = tmp_path / "t"
    new_study(other, "sisal_rope", "t", blades=BLADES, heat_treatments=TREATMENTS)
    set_facts(other, ("scale",), {}, {"um_per_px": 0.4, "relative_u": 0.01})
    assert not needs_scale(open_source(other))
    threads = tmp_path / "u"
    new_study(threads, "thread_severing", "u", blades=BLADES, heat_treatments=TREATMENTS)
    assert not needs_scale(open_source(threads))  # no photograph gives its reading


def test_pictures_that_wait_for_a_place_come_first(tmp_path):
    folder = bench_study(tmp_path, readings=[STATION])
    before = step(folder)
    take_in(open_source(folder), row(2))
    assert step(folder) == ("sorting", "give 2 pictures their places")
    source = open_source(folder)
    assign(folder, read_tray(source).waiting[0], places_of(source)[0])
    assert step(folder) == ("sorting", "give 1 picture its place")
    set_aside(folder, read_tray(open_source(folder)).waiting[0])
    assert (step(folder)[0], before[0]) == ("bench", "bench")


def test_a_log_made_elsewhere_goes_to_its_answer(tmp_path):
    folder = tmp_path / "s"
    new_study(folder, "thread_severing", "s", blades=BLADES, heat_treatments=TREATMENTS)
    rows = [f"{blade},{cuts},{150 + cuts}" for blade in ("K1", "S1") for cuts in (0, 2, 6)]
    text = "\n".join(["blade,cuts,sever_force_gf", *rows])
    (folder / "log.csv").write_text(text, encoding="utf-8")
    assert step(folder) == ("comparison", "see its answer")


def test_a_steel_begins_with_a_piece_and_a_test_of_it_is_done_at_the_bench(tmp_path):
    folder = tmp_path / "s"
    new_steel_study(folder, "s")
    assert step(folder) == ("verdict", "say what the first piece of steel is")
    add_row(folder, "pieces", {"id": "disc A"})
    assert step(folder) == ("verdict", "see what its steel wants next")
    chopper = tmp_path / "t"
    new_study(chopper, "billet_chop", "t", blades=["H1"])
    add_row(chopper, "pieces", {"id": "disc A"})
    assert step(chopper) == ("bench", "Blade H1, look at the edge before the test")
