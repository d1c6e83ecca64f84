"""An installed copy without the repository runs the demo in an empty folder."""

import json
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(ROOT)]
    subprocess.run(build, check=True)
    return next(folder.glob("edgetest-*.whl"))


def test_protocols_sample_runs_and_guide_travel(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    for wanted in (
        "edgetest/protocols/sisal_rope.toml",
        "edgetest/sample_runs/billhook_temper_study/study.toml",
        "edgetest/sample_runs/billhook_temper_study/truth.json",
        "edgetest/sample_runs/camp_hatchet_study/photos/H1_after_heel.jpg",
        "edgetest/guide/how_to/photograph_the_edge.md",
        "edgetest/report/templates/document.typ",
        "edgetest/doubts.toml",
        "edgetest/schemas/compare.json",
        "edgetest/app/bench/live_camera.html",
        "edgetest/app/bench/live_camera.css",
        "edgetest/app/bench/live_camera.js",
        "edgetest/py.typed",
    ):
        assert wanted in names
    assert not [name for name in names if name.startswith(("tests/", "protocols/"))]


def test_the_wheel_is_small(wheel):
    assert wheel.stat().st_size < 4e6


@pytest.mark.slow
def test_demo_runs_from_the_wheel_in_an_empty_folder(wheel, tmp_path):
    # Only the package itself is installed; what it depends on is lent by this environment.
    home = tmp_path / "venv"
    venv.create(home, with_pip=False, symlinks=True)
    site = next(home.glob("lib/python*/site-packages"))
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    lent = next(path for path in sys.path if path.endswith("site-packages"))
    bare = tmp_path / "lent"
    bare.mkdir()
    for entry in Path(lent).iterdir():
        if "edgetest" not in entry.name:
            (bare / entry.name).symlink_to(entry)
    (site / "lent.pth").write_text(str(bare))
    empty = tmp_path / "empty"
    empty.mkdir()
    command = [str(home / "bin" / "python"), "-m", "edgetest", "demo", "--json"]
    done = subprocess.run(command, cwd=empty, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["comparison"]["ratio"]["low"] > 1
    made = empty / "edgetest_demo" / "billhook_temper_study" / "photos"
    kept = ROOT / "sample_runs" / "billhook_temper_study" / "photos"
    assert {path.name for path in made.iterdir()} == {path.name for path in kept.iterdir()}
    assert not list(site.rglob("billhook_temper_study/photos"))
    for file in answer["files"]:
        assert (empty / file).is_file()
    assert str(ROOT) not in done.stdout
