"""The tray: pictures that were taken in a row and have no blade, stage or station yet.

A picture lies in the study's folder `unsorted` under its checksum until the log names it, and
what became of it is read from the log: nothing is lost or doubled when the program is killed
between two steps, and a change of the log that is undone puts its picture back into the tray.
"""

import hashlib
import re
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_line, locked, read_json_lines, write_atomic
from edgetest.store.picture_times import name_order, picture_time
from edgetest.store.study_paths import nameable

FOLDER = "unsorted"
SHOWN = "shown"
SHOWN_PX = 1600
TRAY_FILE = "sorting.jsonl"
START_OF_SCAN, COMMENT, FIRST_RECORD, LAST_RECORD = 0xDA, 0xFE, 0xE0, 0xEF  # markers of a JPEG
_NAMED = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Unsorted:
    """A picture of the tray.

    Attributes
    ----------
    sha256 : str
    name : str
        Of its file, as the camera or the person called it.
    path : Path
    taken : str
        When, in ISO 8601; "" where the file says nothing.
    pixels : str
        Checksum of what it shows: alike where a picture was saved a second time.
    photo : str
        Its name in the folder photos once the log names it; "" while it waits.
    aside : bool
        A person said that it shows no station.
    second_of : str
        The photograph whose place it shows a second time; "" for none.
    """

    sha256: str
    name: str
    path: Path
    taken: str
    pixels: str
    photo: str = ""
    aside: bool = False
    second_of: str = ""

    @property
    def shown(self):
        """Where it lies reduced, for a page that shows it; it may not be there."""
        return self.path.parent.parent / FOLDER / SHOWN / f"{self.sha256}.jpg"

    @property
    def waiting(self):
        """Whether it has no place yet."""
        return not (self.photo or self.aside or self.second_of)


@dataclass(frozen=True)
class Tray:
    """All pictures that were ever taken in, in the order in which they were taken.

    `ordered_by` is "time" where every picture tells its own, else "name".
    """

    pictures: tuple[Unsorted, ...]
    ordered_by: str

    @property
    def waiting(self):
        """Those that have no place yet."""
        return tuple(each for each in self.pictures if each.waiting)

    def order_words(self):
        """In which order they stand, and why."""
        if self.ordered_by == "time":
            return "In the order in which they were taken, by the time that the camera wrote."
        without = sum(not each.taken for each in self.pictures)
        which = "No picture tells" if without == len(self.pictures) else f"{without} do not tell"
        return f"In the order of the file names: {which} when it was taken.".replace(
            "do not tell when it was", "do not tell when they were"
        )


@dataclass(frozen=True)
class TakenIn:
    """What became of a file that was dropped.

    Attributes
    ----------
    name : str
    picture : Unsorted or None
        None where it was not taken in.
    known_as : str
        What shows the same already.
    same_file : bool
        Byte by byte, not only pixel by pixel.
    fault : UnusableInput or None
        Why it is no picture.
    """

    name: str
    picture: Unsorted | None = None
    known_as: str = ""
    same_file: bool = False
    fault: UnusableInput | None = None


def read_tray(source):
    """The tray of a study.

    Parameters
    ----------
    source : Source
        As it stands now: its log says which pictures have their place.

    Returns
    -------
    Tray
    """
    found, put = _noted(Path(source.path))
    if not found:
        return Tray((), "name")
    named = {row.photo for row in source.log.rows if row.photo}
    sizes = _by_size(source.photos_folder, named)
    placed = [_placed(each, put.get(sha, ""), source, named, sizes) for sha, each in found.items()]
    pictures = [each for each in placed if each.photo or each.path.is_file()]
    by_time = bool(pictures) and all(each.taken for each in pictures)
    pictures.sort(key=lambda each: (each.taken if by_time else "", name_order(each.name)))
    return Tray(tuple(pictures), "time" if by_time else "name")


def take_in(source, files, *, when=None):
    """Put pictures into the tray; each is on disk before the next is looked at.

    Parameters
    ----------
    source : Source
    files : iterable of (str, bytes)
        Name and content.
    when : datetime, optional
        Kept with them; now, if not given.

    Returns
    -------
    tuple of TakenIn
        One that the study has already, as the same file or pixel by pixel, is told and not
        taken in again; so is one that is no picture.
    """
    from edgetest.store.images import read_picture, reduced_jpeg  # the first page needs neither

    known = {each.sha256: each for each in read_tray(source).pictures}
    shown = {each.pixels: each for each in known.values()}
    of_study = _study_pictures(source)
    told = []
    for name, data in files:
        sha = hashlib.sha256(data).hexdigest()
        try:
            decoded = read_picture(data, name=name)
            pixels = pixels_of(data, name)
        except UnusableInput as fault:
            told.append(TakenIn(name, fault=fault))
            continue
        before = known.get(sha) or shown.get(pixels)
        if before is not None:
            there = before.photo or before.name
            told.append(TakenIn(name, None, there, before.sha256 == sha))
            continue
        if pixels in of_study:
            photo, of_photo = of_study[pixels]
            told.append(TakenIn(name, None, photo, of_photo == sha))
            continue
        picture = _keep(Path(source.path), sha, pixels, name, data, when)
        picture.shown.parent.mkdir(exist_ok=True)
        write_atomic(picture.shown, reduced_jpeg(decoded, SHOWN_PX))
        known[sha] = shown[pixels] = picture
        told.append(TakenIn(name, picture))
    return tuple(told)


