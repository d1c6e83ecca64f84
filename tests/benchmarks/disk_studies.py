"""What stands on the disk before an action, and the calls that take more than a line."""

import io
import os
import shutil
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from edgetest.cli import demo
from edgetest.cli import main as command
from edgetest.errors import UnusableInput
from edgetest.photo.render.ruling_scene import render_ruling
from edgetest.store.export import export_study
from edgetest.store.journal import append_reading
from edgetest.store.places import shipped
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.typed_drafts import keep_typed
from edgetest.store.workspace import copy_protocol, new_study, save_protocol
from edgetest.study.bench.bench_entry import (
    correct_entry,
    entries,
    leave_entry_out,
    measure_one,
    record,
    save_station_photo,
)
from edgetest.study.bench.bench_order import draw_order
from edgetest.study.bench.bench_undo import last_done, take_back
from edgetest.study.bench.chop_actions import next_chop
from edgetest.study.bench.chop_entries import add_piece, write_cell
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.session_file import (
    count_taps,
)
from edgetest.study.facts.set_facts import set_facts
from edgetest.study.facts.study_drafts import (
    begin_draft,
    change_card,
    change_draft,
)
from edgetest.study.photos.sort_tray import note_put, read_tray, take_in
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import put_row, put_wishes
from edgetest.study.study_edit import put_scale
from edgetest.study.wear.analysis import analyse
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


def small_demo(root):
    """The demo, of a study with two photographs in the place of the sample run's 160."""

    def copied(_, folder, **how):
        shutil.copytree(_photographed_and_typed(), folder)
        return folder

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(demo, "copy_sample_run", copied)
        patch.setattr(demo, "analyse", lambda source, **_: _analysed(source.path))
        demo.run_demo(root / "d", workers=1)


@cache
def _analysed(folder):
    """What is found in the demo's study; it writes nothing, so once for each place is enough."""
    return analyse(open_source(folder), workers=1)


@cache
def _photographed_and_typed():
    root = Path(tempfile.mkdtemp())
    photographed(root)
    rows = (root / "s" / "log.csv").read_text().splitlines()[1:]
    head = "blade,cuts,station_mm,photo,edge_width_um"
    lines = [head, *(f"{row}," for row in rows)]
    for row in LOG.splitlines()[1:]:
        blade, cuts, width = row.split(",")
        lines.append(f"{blade},{cuts},40,,{width}")
    (root / "s" / "log.csv").write_text("\n".join(lines) + "\n")
    said("measure", root / "s", "--workers", 1)
    return root / "s"


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
    data = load_protocol("own_rope.toml", root / "s").to_toml_dict()
    save_protocol(data | {"title": "Mine"}, root / "s")


def greys(root):
    """A ruling, kept as a calibration, and a picture of four grey steps."""
    ruled(root)
    said("scale", root / "ruling.png", "--pitch-um", 10, "--keep-as", "scope",
         "--calibrations-in", root)  # fmt: skip
    steps = np.repeat(np.array([243, 176, 129, 93], np.uint8), 160)
    Image.fromarray(np.tile(steps, (240, 1))).save(root / "wedge.png")


def greys_of_a_study(root):
    """The same picture beside a study that has a scale."""
    greys(root)
    filled(root)


def loose_photographs(root):
    """Two photographs of edges in a folder that is no study."""
    (root / "loose").mkdir()
    for seed in (1, 2):
        (root / "loose" / f"{seed}.png").write_bytes(shot(seed))


def pieces_of(root):
    return load_study(root / "s").evidence["pieces"]


def mended_piece(root):
    shown = pieces_of(root)[0]
    put_row(root / "s", "pieces", shown, shown | {"source": "a neighbour"})


def other_use(root):
    put_wishes(root / "s", load_study(root / "s").verdict or {}, {"use": "knife"})


def chop_noted(root):
    """The first row of a chop test, one cell of it."""
    source = open_source(root / "s")
    write_cell(source, next_chop(source), "note", "bark left on")


def piece_added(root):
    add_piece(open_source(root / "s"), "H1", "billet")
