"""How do codes take the place of a study's names, everywhere in its folder at once?"""

import re
import secrets
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.store.checking import parse_toml
from edgetest.store.files import csv_text, locked, write_atomic
from edgetest.store.history import HISTORY_FILE, keep_as_known
from edgetest.store.images import PICTURE_ENDINGS
from edgetest.store.kept_answers import forget_answers
from edgetest.store.records import STUDY_FILE, study_of
from edgetest.store.sealed_file import SEALED_FILE, write_sealed
from edgetest.store.shop_index import forget_index
from edgetest.store.toml_edit import edited
from edgetest.store.typed_drafts import TYPED_FOLDER
from edgetest.store.workspace import log_path
from edgetest.study.bench.blinding import KEY_FILE, is_sealed
from edgetest.study.bench.session_file import SESSION_FILE
from edgetest.study.bench.unsealing import names_entry
from edgetest.study.wear.saved_plan import log_to_come, may_be_written
from edgetest.study.words import counted
from edgetest.wear.plan.looks_plan import looks_table
from edgetest.wear.plan.run_order import blind_codes

# What of study.toml tells no blade from another; all else goes into the sealed file.
STAYS = ("title", "protocol", "invented", "reading", "limit", "maker", "tested_by", "date",
         "edge_width_from", "typed_scale_u", "scale", "scales", "woods", "chop_to",
         "document")  # fmt: skip
BENCH_SHEET = "bench_sheet.pdf"  # of a plan before: it shows names, and is printed anew
GOES = (STUDY_FILE, HISTORY_FILE, KEY_FILE, BENCH_SHEET, SEALED_FILE, "log.csv", "chops.csv")
SEALED_WORDS = "sealed under codes"
HEAD = """\
# The blades go by codes: their names lie in sealed_names.age, which only a word opens.
# `edgetest unseal` brings them back, with all that stood here before.

"""


def secret_seed():
    """The number of a draw that nobody can draw again, for an order that is to be sealed."""
    return secrets.randbits(64)


def seal_names(source, made, word):
    """Put the names of a study that was not begun into its sealed file, and codes in their place.

    Parameters
    ----------
    source : Source
    made : Plan or RunOrder
        Its order, drawn from `secret_seed()`: from a number that is known, the codes' blades
        could be told by their turns.
    word : str
        Kept by a second person.

    Returns
    -------
    runs : tuple of Run
        The order, codes in place of names, the heat treatment untold.
    files : list of Path
        What was written.

    Raises
    ------
    UnusableInput
        If the study is sealed or begun, a name stands where it would stay in the clear, or the
        word is too short. Nothing is changed then.
    """
    _can_be_sealed(source)
    folder, study = Path(source.path), source.study
    codes = _codes(study)
    runs = tuple(replace(run, blade=codes[run.blade], treatment="sealed") for run in made.runs)
    name, records = log_to_come(source, runs)
    log = csv_text(records).encode()
    with locked(folder):
        before = (folder / STUDY_FILE).read_text(encoding="utf-8")
        told = folder / HISTORY_FILE
        content = {
            "codes": codes,
            "study": before,
            "history": told.read_text(encoding="utf-8") if told.is_file() else "",
        }
        text = _study_text(study, runs, codes, getattr(made, "looks", None))
        study_of(parse_toml(text, STUDY_FILE), folder)
        _no_name_stays(folder, study, text)
        fingerprint = write_sealed(folder, content, word)
        text = text.replace('sealed = "yes"', f'sealed = "{fingerprint}"')
        # Until study.toml names codes the study is not sealed, and can be sealed again.
        write_atomic(folder / f"{name}.csv", log)
        keep_as_known(folder, name, log)
        for old in (folder / KEY_FILE, folder / BENCH_SHEET):
            old.unlink(missing_ok=True)
        shutil.rmtree(folder / TYPED_FOLDER, ignore_errors=True)
        write_atomic(folder / STUDY_FILE, text)
        _seal_history(folder, len(codes))
    forget_answers("plan")
    forget_index(folder.resolve().parent)
    return runs, [folder / STUDY_FILE, folder / SEALED_FILE, folder / f"{name}.csv"]


def _seal_history(folder, blades):
    """Leave in the history that names were sealed, and nothing of before."""
    words = f"{SEALED_WORDS}: {counted(blades, 'blade')}"
    write_atomic(folder / HISTORY_FILE, names_entry(words) + "\n")


def _finish_seal(folder, study):
    """Seal the history of a study that is sealed, where the program was ended before it could."""
    path = Path(folder) / HISTORY_FILE
    if not path.is_file() or SEALED_WORDS not in path.read_text(encoding="utf-8"):
        with locked(folder):
            _seal_history(Path(folder), len(study.blades))


def _can_be_sealed(source):
    """Refuse a study whose names it is too late to hide, or that hides them already."""
    where = str(source.path)
    if is_sealed(source.study):
        _finish_seal(source.path, source.study)
        raise UnusableInput("its names are sealed already", where, "go to the bench")
    if not may_be_written(source) or (Path(source.path) / SESSION_FILE).is_file():
        path = log_path(source.path, source.protocol.log)
        if path is not None and path.suffix == ".xlsx":
            raise UnusableInput("codes cannot be written into an XLSX log", path.name,
                                "save it as CSV and take the XLSX away")  # fmt: skip
        raise UnusableInput(
            "the test has begun under the blades' names: codes would blind nobody now",
            where,
            "go on without, or begin a new study of blades that nobody has cut yet",
        )


def _codes(study):
    """A code for each blade, drawn by lot from what nobody can draw again."""
    names = [blade.id for blade in study.blades]
    while True:
        codes = blind_codes(names, np.random.default_rng(secret_seed()))
        if not {code.casefold() for code in codes.values()} & {n.casefold() for n in names}:
            return codes


def _study_text(study, runs, codes, looks):
    """study.toml with codes, and nothing that tells one blade from another."""
    told = study.to_toml_dict()
    kept = {key: told[key] for key in STAYS if key in told}
    plan = {"sealed": "yes", "order": [[run.block, run.blade] for run in runs]}
    if looks is not None:
        plan["looks"] = looks_table(looks.looks)
    kept |= {"plan": plan, "blades": [{"id": code} for code in sorted(codes.values())]}
    return HEAD + edited("", {}, kept)


def _no_name_stays(folder, study, text):
    """Refuse to seal while a blade's name stands in a file that stays as it is."""
    named = [blade.id for blade in study.blades]
    named += [blade.title for blade in study.blades if blade.title]
    seen = re.compile(
        "|".join(rf"(?<!\w){re.escape(n)}(?!\w)" for n in named if len(n) > 1) or "$^"
    )
    for at, said in ((STUDY_FILE, text), *_staying(folder)):
        found = seen.search(said)
        if found:
            raise UnusableInput(
                f"the blade's name {found[0]} stands here and would stay readable",
                str(folder / at),
                "take it out, then seal",
            )


def _staying(folder):
    """Place and words of every file that sealing leaves as it is; of a picture its name alone."""
    for path in sorted(folder.rglob("*")):
        hidden = path.name.startswith(".") or path.parent.name == TYPED_FOLDER
        at = path.relative_to(folder).as_posix()
        if hidden or at in GOES or not path.is_file():
            continue
        yield at, path.stem.replace("_", " ")
        ending = path.suffix.lower().lstrip(".")
        if ending in ("pdf", "xlsx", "zip"):
            raise UnusableInput(
                "may show the blades' names",
                str(path),
                "take it out of the study's folder, then seal",
            )
        if ending not in PICTURE_ENDINGS:
            yield at, path.read_bytes().decode(errors="replace")
