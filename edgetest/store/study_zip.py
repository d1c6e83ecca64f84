"""How does a study's zip become a folder of the workspace, whole or not at all?"""

import io
import lzma
import os
import re
import shutil
import stat
import unicodedata
import zipfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path, PurePosixPath

from edgetest.errors import UnusableInput
from edgetest.no_numbers import shortened
from edgetest.store.export import PART_BYTES
from edgetest.store.files import whole_folder
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.store.unseen import first_unseen, name_fault

ROOM_LEFT_BYTES = 100_000_000  # of the disk, for what is written after it
LARGEST_RATIO = 200  # what text or a picture shrinks to; a bomb shrinks a thousandfold
MOST_FILES = 50_000
LONGEST_NAME = 200  # bytes of one name: file systems take 255, a name being written is longer
LONGEST_PATH = 1_000  # bytes from the study's folder on: some systems take 1,024 in all
_ZIP = "study zip"
_AGAIN = "export the study again, without a password"
# What zipfile raises for a damaged archive, at its directory and at an entry.
_DAMAGED = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, ValueError,
            NotImplementedError, RuntimeError, OverflowError, LookupError, OSError, SyntaxError,
            MemoryError)  # fmt: skip
# Windows keeps these for devices, whatever their ending.
_DEVICE = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


