"""What stands on the disk before an action, and the calls that take more than a line."""

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
from edgetest.store.journal import append_reading
from edgetest.store.places import shipped
from edgetest.store.protocol import load_protocol
from edgetest.store.records import load_study
from edgetest.store.scale_rules import ScaleRule
from edgetest.store.typed_drafts import keep_typed
from edgetest.store.workspace import copy_protocol, new_study, save_protocol
from edgetest.study.bench.bench_order import draw_order
from edgetest.study.facts.set_facts import set_facts
from edgetest.study.facts.study_drafts import (
    begin_draft,
    change_card,
    change_draft,
)
from edgetest.study.sources import open_source
from edgetest.study.steel.evidence_edit import put_row, put_wishes, take_out
from edgetest.study.study_edit import put_scale
from tests.benchmarks.disk_faults import Action
from tests.browser.studies import photograph

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


@cache
def shot(seed=1):
    return photograph(8.0, seed=seed)


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


def heat_taken_back(root):
    shown = load_study(shipped("sample_runs") / "harrow_tine_study").evidence["heats"][-1]
    take_out(root / "s", "heats", shown)


def other_use(root):
    put_wishes(root / "s", load_study(root / "s").verdict or {}, {"use": "knife"})
