"""Which rows of a study's logs still wait for their reading?"""

from edgetest.study.bench.session_file import read_session


def rows_to_fill(source):
    """The rows that are still to be filled in.

    One that was left out with a reason waits for nothing, nor does one that names a photograph, or
    that was let go at the bench with its stage or its run.

    Parameters
    ----------
    source : Source

    Returns
    -------
    list of LogRow or ChopRow
    """
    open_ = [row for row in source.log.rows if _open(row)]
    if open_:
        session = read_session(source.path)
        open_ = [row for row in open_ if not session.let_go(row)]
    return [*open_, *(row for row in (source.chops.rows if source.chops else ()) if _open(row))]


def _open(row):
    return row.waiting and not (row.photo or row.exclude)
