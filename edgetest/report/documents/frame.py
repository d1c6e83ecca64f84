"""What every occasion's document has in common: maker, mark, units, checksum, signature."""

import datetime
import hashlib
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.report.documents.blocks import (
    Contents,
    bullets,
    facts,
    section,
    signature,
    text,
)
from edgetest.report.documents.typeset import KINDS, check_wishes, write_document
from edgetest.report.wording import UNIT_CHOICES
from edgetest.store.document_wishes import mark_path, settings_of, wished_pictures

INVENTED = "Invented data, for demonstration"
_BESIDE_PHOTOS = ("study.toml", "log.csv", "log.xlsx", "chops.csv", "chops.xlsx")


def settings_for(study, *, kinds=KINDS, paper=None, units=None, photograph_table=None):
    """The study's wishes with those of the moment in their place, checked before any work.

    Raises
    ------
    UnusableInput
        For a kind, paper or unit that is not known, a fault in `[document]`, or a picture that
        it names and that is not there.
    """
    wishes = {"paper": paper, "units": units, "photograph_table": photograph_table}
    wishes = {key: wish for key, wish in wishes.items() if wish is not None}
    settings = settings_of(study).model_copy(update=wishes)
    check_wishes(kinds, settings.paper)
    if settings.units not in UNIT_CHOICES:
        known = ", ".join(UNIT_CHOICES)
        raise UnusableInput(f'"{settings.units}" is not known', "units", f"choose {known}")
    if settings.photograph_table not in ("aside", "inside"):
        raise UnusableInput(
            f'"{settings.photograph_table}" is not known', "photographs", "choose aside or inside"
        )
    wished_pictures(settings, study.folder if study is not None else ".")
    return settings


def mark_of(settings, folder):
    """The maker's mark as (entry of the title block, its bytes), or (None, None)."""
    path = mark_path(settings, folder)
    if path is None:
        return None, None
    return {"file": f"mark{path.suffix.lower()}", "alt": "The maker's mark"}, path.read_bytes()


def front_of(study, settings, subject):
    """What every document begins with: title, whose and by whom, the mark; nothing said yet.

    Parameters
    ----------
    study : Study
    settings : Settings
    subject : str
        What the document is, before who tested it and for whom.

    Returns
    -------
    Contents
        Its pictures are a dict of its own, with the maker's mark where there is one.
    """
    mark, mark_bytes = mark_of(settings, study.folder)
    parts = [
        subject,
        f"tested by {study.tested_by}" if study.tested_by else "",
        study.date,
        f"for {settings.customer}" if settings.customer else "",
    ]
    return Contents(
        title=study.title,
        subtitle=" · ".join(part for part in parts if part),
        maker=study.maker,
        sections=[],
        pictures={mark["file"]: mark_bytes} if mark else {},
        description="",
        foot="",
        label=INVENTED if study.invented else None,
        mark=mark,
        author=study.maker or study.tested_by,
        program=program_words(),
    )


def write_occasion(
    contents_at, folder, name, settings, *, kinds=KINDS, timestamp=None, progress=None
):
    """Write what an occasion says as of now, or of a `timestamp`.

    Parameters
    ----------
    contents_at : callable(day)
        Gives the Contents made on a day, as the document says it.
    folder : path-like
    name : str
        File name without its ending.
    settings : Settings
    kinds, timestamp, progress
        As in `write_document`.

    Returns
    -------
    list of Path
    """
    timestamp = timestamp or datetime.datetime.now(datetime.UTC).replace(microsecond=0)
    if progress is not None:
        progress(0, 1 + len(kinds))
    contents = contents_at(timestamp.date().isoformat())
    return write_document(
        contents, folder, name, kinds=kinds, paper=settings.paper, timestamp=timestamp,
        progress=progress,
    )  # fmt: skip


def program_words():
    """Name and version of the program."""
    try:
        return f"edgetest {version('edgetest')}"
    except PackageNotFoundError:
        return "edgetest, not installed"


def data_checksum(folder, photo_checksums=()):
    """SHA-256 of a study's own files and of its photographs' checksums, in a fixed order.

    A document with the same checksum was made from the same data. Line ends count.
    """
    total = hashlib.sha256()
    for name in _BESIDE_PHOTOS:
        path = Path(folder) / name
        if path.is_file():
            total.update(name.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    for checksum in sorted(photo_checksums):
        total.update(checksum.encode())
    return total.hexdigest()


def care_section(cautions, settings):
    """What the protocol warns of, and the maker's own words on care and on this document."""
    blocks = [bullets(cautions)] if cautions else []
    if settings.care:
        blocks.append(bullets(settings.care))
    if settings.note:
        blocks += [text("The maker adds:", lead=True), text(settings.note)]
    return section("Cautions and care" if settings.care else "Cautions", *blocks)


def made_section(rows, checksum, day):
    """How the numbers were made, so that they can be made again."""
    grouped = " ".join(checksum[k : k + 16] for k in range(0, len(checksum), 16))
    return section(
        "How it was computed",
        facts(
            [
                *rows,
                ("Program", program_words()),
                ("Data checksum", f"SHA-256 {grouped}"),
                ("Document made", day),
            ],
            small=True,
        ),
    )


def signature_section(settings):
    """Blanks for place and date, and for a name; nothing where none is wanted."""
    return [section(None, signature("Place and date", "Maker"))] if settings.signature else []
