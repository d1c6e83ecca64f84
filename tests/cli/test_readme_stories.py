"""The README's three stories run from an empty folder, command by command, as they are printed.

Between the commands lies the maker's own work: it is taken from the sample runs (invented data).
"""

import re
import shlex
import shutil
from pathlib import Path

import pytest

from edgetest.store.places import shipped

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
STORIES = README[README.index("### 1. Compare") : README.index("## How an edge is measured")]
BLOCKS = re.findall(r"```sh\n(.*?)```", STORIES, re.DOTALL)
STAGES = (0, 100, 300)  # of the sample run's stages: enough for a curve

pytestmark = pytest.mark.usefixtures("framed")


def commands(block):
    """The lines of a block as words, without comments."""
    return [shlex.split(line, comments=True) for line in block.splitlines() if line.strip()]


@pytest.fixture
def follow(run, tmp_path, monkeypatch):
    """Run a story's commands; `work` does what the maker does before the command of that name."""
    monkeypatch.chdir(tmp_path)

    def story(number, work):
        told = {}
        for program, verb, *rest in commands(BLOCKS[number]):
            assert program == "edgetest"
            if verb in work:
                work.pop(verb)(Path(rest[0]))
            code, out, err = run(verb, *rest)
            assert code == 0, f"edgetest {verb} {shlex.join(rest)}: {err}"
            told[verb] = out
        assert not work
        return told

    return story


def cut_and_photographed(folder):
    """Log, photographs and scale of the sample run, a station at four stages."""
    sample = shipped("sample_runs") / "billhook_temper_study"
    heading, *rows = (sample / "log.csv").read_text(encoding="utf-8").splitlines()
    columns = heading.split(",")
    cuts, station = columns.index("cuts"), columns.index("station_mm")
    kept = [row for row in rows if int(row.split(",")[cuts]) in STAGES
            and row.split(",")[station] == "40"]  # fmt: skip
    (folder / "log.csv").write_text("\n".join([heading, *kept]) + "\n", encoding="utf-8")
    for name in set(re.findall(r"[\w.]+\.jpg", "\n".join(kept))) | {"micrometer.jpg"}:
        shutil.copy(sample / "photos" / name, folder / "photos" / name)
    text = (sample / "study.toml").read_text(encoding="utf-8")
    scale = re.search(r"^\[scale\]\n(?:.+\n)+", text, re.MULTILINE)[0]
    with open(folder / "study.toml", "a", encoding="utf-8") as file:
        file.write(f"\n{scale}")


def chopped(folder):
    """The chop log of the sample run, without its photographs."""
    sample = shipped("sample_runs") / "camp_hatchet_study"
    heading, *rows = (sample / "chops.csv").read_text(encoding="utf-8").splitlines()
    columns = heading.split(",")
    photo, kind = columns.index("photo"), columns.index("kind")
    kept = [row for row in rows if not row.split(",")[photo] and row.split(",")[kind] == "billet"]
    (folder / "chops.csv").write_text("\n".join([heading, *kept]) + "\n", encoding="utf-8")


def test_two_heat_treatments_are_compared(follow):
    told = follow(0, {"check": cut_and_photographed})
    assert "roll 1:" in told["plan"]
    assert "lasts" in told["compare"]
    assert Path("temper_test/documents/comparison.pdf").read_bytes().startswith(b"%PDF")


def test_a_chopper_is_documented(follow):
    told = follow(1, {"check": chopped})
    assert "stroke" in told["chop"]
    assert [path.name for path in Path("my_hatchet/documents").glob("*.pdf")] == ["chopper_H1.pdf"]


def test_a_mystery_steel_is_decided(follow):
    told = follow(2, {})
    assert "Write down what you see, in place of the words in capitals: edgetest" in told["verdict"]
    assert "Mind:" in told["case"]
    assert [path.name for path in Path("my_discs/documents").glob("*.pdf")] == ["verdict.pdf"]
