"""What does a user do that writes to the disk: every command and every action of a page."""

import io
import os
import shutil
from contextlib import redirect_stderr, redirect_stdout
from functools import cache

import numpy as np
from PIL import Image

from edgetest.cli import main as command
from edgetest.errors import UnusableInput
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.store.export import export_study
from edgetest.store.journal import append_reading, correct_reading, fill_row, undo_last
from edgetest.store.places import shipped
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.study_jobs import begin_test
from edgetest.store.study_zip import import_study
from edgetest.store.typed_drafts import drop_typed, keep_typed, settle_typed
from edgetest.store.workspace import (
    copy_protocol,
    copy_sample_run,
    new_study,
    replace_log,
    save_photograph,
    save_protocol,
)
from edgetest.study.bench.bench_entry import (
    correct_entry,
    entries,
    leave_entry_out,
    measure_one,
    record,
    remark,
    save_station_photo,
)
from edgetest.study.bench.bench_order import draw_order
from edgetest.study.bench.bench_undo import last_done, take_back
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import (
    count_taps,
    end_run,
    leave_out,
    note_fact,
    read_session,
    undo_tap,
)
from edgetest.study.bench.unsealing import unseal_names
from edgetest.study.facts.set_facts import add_entry, last_facts, set_facts, take_entry, undo_facts
from edgetest.study.facts.study_drafts import (
    begin_draft,
    change_card,
    change_draft,
    drop_draft,
    make_study,
)
from edgetest.study.photos.added_photos import add_photo
from edgetest.study.photos.corrections import correct
from edgetest.study.photos.sort_tray import note_put, read_tray, take_in
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import add_row
from edgetest.study.study_edit import put_document_wishes, put_scale
from tests.benchmarks.disk_faults import Action
from tests.browser.studies import FORCE, STATION, bench_study, photograph

READING = {"blade": "K1", "cuts": 10, "station_mm": 20, "edge_width_um": 2.5}
LOG = "blade,cuts,edge_width_um\n" + "".join(
    f"{blade},{cuts},{2 + k / 2 + cuts / 50 + (cuts * 7 + k * 31) % 90 / 300:.2f}\n"
    for k, blade in enumerate(("K1", "K2", "S1", "S2"))
    for cuts in (0, 50, 100, 150)
)
STUDY = """\
title = "Faults"
protocol = "sisal_rope"
reading = "edge_width_um"
limit = 4
scale = {um_per_px = 0.4}
heat_treatments = [{id = "hard"}, {id = "soft"}]
blades = [
    {id = "K1", heat_treatment = "hard"}, {id = "K2", heat_treatment = "hard"},
    {id = "S1", heat_treatment = "soft"}, {id = "S2", heat_treatment = "soft"},
]
"""
RUN = ("", "K1")
WORD = "seven blue kettles"


