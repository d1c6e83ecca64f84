"""Files that a command hands over, of a study whose texts would be more than text somewhere.

What is looked for: formulas (OWASP, "CSV Injection"), script and event handlers, references that
lead to another machine (WHATWG HTML; SVG 2, chapter on linking), mathematics in figures.
"""

import csv
import re
import zipfile
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from edgetest.store.workspace import new_study

TITLE = r"""=HYPERLINK("http://evil.test/a";"x") <script>alert(1)</script> $\frac{$ &amp; ]]> '"""
HEAT = "@SUM(1) <img src=http://evil.test/b.png onerror=alert(1)> $x$ #set page(width: 1pt)"
BLADES = ("=1+1", "-2+3", "<b>K1</b>", "$y$")
EDGE = (5.0, 6.1, 7.4, 8.8)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Four blades in two heat treatments, their widths typed in; invented."""
    path = tmp_path_factory.mktemp("theirs") / "a[b] & $c"
    new_study(
        path, "sisal_rope", TITLE,
        blades=[{"id": blade, "title": TITLE, "heat_treatment": f"h{i % 2}"}
                for i, blade in enumerate(BLADES)],
        heat_treatments=[{"id": f"h{i}", "title": f"{HEAT} {i}"} for i in range(2)],
    )  # fmt: skip
    rows = [["blade", "cuts", "edge_width_um", "note"]]
    rows += [[blade, str(cuts), f"{width * (1 + 0.3 * (i % 2)):.2f}", HEAT]
             for i, blade in enumerate(BLADES)
             for cuts, width in zip((0, 20, 40, 80), EDGE, strict=True)]  # fmt: skip
    with (path / "log.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    text = (path / "study.toml").read_text("utf-8")
    (path / "study.toml").write_text(f"notes = '''{TITLE} '''\nlimit = 8\n"
                                     f'edge_width_from = "log"\n{text}', "utf-8")  # fmt: skip
    return path


class Seen(HTMLParser):
    """What an HTML page would run, and what it would fetch."""

    def __init__(self):
        super().__init__()
        self.found, self.words = [], []

    def handle_starttag(self, tag, attrs):
        if tag in ("script", "iframe", "object", "embed", "base"):
            self.found.append(tag)
        for name, value in attrs:
            away = re.match(r"\s*(https?:|//|javascript:)", value or "", re.IGNORECASE)
            if name.startswith("on") or (away and name in ("src", "href", "action", "srcset")):
                self.found.append(f"{tag} {name}={value}")

    def handle_data(self, data):
        self.words.append(data)


def svg_faults(path):
    """What of an SVG would run or fetch."""
    for node in ElementTree.parse(path).iter():
        if node.tag.endswith(("}script", "}foreignObject", "}a")):
            yield node.tag
        for name, value in node.attrib.items():
            away = name.endswith("href") and not value.startswith(("#", "data:image/"))
            if away or name.rpartition("}")[2].startswith("on"):
                yield f"{name}={value}"


def test_tables_and_figures_that_are_taken_away(folder, tmp_path, run):
    code, _, told = run("export", folder, "--to", tmp_path)
    assert code == 0, told
    files = sorted(tmp_path.iterdir())
    assert {file.suffix for file in files} == {".csv", ".xlsx", ".svg", ".png"}
    for path in files:
        if path.suffix == ".csv":
            cells = [
                cell for row in csv.reader(path.read_text("utf-8").splitlines()) for cell in row
            ]
            live = [c for c in cells if c[:1] in "=+-@" and not re.fullmatch(r"-?[\d.e-]*", c)]
            assert live == []
            assert any("=1+1" in cell for cell in cells)
        elif path.suffix == ".xlsx":
            with zipfile.ZipFile(path) as book:
                sheets = [book.read(name).decode() for name in book.namelist() if "sheet" in name]
            assert not [sheet for sheet in sheets if "<f>" in sheet or "hyperlink" in sheet]
        elif path.suffix == ".svg":
            assert list(svg_faults(path)) == []


def test_the_document_says_it_and_does_nothing(folder, tmp_path, run):
    code, _, told = run("report", folder, "--to", tmp_path)
    assert code == 0, told
    [page] = tmp_path.glob("*.html")
    seen = Seen()
    seen.feed(page.read_text("utf-8"))
    assert seen.found == []
    words = " ".join("".join(seen.words).split())
    assert "<script>alert(1)</script> $\\frac{$ &amp; ]]>" in words
    [paper] = tmp_path.glob("*.pdf")
    data = paper.read_bytes()
    assert not re.search(rb"/(JavaScript|JS|Launch|URI|SubmitForm|GoToR)\b", data)
