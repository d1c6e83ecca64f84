"""Does the reader of documents know a bound of a life from a life, by studies worked by hand?"""

from math import inf
from types import SimpleNamespace

import pytest

from tests.benchmarks.read_documents.made_studies import MadeBlade, MadeStudy, made
from tests.benchmarks.read_documents.own_arithmetic import Bearings
from tests.benchmarks.read_documents.page_text import without_foot
from tests.benchmarks.read_documents.rules_of_limits import hardly_past, stopped


def bearings(limit=12.0, **widths):
    """A study of sisal rope whose blades read so at 0, 50, 100 and 200 cuts; B1 on are soft."""
    study = MadeStudy(0, "sisal_rope", "latin", limit=limit)
    study.treatments = {"hard": (None, []), "soft": (None, [])}
    for name, read in widths.items():
        study.blades.append(MadeBlade(name, "hard" if name.startswith("A") else "soft"))
        study.rows += [
            {"blade": name, "cuts": str(cuts), "edge_width_um": str(width)}
            for cuts, width in zip((0, 50, 100, 200), read, strict=False)
        ]
    return Bearings(study)


@pytest.mark.parametrize(
    ("read", "cuts", "wrong"),
    [
        ((1, 5, 7, 8), 200, None),
        ((1, 5, 7, 8), 100, "read 8 at its last stage"),  # surely short: it lasted all of it
        ((1, 5, 7, 11), 150, None),  # near the limit at the end: a part of its stages is sure
        ((1, 5, 7, 11), 220, "the last stage of A1 was 200"),
        ((1, 5, 13, 11), 150, "had passed the limit before"),
    ],
)
def test_over_so_many_cuts_is_the_last_stage_or_what_is_sure(read, cuts, wrong):
    told = bearings(A1=read).over_untrue("A1", cuts)
    assert (told is None) if wrong is None else (wrong in told)


def test_a_blade_stopped_early_lasted_its_stages_at_the_least():
    two = bearings(B1=(1, 5, 7, 13), B2=(1, 4))
    assert two.life("soft") == inf
    assert two.least_life("soft") == pytest.approx((100 + 100 * 5 / 6 + 50) / 2)


def test_past_and_short_of_the_limit_are_told_apart():
    bear = bearings(A1=(1, 5, 9, 14), A2=(1, 5, 7, 9))
    case = SimpleNamespace(bear=bear, study=bear.study)
    assert hardly_past(["", "A1"], case) is None
    assert "A2" in hardly_past(["", "A1, A2"], case)
    assert stopped(["", "A2"], case) is None
    assert stopped(["", "A1 and A2"], case) == "['A1'] passed the limit"


def test_no_log_holds_a_column_that_its_protocol_does_not_know():
    assert made(132).protocol == "thread_severing"
    assert "grade" not in made(132).columns


def test_a_paragraph_that_runs_over_a_page_is_read_as_one():
    assert without_foot("NotethebatchofHooks·20261of2eachblade.Hooks·20262of2", "Hooks·2026") == (
        "Notethebatchofeachblade.Hooks·2026"
    )
    assert without_foot("ofeach", "") == "ofeach"