def said(*words, typed=None):
    """A command as a user gives it; a fault of the input is raised, one of the program too."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            command([str(word) for word in words])
        except SystemExit as end:
            code = end.code
    if code == 2:
        lines = err.getvalue().strip().splitlines()
        if len(lines) > 1 and "Traceback" in err.getvalue():
            raise AssertionError(err.getvalue())
        raise UnusableInput(err.getvalue(), "command", "as told")
    if code != 0:
        raise AssertionError(err.getvalue())


def of_command(name, prepare, *words, again=True):
    """A command, with {root} in its words for the folder."""

    def act(root):
        said(*(str(word).replace("{root}", str(root)) for word in words))

    return Action(name, prepare, act, again)


def fresh(root):
    """A new study with an empty log."""
    new_study(root / "s", "sisal_rope", "Faults", blades=["K1", "K2"])


def read(root):
    """The same after two readings."""
    fresh(root)
    append_reading(root / "s", READING)
    append_reading(root / "s", READING | {"cuts": 25, "edge_width_um": 3})


def filled(root):
    """A study with two heat treatments and a whole log."""
    (root / "s" / "photos").mkdir(parents=True)
    (root / "s" / "study.toml").write_text(STUDY)
    (root / "s" / "log.csv").write_text(LOG)


def photographed(root):
    """A study with two photographs, one of them measured."""
    filled(root)
    run = shipped("sample_runs") / "billhook_temper_study" / "photos"
    rows = []
    for cuts in (0, 300):
        name = f"S1_roll1_{cuts:03}_020.jpg"
        shutil.copyfile(run / name, root / "s" / "photos" / name)
        rows.append(f"S1,{cuts},20,{name}")
        (root / "s" / "log.csv").write_text(
            "blade,cuts,station_mm,photo\n" + "\n".join(rows) + "\n"
        )
        if not cuts:
            said("measure", root / "s", "--workers", 1)


def steel(root):
    """A study of a found steel."""
    shutil.copytree(shipped("sample_runs") / "harrow_tine_study", root / "s")


def chopped(root):
    """A chop test with nothing done yet."""
    new_study(root / "s", "billet_chop", "Hatchet", blades=["H1"])


def at_bench(root):
    """A study at the bench, by force; its first reading is due."""
    made = bench_study(root, readings=(FORCE | {"repeats": 1},), stages=(0, 10))
    if made != root / "s":
        shutil.move(made, root / "s")


def at_lens(root):
    """A study at the bench, by photograph."""
    made = bench_study(root, blades=("K1",), stations=(10.0,), readings=(STATION,), stages=(0, 10))
    if made != root / "s":
        shutil.move(made, root / "s")


def tapped(root):
    """The same, one reading entered and some cuts counted."""
    at_bench(root)
    source = open_source(root / "s")
    action = next_action(source)
    record(root / "s", action, action.due[0], "150")
    count_taps(root / "s", RUN, [("a", 5)], stage=10)


def due(root):
    """Source, action and first reading due."""
    source = open_source(root / "s")
    action = next_action(source)
    if not action.due:
        raise UnusableInput("nothing is due", "bench", "it is done already")
    return source, action, action.due[0]


@cache
def shot(seed=1):
    return photograph(8.0, seed=seed)


def in_tray(root):
    at_lens(root)
    take_in(open_source(root / "s"), [("a.png", shot())])


def recorded(root):
    _, action, first = due(root)
    record(root / "s", action, first, "150")


def station(root):
    source, action, first = due(root)
    save_station_photo(source, action, first, shot(), "a.png")


def measured_station(root):
    source, action, first = due(root)
    name = save_station_photo(source, action, first, shot(), "a.png")
    measure_one(open_source(root / "s"), name)


def corrected(root):
    entry = entries(open_source(root / "s"))[0]
    correct_entry(root / "s", entry, "175")


def left_out(root):
    entry = entries(open_source(root / "s"))[0]
    leave_entry_out(root / "s", entry, "the blade slipped")


def taken_back(root):
    source = open_source(root / "s")
    done = last_done(source, next_action(source))
    if done is None:
        raise UnusableInput("nothing", "bench", "none")
    take_back(root / "s", done)


def draft(root):
    """A draft of a study."""
    fresh(root)
    file = begin_draft(root, "edge")
    change_draft(file, title="Drafted", protocol="sisal_rope")
    change_card(file, 0, names="H1, S1")
    os.rename(file, file.with_name("d.json"))


def drafts(root):
    return sorted(path for path in root.rglob("d.json"))


def facts(root):
    fresh(root)
    set_facts(root / "s", (), {"maker": None}, {"maker": "A maker"})


def typed(root):
    fresh(root)
    keep_typed(root / "s", "w1", "facts", "maker", "", "A maker")


def back_from_log(root):
    source = open_source(root / "s")
    picture = read_tray(source).pictures[0]
    source, action, first = due(root)
    name = save_station_photo(source, action, first, picture.path.read_bytes(), picture.name)
    note_put(root / "s", picture, name, act="1")


def zip_of(root):
    filled(root)
    export_study(root / "s", root / "s.zip")


def ruled(root):
    """A photograph of a ruling, alone."""
    ruling, _ = render_ruling(shape=(480, 640), um_per_px=0.8, rng=np.random.default_rng(1))
    Image.fromarray(ruling).save(root / "ruling.png")


def apex_pictures(root):
    """Photographs of one edge, each a little further along it."""
    picture = Image.open(io.BytesIO(shot()))
    width, height = picture.size
    for number in (1, 2, 3):
        along = 8 * number
        picture.crop((along, 0, width - 32 + along, height)).save(root / f"{number}.png")


def repeats(root):
    filled(root)
    rows = ["operator,blade,cuts,edge_width_um"]
    rows += [f"{who},K1,0,{2 + n / 10}" for who in ("a", "b") for n in range(4)]
    (root / "repeats.csv").write_text("\n".join(rows) + "\n")


def own_rules(root):
    filled(root)
    copy_protocol("sisal_rope", root / "s", "own_rope")


def scaled(root):
    study = open_source(root / "s").study
    put_scale(root / "s", "", ScaleRule(um_per_px=0.5), was=study.scale)


def sealed(root):
    draw_order(open_source(root / "s"), ["roll 1", "roll 2"], seed=1, word=WORD)


def not_begun(root):
    new_study(root / "s", "sisal_rope", "Faults", blades=["Kestrel", "Heron"])
    set_facts(root / "s", (), {"maker": None}, {"maker": "A maker"})


def sealed_before(root):
    not_begun(root)
    sealed(root)


def own_saved(root):
    from edgetest.store.protocol import load_protocol

    data = load_protocol("own_rope.toml", root / "s").to_toml_dict()
    save_protocol(data | {"title": "Mine"}, root / "s")


COMMANDS = (
    of_command("new", lambda root: None, "new", "{root}/n", "--protocol", "sisal_rope",
               "--blade", "H1=hard", "--blade", "S1=soft"),
    of_command("new --from a log", filled, "new", "{root}/n", "--protocol", "sisal_rope",
               "--from", "{root}/s/log.csv"),
    of_command("new --steel-for", lambda root: None, "new", "{root}/n", "--steel-for", "knife"),
    of_command("enter a reading", fresh, "enter", "{root}/s", "blade=K1", "cuts=10",
               "station_mm=20", "edge_width_um=2.5"),
    of_command("enter a chop", chopped, "enter", "{root}/s", "blade=H1", "kind=billet", "order=1",
               "chops=12", "diameter_mm=50"),
    of_command("enter --evidence", steel, "enter", "{root}/s", "--evidence", "pieces", "id=Z",
               "origin=leaf spring", again=False),
    of_command("undo a reading", read, "undo", "{root}/s", again=False),
    of_command("undo a fact", facts, "undo", "{root}/s", again=False),
    of_command("check after an edit outside", lambda root: (
        read(root), (root / "s" / "log.csv").write_text(
            (root / "s" / "log.csv").read_text().replace(",2.5", ",2.75"))),
        "check", "{root}/s"),
    of_command("plan", filled, "plan", "{root}/s"),
    of_command("measure a study", photographed, "measure", "{root}/s", "--workers", 1),
    of_command("measure --overlay", photographed, "measure", "{root}/s", "--workers", 1,
               "--overlay", "{root}/o"),
    of_command("scale --keep-as", ruled, "scale", "{root}/ruling.png", "--pitch-um", 10,
               "--keep-as", "scope", "--calibrations-in", "{root}"),
    of_command("stack --to", apex_pictures, "stack", "{root}/1.png", "{root}/2.png",
               "{root}/3.png", "--um-per-px", 0.4, "--to", "{root}/sharp.png"),
    of_command("survey --to", apex_pictures, "survey", "{root}/1.png", "{root}/2.png",
               "--um-per-px", 0.4, "--to", "{root}/widths.csv"),
    of_command("repeatability --save", repeats, "repeatability", "{root}/repeats.csv", "--save",
               "{root}/s"),
    of_command("report", filled, "report", "{root}/s"),
    of_command("verdict's document", steel, "report", "{root}/s"),
    of_command("export --to", filled, "export", "{root}/s", "--to", "{root}/e"),
    of_command("export --zip", filled, "export", "{root}/s", "--zip", "{root}/e.zip"),
    of_command("shop-book", filled, "shop-book", "{root}", "--invented"),
)  # fmt: skip

PAGES = (
    Action("page: import a zip", zip_of,
           lambda root: import_study((root / "s.zip").read_bytes(), root, name="t")),
    Action("page: copy a sample run", fresh,
           lambda root: copy_sample_run("harrow_tine_study", root / "t")),
    Action("page: replace the log", read,
           lambda root: replace_log(root / "s", LOG.replace("S", "K").encode()), again=False),
    Action("page: a row of the log", fresh, lambda root: append_reading(
        root / "s", READING, doubled="refused")),
    Action("page: correct a cell", read, lambda root: correct_reading(
        root / "s", open_source(root / "s").log.rows[-1].line, "note", "seen", was="")),
    Action("page: fill a row", fresh, lambda root: fill_row(
        root / "s", 2, {"edge_width_um": 2.5}, of={"blade": "K1"})),
    Action("page: undo", read, lambda root: undo_last(root / "s"), again=False),
    Action("page: add a photograph", filled,
           lambda root: add_photo(open_source(root / "s"), "a.png", shot())),
    Action("page: save a photograph", filled,
           lambda root: save_photograph(root / "s", "a.png", shot())),
    Action("page: correct a photograph", photographed, lambda root: correct(
        root / "s", "S1_roll1_000_020.jpg", "um_per_px", 0.5, who="maker", when="2026-11-20"),
        again=False),
    Action("page: copy a protocol", filled,
           lambda root: copy_protocol("sisal_rope", root / "s", "own_rope")),
    Action("page: save a protocol", own_rules, own_saved),
    Action("page: a fact", fresh, lambda root: set_facts(
        root / "s", (), {"maker": None}, {"maker": "A maker"})),
    Action("page: one more blade", fresh, lambda root: add_entry(
        root / "s", ("blades",), {"id": "K3"})),
    Action("page: take a blade out", fresh, lambda root: take_entry(
        root / "s", ("blades",), 1), again=False),
    Action("page: undo a fact", facts, lambda root: undo_facts(root / "s", last_facts(root / "s"))
           if last_facts(root / "s") else None, again=False),
    Action("page: wishes for the document", filled, lambda root: put_document_wishes(
        root / "s", {"maker": ""}, {"maker": "A maker"})),
    Action("page: a scale", filled, scaled),
    Action("page: names sealed", not_begun, sealed, again=False),
    Action("page: names unsealed", sealed_before,
           lambda root: unseal_names(root / "s", WORD), again=False),
    Action("page: make the study of a draft", draft, lambda root: [
        make_study(f) for f in drafts(root)]),
    Action("page: a test for a steel", steel, lambda root: begin_test(
        root / "s", "sisal_rope", blades=[{"id": "T1"}])),
    Action("page: what is typed", fresh, lambda root: keep_typed(
        root / "s", "w1", "facts", "maker", "", "A maker")),
    Action("page: typed and saved", typed, lambda root: settle_typed(
        root / "s", "w1", "facts", {"maker": "A maker"}, None)),
    Action("page: typed and dropped", typed, lambda root: drop_typed(root / "s", "w1", "facts")),
    Action("page: begin a draft", fresh, lambda root: begin_draft(root, "edge"), again=False),
    Action("page: change a draft", draft, lambda root: change_draft(
        drafts(root)[0], title="Other")),
    Action("page: drop a draft", draft, lambda root: [drop_draft(f) for f in drafts(root)]),
    Action("page: steel, one more piece", steel, lambda root: add_row(
        root / "s", "pieces", {"id": "Z", "origin": "leaf spring"}), again=False),
)  # fmt: skip

BENCH = (
    Action("bench: a reading", at_bench, recorded, again=False),
    Action("bench: a remark", at_bench, lambda root: remark(
        root / "s", due(root)[1], note="warm"), again=False),
    Action("bench: a photograph", at_lens, station, again=False),
    Action("bench: a photograph, measured", at_lens, measured_station, again=False),
    Action("bench: correct", tapped, corrected, again=False),
    Action("bench: leave out", tapped, left_out, again=False),
    Action("bench: take back", tapped, taken_back, again=False),
    Action("bench: a tap", tapped, lambda root: count_taps(
        root / "s", RUN, [("b", 1)], stage=10), again=False),
    Action("bench: take a tap back", tapped, lambda root: undo_tap(
        root / "s", RUN, shown=read_session(root / "s").last_tap(RUN)), again=False),
    Action("bench: end a run", tapped, lambda root: end_run(root / "s", RUN), again=False),
    Action("bench: let a stage go", tapped, lambda root: leave_out(
        root / "s", RUN, 10), again=False),
    Action("bench: a fact", tapped, lambda root: note_fact(
        root / "s", RUN, "operator", "A"), again=False),
    Action("tray: take in", at_lens, lambda root: take_in(
        open_source(root / "s"), [("a.png", shot()), ("b.png", shot(2))]), again=False),
    Action("tray: put into the log", in_tray, back_from_log, again=False),
)  # fmt: skip

ACTIONS = (*COMMANDS, *PAGES, *BENCH)