def import_study(
    source: bytes | str | Path,
    root: str | Path,
    *,
    name: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Path:
    """Unpack a study's zip into a new folder of `root`.

    Parameters
    ----------
    source : bytes, str or Path
        The zip or its path; study.toml lies at its top or in its only folder.
    root : str or Path
        The workspace.
    name : str, optional
        Name of the new folder; the one in the zip, if not given.
    progress : callable, optional
        Told the files that are unpacked, and of how many.

    Returns
    -------
    Path
        The study's folder; it appears whole or not at all.

    Raises
    ------
    UnusableInput
        If it is damaged or no study's zip, holds a path that leads outside, a name that no folder
        can have or that stands twice, unpacks to more than the disk has room for, or a folder of
        that name is there.
    """
    root = Path(root)
    with _opened(source) as archive:
        entries = _files_of(archive)
        top = _top_of(entries)
        name = name or top.name or "imported_study"
        if fault := _name_fault(name):
            raise UnusableInput(
                f'"{name}" cannot be a folder: {fault}', _ZIP, "give it another name"
            )
        target = root / name
        if target.exists():
            raise UnusableInput("a study of this name is there", str(target), "give a new name")
        _unpack_study(archive, entries, top, target, progress)
    return target


def import_studies(
    source: str | Path, root: str | Path, *, progress: Callable[[int, int], None] | None = None
) -> tuple[Path, ...]:
    """Unpack every study of an archive into folders of `root`; one that is there stays as it is.

    Parameters
    ----------
    source : str or Path
        A zip of one study, or of a folder of studies.
    root : str or Path
        The workspace.
    progress : callable, optional
        Told the studies that are unpacked, and of how many.

    Returns
    -------
    tuple of Path
        The studies' folders, by name.

    Raises
    ------
    UnusableInput
        As `import_study`; or if two studies of the archive have one name.
    """
    root = Path(root)
    with _opened(source) as archive:
        entries = _files_of(archive)
        tops = _tops_of(entries)
        if not tops:
            raise UnusableInput(f"holds no {STUDY_FILE}", _ZIP, "give a zip of studies")
        named = {top.name or Path(source).stem: top for top in tops}
        if len(named) < len(tops):
            raise UnusableInput("two studies in it have one name", _ZIP, "rename one, pack again")
        for number, (name, top) in enumerate(sorted(named.items()), 1):
            if fault := _name_fault(name):
                what = f"{name!a} cannot be a folder: {fault}"
                raise UnusableInput(what, _ZIP, "give it another name")
            if not (root / name).exists():
                own = [entry for entry in entries if _path_of(entry).is_relative_to(top)]
                _unpack_study(archive, own, top, root / name)
            if progress is not None:
                progress(number, len(named))
    return tuple(root / name for name in sorted(named))


def _opened(source: bytes | str | Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(io.BytesIO(source) if isinstance(source, bytes) else source)
    except _DAMAGED:
        mend = "export the study again, or copy the file again"
        raise UnusableInput("is not a whole zip file", _ZIP, mend) from None


def _files_of(archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """What a zip holds but its folders."""
    entries = archive.infolist()
    if not all(entry.filename for entry in entries):
        raise UnusableInput("holds a file without a name", _ZIP, "export the study again")
    return [entry for entry in entries if not entry.is_dir()]


def _unpack_study(
    archive: zipfile.ZipFile,
    entries: Sequence[zipfile.ZipInfo],
    top: PurePosixPath,
    target: Path,
    progress: Callable[[int, int], None] | None = None,
) -> None:
    """Unpack one study beside its place, look whether it is one, and put it there."""
    root = target.parent
    root.mkdir(parents=True, exist_ok=True)
    _refuse_overflow(entries, root)
    with whole_folder(target) as inside:
        for number, entry in enumerate(entries, 1):
            path = _path_of(entry)
            if path.is_relative_to(top):
                _unpack(archive, entry, inside / path.relative_to(top))
            if progress is not None:
                progress(number, len(entries))
        load_study(inside)


def _top_of(entries: Sequence[zipfile.ZipInfo]) -> PurePosixPath:
    """The only folder in a zip where study.toml lies."""
    tops = [top for top in _tops_of(entries) if len(top.parts) <= 1]
    if len(tops) != 1:
        what = "holds several studies" if tops else f"holds no {STUDY_FILE}"
        raise UnusableInput(what, _ZIP, "export one study")
    return tops[0]


def _tops_of(entries: Sequence[zipfile.ZipInfo]) -> list[PurePosixPath]:
    """The folders in a zip where a study.toml lies; every entry is looked at for safety first."""
    _refuse_unsafe(entries)
    found = [_path_of(entry) for entry in entries]
    return [path.parent for path in found if path.name == STUDY_FILE]


def _path_of(entry: zipfile.ZipInfo) -> PurePosixPath:
    return PurePosixPath(entry.filename.replace("\\", "/"))


def _refuse_unsafe(entries: Sequence[zipfile.ZipInfo]) -> None:
    """Refuse paths that lead outside or meet each other, and what would swell past all measure."""
    if len(entries) > MOST_FILES:
        raise UnusableInput(f"holds {len(entries)} files", _ZIP, "leave out what is no study")
    seen: set[str] = set()
    folders: set[str] = set()
    for entry in entries:
        path = _path_of(entry)
        if path.is_absolute() or ".." in path.parts or ":" in entry.filename:
            raise UnusableInput(f'"{entry.filename}" leads outside', _ZIP, "do not open it")
        if stat.S_ISLNK(entry.external_attr >> 16):
            raise UnusableInput(f'"{entry.filename}" is a link', _ZIP, "pack the file itself")
        for part in path.parts:
            if fault := _name_fault(part, of_folder=False):
                what = f"{shortened(part)!a} cannot be a file: {fault}"
                raise UnusableInput(what, _ZIP, "rename it and pack the study again")
        if len(str(path).encode(errors="replace")) > LONGEST_PATH:
            what = f"{shortened(str(path))!a} is a longer path than systems take"
            raise UnusableInput(what, _ZIP, "shorten the names of its folders and pack again")
        if entry.file_size > LARGEST_RATIO * max(entry.compress_size, 1_000):
            what = f'"{entry.filename}" swells to {entry.file_size / 1e6:.0f} MB'
            raise UnusableInput(what, _ZIP, "export the study again")
        plain = unicodedata.normalize("NFC", str(path)).casefold()
        if plain in seen:
            what = f'"{entry.filename}" stands in it twice'
            raise UnusableInput(what, _ZIP, "rename one of them and pack the study again")
        seen.add(plain)
        folders |= {parent.as_posix() for parent in PurePosixPath(plain).parents}
    for plain in seen & folders:
        raise UnusableInput(f'"{plain}" is a file and a folder in it', _ZIP, _AGAIN)


def _refuse_overflow(entries: Sequence[zipfile.ZipInfo], root: Path) -> None:
    """Refuse what the disk has no room for."""
    needed, free = sum(entry.file_size for entry in entries), shutil.disk_usage(root).free
    if needed > free - ROOM_LEFT_BYTES:
        what = f"unpacks to {needed / 1e9:.1f} GB, and the disk has room for {free / 1e9:.1f} GB"
        raise UnusableInput(what, _ZIP, "make room on the disk, or leave out old photographs")


def _name_fault(name: str, *, of_folder: bool = True) -> str:
    """Why a name can be no file or folder on some system, or is not what it seems; "" if it can."""
    if not name.strip(" .") or re.search(r"[/\\:*?\"<>|]", name):
        return "a letter of it has a meaning to the system"
    if number := first_unseen(name):
        return f"it holds a letter that is not seen ({number})"
    if _DEVICE.fullmatch(name) or name[-1] in " .":
        return "some systems keep it for themselves"
    if len(name.encode("utf-8")) > LONGEST_NAME:
        return "it is too long"
    return name_fault(name) if of_folder else ""


def _unpack(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, target: Path) -> None:
    """Write one entry; a fault of the archive names it, one of the disk is the disk's."""
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("wb") as file:
        for part in _parts(archive, entry):
            file.write(part)
        file.flush()
        os.fsync(file.fileno())


def _parts(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Iterator[bytes]:
    """What an entry holds, a part at a time; never more than its directory says."""
    left = entry.file_size
    try:
        with archive.open(entry) as packed:
            while part := packed.read(PART_BYTES):
                left -= len(part)
                if left < 0:
                    raise zipfile.BadZipFile("longer than it says")
                yield part
    except _DAMAGED as fault:
        what = f'"{entry.filename}" cannot be unpacked ({str(fault) or type(fault).__name__})'
        raise UnusableInput(what, _ZIP, _AGAIN) from None
