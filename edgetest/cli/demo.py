"""The whole job on an invented study, from photographs to the document."""

import shutil
import time
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.report.documents.document import build_document
from edgetest.report.figures.overlay_files import write_overlays
from edgetest.report.figures.plot_style import png_bytes
from edgetest.report.taken_away import figures_of_wear
from edgetest.store.files import write_atomic
from edgetest.store.workspace import copy_sample_run
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse
from edgetest.study.wear.page_one import page_one
from edgetest.study.wear.wear_result import StudyResult

RUN = "billhook_temper_study"
MARK = ".made_by_edgetest_demo"
# An earlier demo lies aside until the new one stands. While it is moved there or back it lies
# under the second name, and under the third when it may go.
ASIDE, MOVING, DONE_WITH = ".earlier", ".earlier_moving", ".earlier_done_with"


@dataclass(frozen=True)
class Demo:
    """What the demo found and where its files are."""

    result: StudyResult
    files: tuple[Path, ...]
    seconds: float

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "answer": self.result.summary(),
            "files": [str(path) for path in self.files],
            "seconds": round(self.seconds, 1),
            **self.result.to_dict(),
        }

    def summary(self):
        """The answer in a maker's sentences and where to look."""
        measured = sum(photo.measured for photo in self.result.photos)
        lines = [
            f"{self.result.title} (invented data)",
            f"{measured} of {len(self.result.photos)} photographs measured.",
            "",
            *filter(None, [page_one(self.result).choice]),
            self.result.summary(),
            "",
            "Look at:",
            *(f"  {path}" for path in self.files),
            f"Done in {self.seconds:.0f} s. Your own: edgetest new --help; the app: edgetest app",
        ]
        return "\n".join(lines)


def run_demo(folder, *, workers=2, progress=None):
    """Copy the sample run to `folder`, analyse it, and write figures and the document there.

    In an installed copy the run's photographs are rendered first.

    Parameters
    ----------
    folder : str or Path
        Made anew each time; refused where it holds something the demo did not make. An earlier
        demo comes back where this one does not reach its end.
    workers : int
    progress : callable(done, total), optional
        Counts the photographs rendered, then those measured.

    Returns
    -------
    Demo
    """
    start = time.perf_counter()
    folder = Path(folder)
    _refuse_others(folder)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARK).touch()
    with _earlier_aside(folder):
        study = copy_sample_run(RUN, folder / RUN, workers=workers, progress=progress)
        result = analyse(open_source(study), workers=workers, progress=progress)
        files = tuple(_pictures(result, folder))
    return Demo(result, files, time.perf_counter() - start)


def _refuse_others(folder):
    """Refuse a folder that holds something the demo did not make, also under a name of its own."""
    if folder.exists() and any(folder.iterdir()) and not (folder / MARK).exists():
        raise UnusableInput(
            "something stands in this folder that the demo did not make",
            where=str(folder),
            mend="choose another folder with --to",
        )
    for name in (ASIDE, MOVING, DONE_WITH):
        place = folder / name
        if place.is_symlink() or (place.exists() and not place.is_dir()):
            raise UnusableInput(
                "no folder, and under this name the demo lays an earlier demo aside",
                where=str(place),
                mend="move or delete it, or choose another folder with --to",
            )


@contextmanager
def _earlier_aside(folder):
    """Lay an earlier demo aside while a new one is made; it comes back where that fails.

    Where the program died in the midst of this, the earlier demo is found wherever it lies: each
    turn is one renaming.
    """
    aside, moving, done_with = (folder / name for name in (ASIDE, MOVING, DONE_WITH))
    shutil.rmtree(done_with, ignore_errors=True)
    if moving.exists():
        _moved(moving, folder)
    if aside.exists():
        _clear(folder)
    else:
        moving.mkdir()
        for each in _made(folder):
            each.rename(moving / each.name)
        moving.rename(aside)
    try:
        yield
    except BaseException:
        _clear(folder)
        aside.rename(moving)
        _moved(moving, folder)
        raise
    aside.rename(done_with)
    shutil.rmtree(done_with)


def _moved(moving, folder):
    """Move an earlier demo back to where it was."""
    for each in moving.iterdir():
        each.rename(folder / each.name)
    moving.rmdir()


def _made(folder):
    """What a demo made in its folder, without its mark and what lies aside."""
    return [each for each in folder.iterdir() if each.name not in (MARK, ASIDE, MOVING, DONE_WITH)]


def _clear(folder):
    """Take away what a demo made."""
    for each in _made(folder):
        if each.is_dir() and not each.is_symlink():
            shutil.rmtree(each)
        else:
            each.unlink()


def _pictures(result, folder):
    """Write the figures, two overlays and the document; yields their paths."""
    yield from build_document(result, folder)
    figures = figures_of_wear(result)
    for name in ("wear_curves", "comparison"):
        yield _saved(figures[name], folder / f"{name}.png")
    measured = [photo for photo in result.photos if photo.measured and photo.blade != "C1"]
    ends = (measured[0], max(measured, key=lambda photo: photo.cuts))
    yield from write_overlays(ends, folder / "overlays")


def _saved(figure, path):
    """Save a figure as PNG."""
    return write_atomic(path, png_bytes(figure, dpi=160))
