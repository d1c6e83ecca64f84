"""How is a workspace's memory brought up to date, searched and pooled?"""

from edgetest.store.shop_index import found_by_words, indexed_studies
from edgetest.study.shop.shop_book import shop_book
from edgetest.study.shop.study_lives import StudyLives, lives_of_study


def remembered_studies(root, *, read=True, progress=None):
    """All studies of a folder as the shop remembers them.

    Parameters
    ----------
    root : str or Path
    read : bool
        Read the studies that changed; else as they were read before.
    progress : callable(done, total), optional

    Returns
    -------
    tuple of StudyLives

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    return _found(root, (), read, progress)


def book_of(root, words=(), results=(), *, invented=False, level=0.95, read=True,
            progress=None):  # fmt: skip
    """The book of a workspace's studies, of those alone whose facts hold all the words.

    Parameters
    ----------
    root : str or Path
        Folder of the studies.
    words : sequence of str
        Of title, maker, steel, heat treatment, blade, protocol, notes or date.
    results : sequence of KnownResult
        Of tests whose logs are gone.
    invented : bool
        Take studies of invented data too.
    level : float
    read : bool
        Read the studies that changed; else the book is of what was read before.
    progress : callable(done, total), optional
        Of the studies that changed and have to be read.

    Returns
    -------
    (ShopBook, tuple of StudyLives)
        And the studies that were found.

    Raises
    ------
    UnusableInput
        If there is no such folder.
    """
    studies = _found(root, words, read, progress)
    return shop_book(studies, results, invented=invented, level=level), studies


def _found(root, words, read, progress):
    """Studies whose facts hold all the words, as they are now or as they were read before."""
    if not read:
        found = found_by_words(root, words)
    else:  # in one look: an index that is gone between two would know nothing
        found = indexed_studies(
            root, lambda folder: lives_of_study(folder).to_dict(), words, progress=progress
        )
    return tuple(StudyLives.from_dict(values) for values in found)
