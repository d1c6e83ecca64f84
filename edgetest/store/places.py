"""Where does what comes with the program stand, and which version of it is this?"""

from functools import cache
from importlib.metadata import version
from pathlib import Path

from edgetest.errors import UnusableInput

HERE = Path(__file__).resolve().parents[1]


@cache
def program_version():
    """The program's version; read once, for it stands in every photograph's key."""
    return version("edgetest")


def shipped(kind):
    """Folder of what comes with the program: "protocols" or "sample_runs".

    In an installed wheel it lies inside the package, in the repository beside it.
    """
    for folder in (HERE / kind, HERE.parent / kind):
        if folder.is_dir():
            return folder
    raise UnusableInput(
        f"the {kind} that come with the program are not there",
        where=str(HERE / kind),
        mend="install the program again",
    )
