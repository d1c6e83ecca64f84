"""What do text, JSON, page and document say of one study's comparison?"""

import json
import re

import pytest
from click.testing import CliRunner
from streamlit.testing.v1 import AppTest

from edgetest.app.verbatim import APART
from edgetest.cli.root import edgetest
from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.report.documents.frame import INVENTED
from edgetest.store.document_wishes import settings_of
from edgetest.study.sources import open_source
from edgetest.study.wear import wear_answer
from edgetest.study.wear.wear_answer import comparison_of
from tests.study.blank_figures import leave_blank


def plain_words(text):
    return " ".join(str(text).replace("\u00a0", " ").replace("\u2060", "").split())


def as_read(markdown):
    """A page's words as a reader sees them, without the marks that keep them as typed."""
    return re.sub(r"\\(\W)", r"\1", markdown.replace(APART, ""))


def strings_in(part):
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        for one in part.values():
            yield from strings_in(one)
    elif isinstance(part, list | tuple):
        for one in part:
            yield from strings_in(one)


def worked_out_once(patch):
    """What the surfaces tell is worked out for the first of them, from the same rows and wishes."""
    made = {}

    def once(work):
        def found(rows, *asked, **more):
            key = repr((work.__name__, rows, asked, more.get("compare", True)))
            if key not in made:
                made[key] = work(rows, *asked, **more)
            return made[key]

        return found

    for work in (wear_answer.analyse, wear_answer.analyse_lives):
        patch.setattr(wear_answer, work.__name__, once(work))


def surfaces(folder, workspace, patch, *options):
    """What the four surfaces say of a study's comparison, by their names."""
    with pytest.MonkeyPatch.context() as once:
        worked_out_once(once)
        return _surfaces(folder, workspace, patch, *options)


def _surfaces(folder, workspace, patch, *options):
    leave_blank(patch)
    run = CliRunner().invoke(edgetest, ["compare", str(folder), *options])
    assert run.exception is None, run.exception
    document = CliRunner().invoke(edgetest, ["compare", str(folder), *options, "--json"])
    result = comparison_of(open_source(folder))
    contents = comparison_contents(result, settings_of(result.study), day="2026-05-14")
    patch.setenv("EDGETEST_WORKSPACE", str(workspace))
    (workspace / ".tour_closed").touch()
    script = "from edgetest.app.answers import comparison_page\ncomparison_page.show()\n"
    at = AppTest.from_string(script, default_timeout=60).run()
    assert not at.exception
    page = [element.value for part in (at.markdown, at.info, at.warning) for element in part]
    return {
        "text": plain_words(run.stdout),
        "json": json.loads(document.stdout),
        "page": plain_words(as_read(" ".join(page))),
        "document": plain_words(" ".join(strings_in(contents.sections))) + INVENTED,
        "result": result,
    }
