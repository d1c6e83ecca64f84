"""While names are sealed they stand in no file and in no answer; the word brings them back."""

import io
import re
import shutil
import zipfile

import pytest
from pypdf import PdfReader

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.store.sealed_file import SEALED_FILE
from edgetest.store.shop_index import found_by_words, index_file
from edgetest.store.study_zip import import_study
from edgetest.store.typed_drafts import keep_typed
from edgetest.store.workspace import new_study
from edgetest.study.bench.bench_entry import record
from edgetest.study.bench.bench_order import draw_order
from edgetest.study.bench.blinding import shown_names
from edgetest.study.bench.next_action import next_action
from edgetest.study.bench.sealing import seal_names
from edgetest.study.bench.session_file import count_taps
from edgetest.study.bench.unsealing import labels_of, unseal_names
from edgetest.study.enter_rows import history_of
from edgetest.study.facts.set_facts import set_facts
from edgetest.study.sources import open_source
from edgetest.study.wear.planning import drawn_order
from tests.quick_words import quick_words
from tests.report.documents.pdf_pages import page_texts
from tests.store.zipped_study import zip_of
from tests.study.wear.surfaces import worked_out_once

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

WORD = "three odd wörds"
NAMES = ("Kestrel", "Merlin", "Heron", "Egret", "Plover", "the long one")
HIDDEN = re.compile("|".join([*NAMES, "mildish", "glassy", "H1b"]))


def begun(folder):
    """A study with everything that may tell one blade from another."""
    blades = [
        {"id": "Kestrel", "heat_treatment": "mildish", "title": "the long one", "batch": "H1b"},
        {"id": "Merlin", "heat_treatment": "mildish"},
        {"id": "Heron", "heat_treatment": "glassy", "hardness_hrc": [61.5]},
        {"id": "Egret", "heat_treatment": "glassy"},
    ]
    treatments = [{"id": "mildish"}, {"id": "glassy"}]
    new_study(folder, "sisal_rope", "Probe", blades=blades, heat_treatments=treatments,
              control="Plover")  # fmt: skip
    path = folder / "study.toml"
    path.write_text(path.read_text().replace('title = "Probe"', 'title = "Probe"  # of Heron'))
    set_facts(folder, (), {"notes": None}, {"notes": "Kestrel was quenched twice"})
    keep_typed(folder, "w1", "blades", "names", "", "Kestrel, Merlin")
    return folder


@pytest.fixture(scope="module", autouse=True)
def quick():
    """These tests are of what stands around the sealed file."""
    with pytest.MonkeyPatch.context() as patch:
        quick_words(patch)
        yield


@pytest.fixture(scope="module")
def sealed(tmp_path_factory):
    folder = begun(tmp_path_factory.mktemp("sealed") / "probe")
    found_by_words(folder.parent, [])
    assert index_file(folder.parent).exists()
    draw_order(open_source(folder), ["roll 1", "roll 2"], seed=1, word=WORD)
    return folder


@pytest.fixture
def copy(sealed, tmp_path):
    return shutil.copytree(sealed, tmp_path / "probe")


def texts_of(folder):
    """Names and contents of every file of a folder, of a PDF what it says of itself and its words.

    Its packed bytes are none: three letters of a name stand in them by chance.
    """
    for path in sorted(folder.rglob("*")):
        yield path.name, path.name
        if path.suffix == ".pdf":
            yield path.name, "".join(page_texts(path))
            yield path.name, str(PdfReader(path).metadata)
        elif path.is_file():
            yield path.name, path.read_bytes().decode(errors="replace")


def test_no_file_of_the_study_and_of_its_zip_tells_a_name(sealed):
    assert not index_file(sealed.parent).exists()
    for name, text in texts_of(sealed):
        assert not HIDDEN.search(text), name
    with zipfile.ZipFile(io.BytesIO(zip_of(sealed))) as archive:
        assert not any(SEALED_FILE in name for name in archive.namelist())
        for name in archive.namelist():
            assert not HIDDEN.search(name + archive.read(name).decode(errors="replace")), name


COMMANDS = [
    ("plan",), ("plan", "--json"), ("check",), ("history", "--json"), ("fit",), ("fit", "--json"),
    ("compare",), ("compare", "--json"), ("undo", "--dry-run"), ("report", "--to", "papers"),
    ("measure",), ("export", "--to", "papers", "--zip", "out.zip"),
]  # fmt: skip


def test_no_command_tells_a_name_and_the_bench_goes_on_by_codes(copy, tmp_path, run, monkeypatch):
    monkeypatch.chdir(tmp_path)
    worked_out_once(monkeypatch)
    codes = {blade.id for blade in load_study(copy).blades}
    for blade in codes:
        for cuts, reading in ((0, 2.0), (100, 6.0), (400, 14.0)):
            block = next(b for b, name in open_source(copy).study.plan["order"] if name == blade)
            cells = (f"blade={blade}", f"block={block}", f"cuts={cuts}", "station_mm=20",
                     f"edge_width_um={reading}")  # fmt: skip
            assert not HIDDEN.search("".join(run("enter", copy, *cells)[1:]))
    for command, *more in COMMANDS:
        _, out, err = run(command, copy, *more)
        assert out or err, command
        assert not HIDDEN.search(out + err), command
    for folder in (copy, tmp_path / "papers"):
        for name, text in texts_of(folder) if folder.exists() else ():
            assert not HIDDEN.search(text), name
    action = next_action(open_source(copy))
    assert action.blade in codes
    assert set(shown_names(open_source(copy)).values()) == codes


