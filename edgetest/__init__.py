"""edgetest: honest numbers for whether a blade holds its edge.

The verbs of a notebook; each is the same call that the command of its name makes::

    import edgetest as et
    answer = et.compare("log.csv", limit=12)
    answer.ratio, answer.doubts, answer.to_frame()
    print(answer.summary())

Nothing is loaded before it is asked for. The guide's chapter "In a notebook" has more.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # so that editors and type checkers see the verbs
    from edgetest.errors import ManyFaults as ManyFaults
    from edgetest.errors import UnusableInput as UnusableInput
    from edgetest.verbs.answer_verbs import case as case
    from edgetest.verbs.answer_verbs import chop as chop
    from edgetest.verbs.answer_verbs import report as report
    from edgetest.verbs.answer_verbs import verdict as verdict
    from edgetest.verbs.crest_verb import crest as crest
    from edgetest.verbs.log_verbs import compare as compare
    from edgetest.verbs.log_verbs import fit as fit
    from edgetest.verbs.log_verbs import plan as plan
    from edgetest.verbs.log_verbs import read_log as read_log
    from edgetest.verbs.log_verbs import sample_run as sample_run
    from edgetest.verbs.picture_verbs import measure as measure
    from edgetest.verbs.picture_verbs import profile as profile
    from edgetest.verbs.picture_verbs import scale as scale
    from edgetest.verbs.plot_verb import plot as plot
    from edgetest.verbs.tone_verb import tone as tone

_PLACES = {
    "errors": ("ManyFaults", "UnusableInput"),
    "verbs.answer_verbs": ("case", "chop", "report", "verdict"),
    "verbs.crest_verb": ("crest",),
    "verbs.log_verbs": ("compare", "fit", "plan", "read_log", "sample_run"),
    "verbs.picture_verbs": ("measure", "profile", "scale"),
    "verbs.plot_verb": ("plot",),
    "verbs.tone_verb": ("tone",),
}
_PLACE = {name: place for place, names in _PLACES.items() for name in names}
__all__ = sorted(_PLACE)


def __getattr__(name: str) -> Any:
    """A verb, loaded when it is first used; or the version, looked up when it is asked for."""
    if name == "__version__":
        from importlib.metadata import version

        return version(__name__)
    if name not in _PLACE:
        raise AttributeError(f"module 'edgetest' has no attribute {name!r}")
    verb = getattr(import_module(f"edgetest.{_PLACE[name]}"), name)
    room = sys.modules.get(f"{__name__}.{name}")
    if room is not None and vars(verb) is not vars(room):
        vars(room).update(vars(verb))
        verb.__dict__ = vars(room)  # so that `edgetest.chop.wood` is found once it is imported
    return verb


def __dir__() -> list[str]:
    return [*__all__]


class _Root(ModuleType):
    """The package, where `chop` and `report` are verbs and rooms at once.

    Importing a room does not put it in the verb's place: the verb stays the function that it is,
    for help, signature and pickling, and the room's modules are found as its attributes.
    """

    def __setattr__(self, name: str, value: Any) -> None:
        if not (isinstance(value, ModuleType) and name in _PLACE):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Root
