"""A study whose reading has no usual limit is asked for one before anything is cut."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.asked_about import asked_about
from edgetest.study.sources import open_source

ASKED = "no limit says at which thread severing force a blade's life ends"


def questions(folder):
    return [str(one) for one in asked_about(open_source(folder)) if "no limit says" in str(one)]


@pytest.fixture
def study(tmp_path):
    """A study of two blades, without a limit of its own."""
    new_study(tmp_path / "study", "sisal_rope", "Thread alone")
    return tmp_path / "study"


def with_lines(folder, lines):
    path = folder / "study.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(lines + text, encoding="utf-8")
    return folder


def test_thread_force_without_a_limit_is_asked_about(study):
    (told,) = questions(with_lines(study, 'reading = "sever_force_gf"\n'))
    assert told.startswith(f"study.toml, limit: {ASKED}")
    assert "take twice what your own fresh edges read" in told


@pytest.mark.parametrize("lines", ["", 'reading = "sever_force_gf"\nlimit = 400\n',
                                   'reading = "grade"\n'])  # fmt: skip
def test_a_limit_of_study_or_protocol_and_a_grade_ask_nothing(study, lines):
    assert questions(with_lines(study, lines)) == []