def test_the_word_brings_everything_back_and_the_history_says_so(copy):
    first = next_action(open_source(copy))
    record(copy, first, next(due for due in first.due if due.name == "edge_width_um"), "2.5")
    log = (copy / "log.csv").read_bytes()
    codes = unseal_names(copy, f" {WORD} ")
    study = load_study(copy)
    assert {blade.id: blade.heat_treatment for blade in study.blades} == {
        codes["Kestrel"]: "mildish", codes["Merlin"]: "mildish", codes["Heron"]: "glassy",
        codes["Egret"]: "glassy", codes["Plover"]: None,
    }  # fmt: skip
    assert study.blade(codes["Kestrel"]).title == "Kestrel the long one"
    assert study.blade(codes["Heron"]).hardness_hrc == (61.5,)
    assert study.control == codes["Plover"]
    assert study.notes == "Kestrel was quenched twice"
    assert "# of Heron" in (copy / "study.toml").read_text()
    assert (copy / "log.csv").read_bytes() == log
    told = [words for *_, words in history_of(copy)]
    assert "Kestrel was quenched twice" in told[0]
    assert "sealed under codes: 5 blades" in told[1]
    assert "2.5" in told[2]
    assert "unsealed: 5 blades" in told[3]
    with pytest.raises(UnusableInput, match="were unsealed on"):
        unseal_names(copy, WORD)


def test_the_answer_shows_code_and_name_once_they_are_unsealed(copy, run, answer, monkeypatch):
    for blade in load_study(copy).blades:
        block = next(b for b, name in open_source(copy).study.plan["order"] if name == blade.id)
        for cuts, reading in ((0, 2.0), (100, 6.0), (400, 14.0)):
            run("enter", copy, f"blade={blade.id}", f"block={block}", f"cuts={cuts}",
                "station_mm=20", f"edge_width_um={reading}")  # fmt: skip
    codes_alone = answer("compare", copy)
    assert {"names_sealed", "no_comparison"} <= {one["code"] for one in codes_alone["doubts"]}
    assert "times as long" not in str(codes_alone)
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{WORD}\n"))
    codes = answer("unseal", copy)["codes"]
    told = next(d for d in answer("compare", copy)["doubts"] if d["code"] == "names_unsealed")
    for name in ("Kestrel", "Heron"):
        assert f"{codes[name]} is {name}" in told["text"]


def test_wrong_word_lost_file_and_damaged_file_are_told_apart(copy, tmp_path):
    with pytest.raises(UnusableInput, match=r"the word does not open .*; ask the person"):
        unseal_names(copy, "three odd words")
    kept = (copy / SEALED_FILE).read_bytes()
    (copy / SEALED_FILE).write_bytes(kept[:-1] + bytes([kept[-1] ^ 1]))
    with pytest.raises(UnusableInput, match="is damaged, or belongs to another study; take a copy"):
        labels_of(copy, WORD)
    (copy / SEALED_FILE).unlink()
    with pytest.raises(UnusableInput, match="is not here; put it back, or name it with --sealed"):
        unseal_names(copy, WORD)
    elsewhere = tmp_path / "kept.age"
    elsewhere.write_bytes(kept)
    came = import_study(zip_of(copy), tmp_path / "other")
    assert set(labels_of(came, WORD, sealed=elsewhere)) == {*NAMES[:5]}
    assert "the key was read" in history_of(came)[-1][2]


def test_names_are_not_sealed_where_it_would_blind_nobody(tmp_path):
    folder = begun(tmp_path / "probe")
    before = (folder / "study.toml").read_bytes()

    def refused(words, word=WORD):
        source = open_source(folder)
        with pytest.raises(UnusableInput, match=words):
            seal_names(source, drawn_order(source.study), word)
        assert (folder / "study.toml").read_bytes() == before
        assert not (folder / SEALED_FILE).exists()

    refused("fewer than 8 letters", "short")
    (folder / "remarks.txt").write_text("Merlin rings")
    refused("the blade's name Merlin stands here")
    (folder / "remarks.txt").rename(folder / "photos" / "Heron_before.jpg")
    refused("the blade's name Heron stands here")
    (folder / "photos" / "Heron_before.jpg").unlink()
    (folder / "letter.pdf").write_bytes(b"%PDF")
    refused("may show the blades' names")
    (folder / "letter.pdf").unlink()
    count_taps(folder, ("", "Heron"), [("one", 5)], stage=10)
    refused("the test has begun under the blades' names")


def test_a_study_without_seal_asks_for_no_word(run, tmp_path):
    new_study(tmp_path / "s", "sisal_rope", "Two tempers", blades=("A", "B"))
    code, _, err = run("unseal", str(tmp_path / "s"))
    assert code == 2
    assert "no names of it are sealed" in err
    assert "Word that opens" not in err
