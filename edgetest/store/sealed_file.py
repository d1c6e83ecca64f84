"""How are names put away in a file that only a word opens?

The file is in the age format, version 1 (published at age-encryption.org/v1), with the key drawn
from the word by scrypt (C. Percival and S. Josefsson, RFC 7914, 2016, from memory): any program
that knows the format opens it with the word.
"""

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.files import write_atomic

SEALED_FILE = "sealed_names.age"
# One try takes about a second by design of the format, so eight letters drawn by lot take
# 26^8 s = 6,600 years; a word out of a dictionary takes a day. Reckoned, not tried.
SHORTEST_WORD = 8


def write_sealed(folder: str | Path, content: Mapping[str, Any], word: str) -> str:
    """Write what is to be kept secret into a study's sealed file.

    Parameters
    ----------
    folder : str or Path
        The study.
    content : mapping
        Plain values for JSON.
    word : str
        Opens the file again; blanks at its ends do not count.

    Returns
    -------
    str
        The file's fingerprint: the first 16 hexadecimal digits of its SHA-256.

    Raises
    ------
    UnusableInput
        If the word is too short.
    """
    from pyrage import passphrase

    said = _same_letters(word)
    if len(said) < SHORTEST_WORD:
        raise UnusableInput(
            f"the word has fewer than {SHORTEST_WORD} letters",
            "word",
            "take a longer one that nobody guesses, such as three words of no one sentence",
        )
    data = passphrase.encrypt(json.dumps(content, ensure_ascii=False).encode(), said)
    write_atomic(Path(folder) / SEALED_FILE, data)
    return _fingerprint(data)


def read_sealed(path: str | Path, word: str, fingerprint: str) -> dict[str, Any]:
    """What a sealed file holds.

    Raises
    ------
    UnusableInput
        If the file is not there, is not the one of this fingerprint, or the word is another.
    """
    from pyrage import DecryptError, passphrase

    path = Path(path)
    if not path.is_file():
        raise UnusableInput(
            "the file with the sealed names is not here",
            str(path),
            "put it back, or name it with --sealed; where it is lost for good, who tied the codes "
            "on the blades can write title and heat_treatment under each code in study.toml",
        )
    data = path.read_bytes()
    if _fingerprint(data) != fingerprint:
        raise UnusableInput(
            "the file with the sealed names is damaged, or belongs to another study",
            str(path),
            "take a copy from before; without one, who tied the codes on the blades can write "
            "title and heat_treatment under each code in study.toml",
        )
    try:
        content = json.loads(passphrase.decrypt(data, _same_letters(word)))
    except DecryptError:
        raise UnusableInput(
            "the word does not open the sealed names",
            str(path),
            "ask the person who keeps it; capitals, blanks between words and accents count",
        ) from None
    return dict(content)


def _same_letters(word: str) -> str:
    """The word however a keyboard composes its letters."""
    return unicodedata.normalize("NFC", word).strip()


def _fingerprint(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]
