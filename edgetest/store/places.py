"""Where does what comes with the program stand, and which version of it is this?"""

from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from edgetest.errors import UnusableInput

HERE = Path(__file__).resolve().parents[1]
BESIDE = ("protocols", "sample_runs")  # inside the package in a wheel alone


@cache
def program_version():
    """The program's version; read once, for it stands in every photograph's key."""
    return version("edgetest")


@cache
def program_checksum():
    """Checksum of the program's own files: the same wherever it is installed, however."""
    told = sha256()
    for path in sorted(HERE.rglob("*")):
        place = path.relative_to(HERE)
        if path.suffix in (".py", ".toml") and place.parts[0] not in BESIDE and path.is_file():
            content = path.read_bytes().replace(b"\r\n", b"\n")
            told.update(place.as_posix().encode() + b"\0" + content)
    return told.hexdigest()


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
