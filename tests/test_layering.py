"""A room imports only from rooms below it, and nothing imports the package root."""

import ast
from pathlib import Path

import pytest

from tests.read_code import tree_of

PACKAGE = Path(__file__).parent.parent / "edgetest"

# Lowest first. The four numerical rooms stand apart and do not import each other.
LAYERS = [
    {"errors", "estimate", "no_numbers", "units", "doubts"},
    {"stats"},
    {"photo", "wear", "chop", "steel"},
    {"store"},
    {"study"},
    {"report"},
    {"cli", "app", "verbs"},
]
APART = {"photo", "wear", "chop", "steel"}
NUMERICAL = APART | {"stats"}
RIM_WORDS = {"open", "print", "input"}


def level_of(room):
    for level, rooms in enumerate(LAYERS):
        if room in rooms:
            return level
    raise AssertionError(
        f"{room} has no place in the layers; give it one here and in DEVELOPERS.md"
    )


def modules():
    return sorted(
        path
        for path in PACKAGE.rglob("*.py")
        if path.relative_to(PACKAGE).as_posix() not in ("__init__.py", "__main__.py")
    )


def room_of(path):
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imported(path):
    """Every module of the package that a file imports, as dotted names."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write imports from the package's name"
            names = [node.module or ""]
            if node.module == "edgetest":
                names = [f"edgetest.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        yield from (name for name in names if name.split(".")[0] == "edgetest")


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_only_from_rooms_below(path):
    here = room_of(path)
    for name in imported(path):
        assert name != "edgetest", f"{path.name} imports the package root"
        there = name.split(".")[1]
        if there == here:
            continue
        assert level_of(there) <= level_of(here), f"{here} reaches up to {there}"
        assert not (here in APART and there in APART), f"{here} and {there} stand apart"


@pytest.mark.parametrize(
    "path",
    [p for p in modules() if room_of(p) in NUMERICAL],
    ids=lambda p: str(p.relative_to(PACKAGE)),
)
def test_numerical_rooms_touch_no_file_and_print_nothing(path):
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in RIM_WORDS, f"{path.name}, line {node.lineno}: {node.func.id}"
        if isinstance(node, ast.ImportFrom | ast.Import):
            names = (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [a.name for a in node.names]
            )
            heads = {name.split(".")[0] for name in names}
            assert not heads & {"matplotlib", "streamlit", "pathlib", "os", "shutil"}, (
                f"{path.name}: {heads}"
            )


def test_the_lowest_level_and_statistics_know_no_record_and_no_wear():
    """`stats` stands on errors, estimates, units and doubts; these stand on each other alone."""
    floor = LAYERS[0]
    for path in modules():
        if room_of(path) in floor | {"stats"}:
            beneath = floor | ({"stats"} & {room_of(path)})
            reached = {name.split(".")[1] for name in imported(path)}
            assert reached <= beneath, f"{path.name} reaches up to {reached - beneath}"


def test_no_module_uses_pyplot():
    users = [p.name for p in modules() if "matplotlib.pyplot" in p.read_text(encoding="utf-8")]
    assert users == []
