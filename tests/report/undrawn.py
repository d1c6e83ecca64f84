"""Documents without what takes longest: figures as empty frames, or nothing typeset at all.

For tests that read what a document says. Its figures are drawn and its pages looked at elsewhere.
"""

import json
from contextlib import contextmanager

import pytest

from edgetest.report import taken_away
from edgetest.report.documents import typeset
from tests.study.blank_figures import blank, leave_blank


@contextmanager
def figures_framed():
    """Each figure of a document or an export takes its place and is not drawn."""
    with pytest.MonkeyPatch.context() as patch:
        leave_blank(patch)
        patch.setattr(taken_away, "png_bytes", blank)
        yield


@contextmanager
def words_alone():
    """Each file of a document holds all its words as JSON; no figure is drawn, nothing typeset."""

    def laid_out(contents, *_, **__):
        words = {key: value for key, value in vars(contents).items() if key not in typeset.FILES}
        return json.dumps(words, ensure_ascii=False).encode()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(typeset, "_lay_out", laid_out)
        patch.setattr(typeset, "_compile", lambda words, *_: words)
        yield


@pytest.fixture(scope="module")
def framed():
    """Asked for by a module none of whose tests looks at a figure of its documents."""
    with figures_framed():
        yield


@pytest.fixture
def framed_here():
    """Asked for by a test that looks at no figure of its document."""
    with figures_framed():
        yield


@pytest.fixture
def untypeset():
    """Asked for by a test to which it is enough which files are written and what they say."""
    with words_alone():
        yield
