"""Does everything that the program writes go through the one writer, whole or not at all?"""

import ast
import re
from pathlib import Path

import pytest

import edgetest
from edgetest.store.files import whole_file, write_atomic
from tests.read_code import nodes_of, tree_of

ROOT = Path(edgetest.__file__).parent
WRITES = (
    "write_text", "write_bytes", "imwrite", "savefig", "to_csv", "to_excel", "to_json", "tofile",
    "copyfile", "copy", "copy2", "copytree", "move", "rename", "mkstemp", "NamedTemporaryFile",
    "ZipFile", "fdopen", "save",
)  # fmt: skip
MAY_WRITE = re.compile(rf"\b(?:open|{'|'.join(WRITES)})\b")
MODULES_OF = ("shutil", "os", "tempfile", "zipfile", "cv2", "np")
# What writes elsewhere, and why it may.
ALLOWED = {
    ("store/files.py", "tempfile.mkstemp"): "the one writer itself",
    ("store/files.py", "os.fdopen"): "the one writer itself",
    ("store/files.py", "open(path, 'a+b')"): "lines that are added, and the lock",
    ("store/files.py", "os.rename"): "the one writer of whole folders",
    ("store/export.py", "zipfile.ZipFile"): "into `whole_file`",
    ("store/export.py", "archive.open(entry, 'w')"): "into `whole_file`",
    ("store/export.py", "book.save"): "into memory",
    ("store/study_zip.py", "target.open('wb')"): "into a hidden folder, renamed at the end",
    ("store/study_zip.py", "zipfile.ZipFile"): "read",
    ("store/workbook.py", "zipfile.ZipFile"): "read",
    ("store/workspace.py", "shutil.copyfile"): "into a hidden folder, renamed at the end",
    ("store/sample_photographs.py", "write_bytes"): "into a hidden folder, renamed at the end",
    ("report/documents/typeset.py", "write_bytes"): "into a folder of its own that is removed",
    ("report/documents/typeset.py", "write_text"): "into a folder of its own that is removed",
    ("report/documents/typeset.py", "shutil.copyfile"): "into a folder of its own that is removed",
    ("report/figures/plot_style.py", "figure.savefig"): "into memory",
    ("app/photos/pictures_found.py", "write_bytes"): "into a folder of its own that is removed",
}


def writers():
    """Every call that may write a file, as (file, what it says)."""
    for path in sorted(ROOT.rglob("*.py")):
        file = path.relative_to(ROOT).as_posix()
        if not MAY_WRITE.search(path.read_text(encoding="utf-8")):
            continue
        for call in nodes_of(tree_of(path)):
            if isinstance(call, ast.Call) and (told := _writes(call)):
                yield file, told


def _writes(call):
    """What a call writes with; "" where it writes nothing."""
    name = getattr(call.func, "attr", getattr(call.func, "id", ""))
    if name == "open":
        modes = [each for each in (*call.args, *(word.value for word in call.keywords))
                 if isinstance(each, ast.Constant) and isinstance(each.value, str)]  # fmt: skip
        wrote = any(set(mode.value) & set("wax+") and len(mode.value) < 4 for mode in modes)
        return ast.unparse(call) if wrote else ""
    if name not in WRITES or not isinstance(call.func, ast.Attribute):
        return ""
    said, of = ast.unparse(call.func), ast.unparse(call.func.value)
    if name == "save" and of != "book" and not of.endswith(("image", "picture")):
        return ""  # a form's
    if name in ("copy", "rename", "move") and of not in MODULES_OF:
        return ""  # of a table or an array
    if name in ("to_csv", "to_json") and not call.args:
        return ""  # a text
    return said if said.count(".") == 1 and of in (*MODULES_OF, "book", "figure") else name


def test_every_file_is_written_whole_or_not_at_all():
    met = set(writers())
    assert {place for place in met if place not in ALLOWED} == set()
    assert {place for place in ALLOWED if place not in met} == set()  # strike off what is gone


def _half(path):
    with whole_file(path) as file:
        file.write(b"half")
        raise RuntimeError


@pytest.mark.parametrize("old", [b"old", None])
def test_what_is_raised_meanwhile_leaves_what_was_there(tmp_path, old):
    path = tmp_path / "figure.png"
    if old is not None:
        write_atomic(path, old)
    with pytest.raises(RuntimeError):
        _half(path)
    assert (path.read_bytes() if path.exists() else None) == old
    assert [each.name for each in tmp_path.iterdir()] == (["figure.png"] if old else [])
