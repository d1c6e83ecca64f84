"""Which document does a study get, and what must be said beside it?"""

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgetest.doubts import Doubt, sentences, told
from edgetest.errors import UnusableInput
from edgetest.report.letters_told import study_letters_doubts
from edgetest.report.units_told import text_in_units
from edgetest.store.document_wishes import settings_of
from edgetest.study.answers import CHOPPER, STEEL, answer_of, job_asked, jobs_of
from edgetest.study.bench.blinding import is_sealed

DOCUMENTS = {
    "comparison": "the comparison of heat treatments",
    "chopper": "the sheet of each chopper",
    "steel": "the verdict on the steel",
}


@dataclass(frozen=True)
class Reported:
    """What was written of a study, and what else could be.

    Attributes
    ----------
    about : {"comparison", "chopper", "steel"}
        The job that the documents are about.
    others : tuple of str
        Jobs that the study holds something for besides.
    doubts : tuple of Doubt
        What the files cannot show as it was typed.
    sealed : bool
        Whether the names of the blades are sealed, so that the documents compare nothing.
    units : {"metric", "inch", "both"}
        In which a chopper's answer is told beside its sheets.
    """

    about: str
    files: tuple[Path, ...]
    result: Any
    others: tuple[str, ...]
    study: Path
    doubts: tuple[Doubt, ...] = ()
    sealed: bool = False
    units: str = "metric"

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "about": self.about,
            "others": list(self.others),
            "files": [str(path) for path in self.files],
            "answer": self.result.summary(),
            **told(self.doubts),
        }

    def summary(self):
        """The answer, where its documents are, and how to ask for another."""
        told = text_in_units(self.result.summary(), self.units)
        lines = [told, "", *map(str, self.files), self._to_hand_over()]
        lines += [*self._names_to_give(), *sentences(self.doubts)]
        if self.others:
            lines.append(f"This is {DOCUMENTS[self.about]}.")
        place = shlex.quote(str(self.study))
        lines += [
            f"For {DOCUMENTS[job]}:  edgetest report {place} --about {job}" for job in self.others
        ]
        return "\n".join(lines)

    def _names_to_give(self):
        """That a customer reads ids such as "normalised_once" where nobody typed a title."""
        study = getattr(self.result, "study", None)
        if self.about != "comparison" or study is None or self.sealed:
            return []
        bare = [each.id for each in study.heat_treatments if not each.title and "_" in each.id]
        names = f"{', '.join(bare)}: the document has this id in place of a name. "
        how = 'In study.toml, under id = "…", write title = "…", and write the document again.'
        return [names + how] if bare else []

    def _to_hand_over(self):
        """Which of the files goes to whom it is for, in a line."""
        pages = ", ".join(path.name for path in self.files if path.suffix == ".pdf")
        if self.sealed:
            return (
                f"Not to hand on yet: {pages} shows codes, since the names are sealed. After the "
                "last reading, `edgetest unseal` and write it again."
            )
        to = "Hand to the customer" if self.about == CHOPPER else "Hand on"
        return f"{to}: {pages}; the .html of the same name says the same in any browser."


def write_report(source, folder=None, *, about=None, paper=None, units=None, progress=None,
                 **question) -> Reported:  # fmt: skip
    """Write the documents of one of a study's jobs: the main one, or the one asked about.

    Parameters
    ----------
    source : Source
    folder : path-like, optional
        Made if it is not there; default: `documents` in the study.
    paper, units : str, optional
        As in `edgetest.report.documents.document.build_document`.
    about, progress, **question
        As in `edgetest.study.answers.answer_of`; besides, of a chopper `blade`, whose sheet
        (default: all but the control's), of a steel `hand_over`, the pieces of a page of their
        own, and of a comparison `photographs`, as in `build_document`.

    Returns
    -------
    Reported

    Raises
    ------
    UnusableInput
        For a log without a study, a job that the study holds nothing for, and where nothing can
        be answered yet.
    """
    if source.study is None:
        raise UnusableInput(
            "a document needs a study's facts about its blades",
            where=str(source.path),
            mend="make a study of the log (`edgetest new FOLDER --protocol … --from LOG`) and give "
            "its folder here",
        )
    about = job_asked(source, about)
    own = {name: question.pop(name, None) for name in _OF_THE_PAGE.get(about, ("photographs",))}
    result = answer_of(source, about=about, progress=progress, **question)
    build = _BUILDERS.get(about, _comparison)
    place = source.path / "documents" if folder is None else Path(folder)
    files = build(result, place, paper=paper, units=units, **own)
    result = _handed_over(result, own.get("hand_over"))
    others = tuple(job for job in jobs_of(source) if job != about)
    doubts = study_letters_doubts(source.study)
    sealed = about != STEEL and is_sealed(source.study)
    told = (units or settings_of(source.study).units) if about == CHOPPER else "metric"
    return Reported(about, tuple(files), result, others, source.path, doubts, sealed, told)


def _comparison(result, place, **page):
    from edgetest.report.documents.document import build_document

    return build_document(result, place, **page)


def _chopper(result, place, **page):
    from edgetest.report.documents.chopper_sheet import build_sheets

    return build_sheets(result, place, **page)


def _steel(result, place, *, hand_over=None, **page):
    from edgetest.report.documents.steel_handed_over import build_hand_over, pieces_named
    from edgetest.report.documents.steel_sheet import build_steel_document

    if hand_over is not None:
        pieces = pieces_named(hand_over, [one.id for one in result.noted.pieces])
        return build_hand_over(result, place, pieces, **page)
    return build_steel_document(result, place, **page)


def _handed_over(result, named):
    """The result of which the answer is told: of some pieces alone, where a page is of these."""
    from edgetest.report.documents.steel_handed_over import of_these, pieces_named

    if named is None:
        return result
    return of_these(result, pieces_named(named, [one.id for one in result.noted.pieces]))


_BUILDERS = {CHOPPER: _chopper, STEEL: _steel}
_OF_THE_PAGE: dict[str, tuple[str, ...]] = {CHOPPER: ("blade",), STEEL: ("hand_over",)}
