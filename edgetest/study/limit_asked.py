"""Does a study say at which reading a blade's life ends, before a plan or an answer needs it?"""

from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.store.records import STUDY_FILE
from edgetest.study.sources import Source
from edgetest.study.wear.usual_limits import usual_limit


def asked_of_limit(source: Source) -> Iterator[UnusableInput]:
    """A question where blades are to be cut, and neither study nor protocol names a limit.

    Parameters
    ----------
    source : Source

    Yields
    ------
    UnusableInput
        Told, not raised: readings can be taken and fitted without a limit.
    """
    study = source.study
    if study is None or source.chop_test or len(study.blades) < 2 or study.reading_name == LIFE:
        return
    if study.limit_value is not None or study.rules.reading(study.reading_name).kind != "number":
        return
    title = study.rules.reading(study.reading_name).title
    what = f"no limit says at which {title} a blade's life ends; plan and lives need one"
    yield UnusableInput(what, f"{STUDY_FILE}, limit", usual_limit(study.reading_name))
