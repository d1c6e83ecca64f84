"""The document for the customer, as a PDF/A and as one self-contained HTML page.

An occasion is a module that turns a result into `Contents` (see `blocks.py`); the
typesetter knows none of them.
"""

from edgetest.errors import UnusableInput
from edgetest.report.documents.comparison_document import comparison_contents
from edgetest.report.documents.frame import settings_for, write_occasion
from edgetest.report.documents.typeset import KINDS
from edgetest.store.logs import LIFE

NAME = "comparison"  # of the study's own reading; of another its name stands behind


def build_document(result, folder, *, kinds=KINDS, paper=None, units=None, photographs=None,
                   timestamp=None, progress=None):  # fmt: skip
    """Write the document of a study's comparison.

    Parameters
    ----------
    result : StudyResult
    folder : path-like
        Where the files go; made if it is not there.
    kinds : sequence of {"pdf", "html"}
    paper : {"a4", "us-letter"}, optional
        The study's own wish if not given, else A4.
    units : {"metric", "inch", "both"}, optional
        Of lengths, temperatures and masses; edge widths stay in µm. The study's own wish
        if not given, else metric.
    photographs : {"aside", "inside"}, optional
        Where the rows of all photographs go: into a CSV file beside the document, which names it
        with its checksum, or into the document. The study's own wish if not given, else aside.
    timestamp : datetime, optional
        When the document was made; now if not given. Two documents of one result differ
        in this alone.
    progress : callable, optional
        As in `edgetest.report.documents.typeset.write_document`.

    Returns
    -------
    list of Path
        `comparison.pdf`, `comparison.html`, in the order of `kinds`; the photographs' file last.
        Of another reading than the study's own `comparison_grade.pdf`, say: both stay.

    Raises
    ------
    UnusableInput
        For a kind or paper that is not known, a fault in the study's `[document]`, or a
        result that comes from a log alone: a document needs a study's facts.
    """
    if result.study is None:
        raise UnusableInput(
            "a log alone does not say what was tested",
            where=result.title,
            mend="make a study of it with `edgetest new`",
        )
    settings = settings_for(
        result.study, kinds=kinds, paper=paper, units=units, photograph_table=photographs
    )
    return write_occasion(
        lambda day: comparison_contents(result, settings, day=day),
        folder, _name_of(result), settings, kinds=kinds, timestamp=timestamp,
        progress=progress,
    )  # fmt: skip


def _name_of(result):
    """Name of the files: a document of another reading does not replace the study's own."""
    own = LIFE if LIFE in result.log.reading_names else result.study.reading_name
    return NAME if result.reading == own else f"{NAME}_{result.reading}"
