"""Give pictures of the tray their places, and take that back."""

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

from edgetest.errors import UnusableInput
from edgetest.store.files import read_json_lines
from edgetest.store.journal import correct_reading, last_change, undo_last
from edgetest.study.bench.bench_entry import place_photo, save_new_photo
from edgetest.study.photos.sort_places import places_of
from edgetest.study.photos.sort_tray import (
    TRAY_FILE,
    back_to_tray,
    note_put,
    note_sorting,
    read_tray,
)
from edgetest.study.sources import open_source


def assign(folder, picture, place, *, instead=False, act=None):
    """Give a picture its place: the log names it when this returns, as after a photograph taken.

    Parameters
    ----------
    folder : str or Path
        The study.
    picture : Unsorted
    place : SortPlace
        As it was shown.
    instead : bool
        The photograph that stands there gives way; its file and its name in the history stay.
    act : str, optional
        Name of what is done at one go.

    Returns
    -------
    str
        Its name in the folder photos.

    Raises
    ------
    UnusableInput
        If a photograph stands there and `instead` was not said, the place holds another one by
        now, or the picture has been given a place on another device.
    """
    source = open_source(folder)
    now = {each.sha256: each for each in read_tray(source).pictures}.get(picture.sha256)
    there = next((each.photo for each in places_of(source) if each.key == place.key), "")
    if now is not None and now.photo and now.photo == there:
        return there  # a tap that was sent twice
    now = _still_waiting(picture, now)
    _refuse_clash(place, there, instead)
    data = now.path.read_bytes()
    if sha256(data).hexdigest() != now.sha256:
        raise UnusableInput(
            "the file is not the one that was taken in", now.path.name, "drop the picture again"
        )
    if there:
        photo = _in_place_of(source, place, data, picture.name)
    else:
        photo = place_photo(source, place.action, place.due, data, picture.name)
    note_put(folder, now, photo, act=act or uuid4().hex)
    return photo


def _still_waiting(picture, now):
    """The picture as it lies in the tray; one that has its place gets no second one."""
    if now is None or now.photo:
        what = f"has its place already, as {now.photo}" if now else "is not in the tray any more"
        raise UnusableInput(f"this picture {what}", picture.name, "load the page again")
    return now


def _refuse_clash(place, there, instead):
    """Refuse a place that holds what was not shown, or what was not said to give way."""
    if there != place.photo or (there and not instead):
        raise UnusableInput(
            f"the photograph {there} stands there already" if there else "nothing stands there now",
            place.words,
            "choose another place, or put this one in its place",
        )


def assign_all(folder, pairs):
    """Give several pictures their places at one go, in this order; one undo takes all back.

    Returns
    -------
    int
        How many have their place; fewer than asked where one was refused.

    Raises
    ------
    UnusableInput
        At the first that is refused; those before it have their places.
    """
    act = uuid4().hex
    for picture, place in pairs:
        assign(folder, picture, place, act=act)
    return len(pairs)


def set_aside(folder, picture, *, aside=True):
    """Say that a picture shows no station, as one of the scale; or take that back."""
    note_sorting(folder, picture, what="aside", act=uuid4().hex, **{"is": bool(aside)})


def keep_second(folder, picture, place):
    """Keep a picture beside the photograph of its place, to check the focus; the log stays."""
    note_sorting(folder, picture, what="second", act=uuid4().hex, of=place.photo)


@dataclass(frozen=True)
class LastAct:
    """What an undo of the sorting would take back: the pictures of one act, newest last.

    `what` is "put", "aside" or "second"; `photos` are those that the log was given.
    """

    act: str
    shas: tuple[str, ...]
    photos: tuple[str, ...]
    what: str = "put"

    def words(self):
        """What it was."""
        many = len(self.shas)
        if self.what != "put":
            told = {
                "aside": "was set aside",
                "second": "was kept as a second one of the same place",
            }
            return f"a picture {told[self.what]}"
        return (
            f"{many} pictures were given their places"
            if many > 1
            else ("a picture was given its place")
        )


def last_act(source):
    """The last thing done to the tray that still stands, or None."""
    acts: dict[str, LastAct] = {}
    for _, entry in read_json_lines(source.path / TRAY_FILE):
        name, sha, what = (str(entry.get(key) or "") for key in ("act", "sha256", "what"))
        if what == "undone":
            acts.pop(name, None)
        elif name and what in ("put", "aside", "second"):
            before = acts.get(name, LastAct(name, (), ()))
            photos = (*before.photos, *([str(entry["photo"])] if what == "put" else []))
            acts[name] = LastAct(name, (*before.shas, sha), photos, what)
    named = {row.photo for row in source.log.rows if row.photo}
    for act in reversed(acts.values()):
        if act.what != "put" or named.intersection(act.photos):
            return act
    return None


def undo_act(folder, shown):
    """Take the last act back: its pictures wait in the tray again.

    Parameters
    ----------
    folder : str or Path
    shown : LastAct
        What was on the screen when the undo was pressed.

    Raises
    ------
    UnusableInput
        If something else was done since, here or at the bench.
    """
    source = open_source(folder)
    act = last_act(source)
    tray = {each.sha256: each for each in read_tray(source).pictures}
    if _undone(folder, shown):
        return  # a tap that was sent twice
    if act is None or act.act != shown.act:
        what = (
            f"something else has been done since: {act.words()}"
            if act
            else "nothing is left to undo"
        )
        raise UnusableInput(what, "sorting", "look at the page again")
    picture = tray[act.shas[-1]]
    if act.what == "aside":
        note_sorting(folder, picture, what="aside", **{"is": not picture.aside})
    if act.what == "second":
        note_sorting(folder, picture, what="second", of="")
    for photo in reversed(act.photos):
        change = last_change(folder)
        if change is None or (change.after or {}).get("photo") != photo:
            raise UnusableInput(
                "the log was changed after this picture got its place", photo,
                "undo the later change at the bench first",
            )  # fmt: skip
        undo_last(folder, shown=change)
    for sha in act.shas:
        back_to_tray(folder, tray[sha])
    note_sorting(folder, picture, what="undone", act=act.act)


def _undone(folder, act):
    """Whether an act was taken back already."""
    return any(
        entry.get("what") == "undone" and entry.get("act") == act.act
        for _, entry in read_json_lines(Path(folder) / TRAY_FILE)
    )


def _in_place_of(source, place, data, name):
    """Put a photograph where another one stands, in its row."""
    for row in source.log.rows:
        if row.photo == place.photo and not row.exclude:
            new = save_new_photo(source.path, place.action, place.due, data, name)
            correct_reading(source.path, row.line, "photo", new, was=place.photo)
            return new
    raise UnusableInput(
        f"the photograph {place.photo} is no longer there", place.words, "load the page again"
    )
