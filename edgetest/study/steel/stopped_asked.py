"""Was a piece heated, ground or tried though its own row still stops it from fire?"""

from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import AS_BOUGHT
from edgetest.study.steel.row_kinds import spaced
from edgetest.study.steel.steel_rows import IN_EVIDENCE, FoundPiece, SteelRows


def stopped_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about heats, trials and sparks of pieces that are noted as coated, leaded or worse.

    Yields
    ------
    UnusableInput
        Told, not raised: one of sparks, a heat or a trial each, at its own place.
    """
    held = {piece.id: why for piece in rows.pieces if (why := _why(piece))}
    for k, piece in enumerate(rows.pieces, 1):
        if piece.id in held and piece.sparks is not None:
            where = f"{IN_EVIDENCE}, pieces {k} ({piece.id}), sparks"
            yield _asked("its sparks were made at the grinder", held[piece.id], where)
    told = (("heats", "it was in the fire", rows.heats), ("trials", "it was tried", rows.trials))
    for table, what, found in told:
        for k, row in enumerate(found, 1):
            piece_id = row.piece or rows.piece_names[0]
            bought = getattr(row, "medium", None) == AS_BOUGHT
            if row.blade is None and not bought and piece_id in held:
                where = f"{IN_EVIDENCE}, {table} {k}"
                yield _asked(f"{piece_id}: {what}", held[piece_id], where)


def _asked(what: str, why: str, where: str) -> UnusableInput:
    mend = (
        "if that was off or open by then, write so into the piece (coating=removed, lead=no, and "
        "so on); if not, stop: its fumes and dust poison, and a hollow bursts"
    )
    return UnusableInput(f"{what}, and the piece is noted as {why}", where, mend)


def _why(piece: FoundPiece) -> str:
    """What stops a piece from heat and grinding, in words; "" for nothing."""
    coated = piece.coating not in (None, "none", "removed")
    coating = "of unknown coating" if piece.coating == "unknown" else spaced(piece.coating or "")
    found = (
        coating if coated else "",
        f"lead {piece.lead}" if piece.lead in ("suspected", "yes") else "",
        "a closed hollow" if piece.closed_hollow else "",
        "a loaded spring" if piece.loaded_spring else "",
    )
    return " and ".join(filter(None, found))
