"""A sentence of a kind that was never met is told, one that was met is not."""

from tests.benchmarks.sheet_claims.known_sentences import unknown_sentences

PAGE = """<html><body><h2>To bear in mind</h2>
<p>About 12 strokes sever a piece of white ash, 60 × 60 mm. It cuts like a dream.</p>
<ul><li>Not to scale: a plain bar stands for the tool. One tool was tested, not its kind.</li></ul>
<table><tr><th>Row</th></tr><tr><td>It sings.</td></tr></table></body></html>"""


def test_only_the_strange_sentence_is_told(tmp_path):
    (tmp_path / "T1.html").write_text(PAGE, encoding="utf-8")
    assert unknown_sentences(tmp_path) == ["It cuts like a dream."]
