"""Simulations and trials of numbers cut short, for the tests that do not read what they tell.

A plan simulates hundreds of studies and a verdict is tried under every number behind it, both in
seconds. Most tests look at other sentences. They get a few of each, by the same code; a test that
reads the numbers themselves asks for the fixture `work_in_full`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from itertools import islice
from pathlib import Path

import pytest

from edgetest.store.kept_answers import FOLDER_VARIABLE

FEW_STUDIES, FEW_NUMBERS = 12, 4
STUDIES = {
    "edgetest.wear.plan.study_design": ("STUDIES", "STUDIES_OWN"),
    "edgetest.study.chop.chop_planning": ("STUDIES", "STUDIES_OWN", "STUDIES_DEPTHS"),
    "edgetest.study.chop.tools_planned": ("STUDIES", "STUDIES_ENDS", "STUDIES_OWN"),
    "edgetest.study.chop.depths_planned": ("STUDIES", "STUDIES_OWN"),
}
_IN_FULL: dict[tuple[str, str], object] = {}


@contextmanager
def cut_short(folder: Path) -> Iterator[None]:
    """Few simulated studies, few numbers tried; answers are kept in a folder of their own."""
    from edgetest.steel import survives

    every = survives.variants
    _IN_FULL[survives.__name__, "variants"] = every
    with pytest.MonkeyPatch.context() as patch:
        for module, names in STUDIES.items():
            for name in names:
                _IN_FULL[module, name] = getattr(import_module(module), name)
                patch.setattr(f"{module}.{name}", FEW_STUDIES)
        patch.setattr(survives, "variants", lambda *asked: islice(every(*asked), FEW_NUMBERS))
        patch.setenv(FOLDER_VARIABLE, f"{folder}_short")
        yield


@contextmanager
def in_full(folder: Path) -> Iterator[None]:
    """All of it, inside `cut_short`."""
    with pytest.MonkeyPatch.context() as patch:
        for (module, name), value in _IN_FULL.items():
            patch.setattr(f"{module}.{name}", value)
        patch.setenv(FOLDER_VARIABLE, str(folder))
        yield
