"""Which rows of a study's logs still wait for their reading?"""

from collections import Counter

from edgetest.study.bench.session_file import read_session


def rows_to_fill(source):
    """The rows that are still to be filled in.

    One that was left out with a reason waits for nothing, nor does one that names a photograph,
    that was let go at the bench with its stage or its run, or that holds a remark of the bench
    alone, between two stages or beside the rows of one.

    Parameters
    ----------
    source : Source

    Returns
    -------
    list of LogRow or ChopRow
    """
    open_ = [row for row in source.log.rows if _open(row)]
    if open_:
        session, remarks = read_session(source.path), _remark_lines(source, open_)
        open_ = [row for row in open_ if not (row.line in remarks or session.let_go(row))]
    return [*open_, *(row for row in (source.chops.rows if source.chops else ()) if _open(row))]


def _open(row):
    return row.waiting and not (row.photo or row.exclude)


def _remark_lines(source, open_):
    """Lines of the rows that are no place of a stage: the bench put a note or a mishap there."""
    noted = [
        row for row in open_
        if (row.note or row.mishap) and row.station_mm is None and row.check_no is None
    ]  # fmt: skip
    if not noted:
        return set()
    rows = Counter(_stage(row) for row in source.log.rows)
    alone = Counter(_stage(row) for row in noted)
    stages = source.protocol.stages if source.protocol else ()
    return {
        row.line for row in noted
        if row.cuts not in stages or rows[_stage(row)] > alone[_stage(row)]
    }  # fmt: skip


def _stage(row):
    return row.block, row.blade, row.cuts