def note_put(folder, picture, photo, *, act, when=None):
    """Note under which name the log has a picture now, and let go of its copy in the tray.

    `act` is the name of what a person did at one go; an undo takes all of it back.
    """
    note_sorting(folder, picture, when, what="put", photo=photo, act=act)
    if picture.path.parent.name == FOLDER and (Path(folder) / "photos" / photo).is_file():
        picture.path.unlink(missing_ok=True)
        picture.shown.unlink(missing_ok=True)


def back_to_tray(folder, picture):
    """Move the file of a picture that the log no longer names back into the tray."""
    if picture.photo and picture.path.is_file():
        kept = Path(folder) / FOLDER / f"{picture.sha256}{Path(picture.name).suffix.lower()}"
        picture.path.replace(kept)


def note_sorting(folder, picture, when=None, **words):
    """Add a line about a picture to the tray's file."""
    moment = (when or datetime.now(UTC)).isoformat(timespec="seconds")
    line = {"what": "", "sha256": picture.sha256, **words, "when": moment}
    with locked(folder):
        append_json_line(Path(folder) / TRAY_FILE, line)


def pixels_of(data, name):
    """Checksum of what a picture shows: the same where it was saved again without loss.

    Of a JPEG the coded picture without what is written about it, which is quick; of all others
    the pixels.

    Raises
    ------
    UnreadablePicture
    """
    coded = _coded_jpeg(data)
    if coded is not None:
        return hashlib.sha256(coded).hexdigest()
    from edgetest.store.images import stored_grey

    grey = stored_grey(data, name=name)
    return hashlib.sha256(repr(grey.shape).encode() + grey.tobytes()).hexdigest()


def _coded_jpeg(data):
    """A JPEG without its records and comments (ISO/IEC 10918-1, B.2.4); None of another file."""
    at = 2
    kept: list[bytes] = []
    while data[:2] == b"\xff\xd8" and data[at : at + 1] == b"\xff" and at + 4 <= len(data):
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == START_OF_SCAN:
            return b"".join([*kept, data[at:]])
        if not (FIRST_RECORD <= marker <= LAST_RECORD or marker == COMMENT):
            kept.append(data[at : at + 2 + length])
        at += 2 + length
    return None


def _noted(folder):
    """Pictures that were taken in, and the photographs that they became, by checksum."""
    found: dict[str, Unsorted] = {}
    put: dict[str, str] = {}
    for _, entry in read_json_lines(folder / TRAY_FILE):
        sha, what = str(entry.get("sha256", "")), entry.get("what")
        if what == "in" and _NAMED.fullmatch(sha):
            name, taken, pixels = (str(entry.get(key, "")) for key in ("name", "taken", "pixels"))
            if not nameable(f"{sha}{Path(name).suffix}"):
                continue  # no program wrote this line: no disk holds such a name
            path = folder / FOLDER / f"{sha}{Path(name).suffix.lower()}"
            found.setdefault(sha, Unsorted(sha, name, path, taken, pixels))
        elif what == "aside" and sha in found:
            found[sha] = replace(found[sha], aside=bool(entry.get("is")))
        elif what == "second" and sha in found:
            found[sha] = replace(found[sha], second_of=str(entry.get("of", "")))
        elif what == "put" and sha in found and nameable(photo := str(entry.get("photo", ""))):
            put[sha] = photo
    return found, put


def _keep(folder, sha, pixels, name, data, when):
    """A new picture on disk, the file first: a line without its file is passed over."""
    name = Path(name.replace("\\", "/")).name
    (folder / FOLDER).mkdir(exist_ok=True)
    path = write_atomic(folder / FOLDER / f"{sha}{Path(name).suffix.lower()}", data)
    moment = picture_time(data)
    taken = moment.isoformat(timespec="microseconds") if moment else ""
    picture = Unsorted(sha, name, path, taken, pixels)
    note_sorting(folder, picture, when, what="in", name=name, taken=taken, pixels=pixels)
    return picture


def _by_size(photos, named):
    """The photographs that the log names, by the length of their files."""
    sizes: dict[int, list[str]] = {}
    for name in named:
        if (photos / name).is_file():
            sizes.setdefault((photos / name).stat().st_size, []).append(name)
    return sizes


def _placed(picture, put, source, named, sizes):
    """The picture with the photograph that it became, or where it lies now."""
    photos = source.photos_folder
    if put and (photos / put).is_file() and not picture.path.is_file():
        there = replace(picture, path=photos / put)
        return replace(there, photo=put) if put in named else there
    if not picture.path.is_file():
        return picture
    for name in sizes.get(picture.path.stat().st_size, ()):
        if hashlib.sha256((photos / name).read_bytes()).hexdigest() == picture.sha256:
            return replace(picture, path=photos / name, photo=name)
    return picture


def _study_pictures(source):
    """Name and checksum of every photograph that the log names, by what it shows."""
    found: dict[str, tuple[str, str]] = {}
    for name in dict.fromkeys(row.photo for row in source.log.rows if row.photo):
        path = source.photos_folder / name
        if path.is_file():
            stat = path.stat()
            pixels, sha = shown_sums(path, stat.st_mtime_ns, stat.st_size)
            found.setdefault(pixels, (name, sha))
    return found


@lru_cache(maxsize=5000)
def shown_sums(path, _changed_ns, _size):
    """Checksums of what a photograph shows and of its file; a damaged one shows only itself."""
    data = path.read_bytes()
    sha = hashlib.sha256(data).hexdigest()
    with suppress(UnusableInput):
        return pixels_of(data, path.name), sha
    return sha, sha
