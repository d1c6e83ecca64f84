"""Which jobs a study holds and which comes first, from what was written into it."""

from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.answers import job_asked, jobs_of

WAITS = SimpleNamespace(waiting=True, photo="")
READ = SimpleNamespace(waiting=False, photo="")
SHOWN = SimpleNamespace(waiting=True, photo="a.png")


def log(*rows, faults=()):
    return SimpleNamespace(rows=rows, faults=faults)


def source(rows=(), chops=None, *, steel=False, by="log", handling=None, outline=None, study=True,
           faults=()):  # fmt: skip
    of = SimpleNamespace(of_steel=steel, handling=handling, outline=outline) if study else None
    held = None if chops is None else log(*chops)
    return SimpleNamespace(study=of, log=log(*rows, faults=faults), chops=held, path="here",
                           chop_test=held is not None and not rows,
                           protocol=SimpleNamespace(log=by))  # fmt: skip


@pytest.mark.parametrize(
    ("of", "jobs"),
    [
        (source(), ("comparison",)),
        (source([WAITS]), ("comparison",)),
        (source(by="chops"), ("chopper",)),
        (source(steel=True), ("steel",)),
        (source(steel=True, by="chops"), ("steel",)),
        (source([READ]), ("comparison",)),
        (source([SHOWN], [READ]), ("comparison", "chopper")),
        (source([READ], [READ], by="chops"), ("chopper", "comparison")),
        (source([READ], [READ], by="chops", steel=True), ("steel", "comparison", "chopper")),
        (source([], [READ], steel=True), ("steel", "chopper")),
        (source(handling={"A": 1}), ("chopper",)),
        (source([READ], outline={"A": 1}), ("comparison", "chopper")),
        (source(faults=["x"]), ("comparison",)),
        (source([], [READ], study=False), ("chopper",)),
        (source([READ], study=False), ("comparison",)),
    ],
)
def test_jobs_come_in_the_order_of_what_a_study_is_for(of, jobs):
    assert jobs_of(of) == jobs


def test_a_job_that_a_study_holds_nothing_for_is_refused_with_what_it_holds():
    both = source([READ], [READ])
    assert job_asked(both) == "comparison"
    assert job_asked(both, "chopper") == "chopper"
    with pytest.raises(UnusableInput, match='"x" is no job'):
        job_asked(both, "x")
    with pytest.raises(UnusableInput, match="no evidence of a steel") as met:
        job_asked(both, "steel")
    assert met.value.mend.endswith("or ask about comparison or chopper")
    with pytest.raises(UnusableInput, match="no reading of a cut blade"):
        job_asked(source([], [READ]), "comparison")
    with pytest.raises(UnusableInput, match="no chopped piece"):
        job_asked(source([READ]), "chopper")
