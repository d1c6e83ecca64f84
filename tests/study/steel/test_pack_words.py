"""A pack belongs to its piece: told with it alone, with its coupon, in text and document."""

import re

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.report.documents.steel_sheet import build_steel_document
from edgetest.steel.steel_cautions import CAUTIONS
from edgetest.study.steel.case_plan import cases_of_study
from edgetest.study.steel.judge_steel import judge_steel
from edgetest.study.steel.pack_words import pack_in_words, pack_lines, pack_of
from tests.study.steel.found_steel import PACK, PIECE, make_study

pytestmark = pytest.mark.usefixtures("blank_figures", "few_samples")  # words are read

OTHER = PIECE.replace('"leaf"', '"bar"').replace("leaf spring", "structural")
COUPON = "coupon = { thickness_mm = 5, depth_mm = 0.6, depth_u_mm = 0.1 }\n"
PACKED = '[[evidence.heats]]\npiece = "bar"\ncoupon = "P"\nmedium = "oil"\ncarburised = true\n'
CORE = "core_pct = 0.2\n"
FUMES = CAUTIONS["carburise"][0]


def judged(folder, evidence, piece):
    made = make_study(folder, evidence=evidence)
    return judge_steel(made, piece=piece, try_numbers=False)


def document(result, folder):
    (html,) = build_steel_document(result, folder, kinds=("html",))
    return " ".join(re.sub("<[^>]+>", "", html.read_text(encoding="utf-8")).split())


@pytest.mark.parametrize("evidence", [
    PIECE + OTHER + PACK + CORE + 'piece = "bar"\n',
    PIECE + OTHER + PACKED + PACK + CORE,
])  # fmt: skip
def test_the_pack_of_one_piece_is_told_with_it_alone(tmp_path, evidence):
    own, other = (judged(tmp_path / name, evidence, name) for name in ("bar", "leaf"))
    assert pack_lines(own)[0].startswith("Pack of bar, edge: A 1 mm section")
    assert "- Pack of bar, edge: A 1 mm section" in own.words()
    assert FUMES in own.cautions()
    assert "core_as_stated" in codes(own.doubts)
    assert (other.cases, other.hours, pack_lines(other)) == ((), None, [])
    assert FUMES not in other.cautions()
    assert "1 mm section" not in other.words()
    assert not {"core_as_stated", "pack_of_whom"}.intersection(codes(other.doubts))
    assert other.core.carbon_pct is None
    assert "Pack of bar. Carbon across the section" in document(own, tmp_path / "own")
    told = document(other, tmp_path / "other")
    assert "Carbon across the section" not in told
    assert "of bar; 4 h at 900 °C" in told


def test_a_pack_of_nobody_knows_which_of_several_is_doubted(tmp_path):
    result = judged(tmp_path / "s", PIECE + OTHER + PACK + CORE, "leaf")
    (told,) = [one for one in result.doubts if one.code == "pack_of_whom"]
    assert "which of leaf and bar was packed" in told.text
    assert pack_of(result.rows.pack, result.seen) == ""
    assert result.words().count("\n- edge: A 1 mm section") == 1


def test_a_pack_of_the_only_piece_needs_no_name(tmp_path):
    result = judged(tmp_path / "s", PIECE + PACK + CORE, "leaf")
    assert "pack_of_whom" not in codes(result.doubts)
    assert pack_lines(result)[0].startswith("edge: A 1 mm section")
    assert pack_in_words(result.rows.pack, result.seen) == "4 h at 900 °C"


def test_a_pack_of_an_unknown_piece_is_refused(tmp_path):
    evidence = PIECE + OTHER + PACK + CORE + 'piece = "disc"\n'
    with pytest.raises(UnusableInput, match='the pack is of "disc", which is not a piece; known'):
        judged(tmp_path / "s", evidence, "leaf")


def test_the_coupon_of_the_pack_is_told_in_case_verdict_and_document(tmp_path):
    evidence = PIECE + PACK.replace("4.0", "8.0") + CORE + COUPON
    result = judged(tmp_path / "s", evidence, "leaf")
    said = "The pack's own coupon counts: its case of 0.6 ± 0.1 mm, to 0.40 % carbon, asks "
    (case,) = cases_of_study(tmp_path / "s")
    assert said in case.words()
    assert pack_lines(result)[-1].startswith(said)
    told = document(result, tmp_path / "own")
    assert said in told.replace("\u00a0", " ")
    row = "8 h at 900 °C; a coupon of 5 mm, its case 0.6 mm deep (± 0.1 mm) to 0.40 % carbon"
    assert row in told.replace("\u00a0", " ")
