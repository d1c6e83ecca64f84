"""For which pieces of its lot does a verdict hold, and what is said of the others?"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from edgetest.steel.blades_left import blades_stood
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.tried_blades import EDGED, blade_stood, tells_of_edge
from edgetest.steel.worth_testing import why_bought
from edgetest.study.words import listed

ITS_OWN = ("safety_stop",)  # what stands in the way of a piece holds, whatever its sisters showed
UNFIT = "What was seen of it does not fit together"
OF_SEVERAL = UNFIT.replace("of it", "of them")
LOOKS = ("look_at_coating",)


def as_each_says(verdicts: Sequence, seen: SteelSeen) -> list:
    """Verdicts on all pieces, each told of those sisters alone of which the same comes out.

    Parameters
    ----------
    verdicts : sequence of PieceVerdict
        That "Reuse it" may be told of a lot whose coupons came out alike.
    seen : SteelSeen
    """
    lots = {piece.id: piece.lot for piece in seen.pieces}
    used = _to_be_used(verdicts)
    return [
        replace(one, decision=replace(one.decision, about=_about(one.piece, lots, used)))
        if one.decision.action == "reuse" and one.decision.about != f"piece {one.piece}"
        else one
        for one in verdicts
    ]  # fmt: skip


def _to_be_used(verdicts) -> set:
    """Pieces that are to be used, where nothing of their own stands in the way."""
    return {
        one.piece for one in verdicts
        if one.decision.action == "reuse" and not _stands_by_itself(one.decision)
    }  # fmt: skip


def _about(piece, lots, used) -> str:
    """The piece with its sisters that are used too, in words."""
    whole = [name for name, lot in lots.items() if lot == lots[piece]]
    meant = [name for name in whole if name == piece or name in used]
    if len(meant) == 1:
        return f"piece {piece}"
    if meant == whole:
        return f"lot {lots[piece]}"
    return f"pieces {listed(meant)} of lot {lots[piece]}"


def sisters_of(result) -> list[str]:
    """The other pieces of the lot of the one asked about."""
    about = result.seen.asked(result.asked.piece)
    if about is None or about.lot is None:
        return []
    return [one.id for one in result.seen.pieces if one.lot == about.lot and one.id != about.id]


def covered(result) -> list[str]:
    """Sisters for which the verdict holds too: of each by itself the same comes out.

    Parameters
    ----------
    result : SteelResult
    """
    decision = result.asked.decision
    if decision.action != "reuse" or decision.about == f"piece {result.asked.piece}":
        return []
    own = _to_be_used(result.others)
    return [name for name in sisters_of(result) if name in _quenched(result) and name in own]


def holds_words(result) -> str:
    """For which pieces of the lot the verdict holds; "" where there is one, or nothing was done."""
    asked, sisters, quenched = result.asked.piece, sisters_of(result), _quenched(result)
    if not sisters or asked not in quenched or not result.begun:
        return ""
    alike, said = covered(result), {one.piece: one.decision.title for one in result.others}
    if all(said.get(name) == result.asked.decision.title for name in sisters):
        return ""  # each has the same answer of its own
    if alike:
        found = f"This holds for {listed([asked, *alike])}: a blade of each stood."
    else:
        found = f"This holds for {asked} alone."
    found += _untried_words(result, [n for n in sisters if n in quenched and n not in alike])
    return found + _unread_words(result, [name for name in sisters if name not in quenched])


def _unread_words(result, sisters) -> str:
    """Of the sisters without a reading after a quench: which were quenched, and which never."""
    hot = {heat.piece for heat in result.seen.heats if not heat.carburised}
    told = ""
    for names, words in (
        ([name for name in sisters if name not in hot], "quenched a coupon"),
        ([name for name in sisters if name in hot], "read a quenched coupon"),
    ):
        if names:
            told += f" Of {listed(names)}, of the same lot, nobody has {words} yet."
    return told


def _untried_words(result, sisters) -> str:
    """Of which sisters no blade stood, or one and two must, where the piece asked for is used."""
    if result.asked.decision.action != "reuse":
        return ""
    untried = [name for name in sisters if not _stood(result, name)]
    asked = {one.piece for one in result.others if one.decision.way == "trial_blade"}
    again = [n for n in sisters if n in asked and blades_stood(result.seen, n) == 1]
    told = f" Of {listed(untried)} no blade stood yet." if untried else ""
    if again:
        each = " each" * (len(again) > 1)
        told += f" Of {listed(again)} one{each} stood, and one more{each} is asked for."
    return told


def others_words(result) -> list[str]:
    """The verdicts on the other pieces, those of one verdict together; for which this one holds.

    A sister for which the verdict holds has no second answer.
    """
    alike = covered(result)
    told = (
        (one.piece, f"{title_behind_name(one)}.{_bought(one.decision)}{_unmended(one.decision)}")
        for one in result.others if one.piece not in alike
    )  # fmt: skip
    first = (holds_words(result), above_words(result))
    said = _why_unmended(result.asked.decision) if result.asked.decision.unmended else ""
    return [*filter(None, first), *_why_once(pieces_together(told), said)]


def title_behind_name(one) -> str:
    """The step of a piece whose name stands before it."""
    return one.decision.title.replace(f" (piece {one.piece})", "", 1)


def above_words(result) -> str:
    """Why untried pieces have a better chance than a sister of which a blade stood, else ""."""
    own, sisters = result.asked.piece, sisters_of(result)
    lot = [result.asked, *(one for one in result.others if one.piece in sisters)]
    proven = [
        one for one in lot if one.decision.action == "reuse"
        and one.decision.chance_told is not None and _gave_out_too(result, one.piece)
    ]  # fmt: skip
    for held in proven:
        above = [
            one.piece for one in lot
            if (one.decision.chance_told or 0.0) > held.decision.chance_told
            and not _stood(result, one.piece)
        ]  # fmt: skip
        if above and own in (held.piece, *above):
            return (
                f"The chance of {listed(above)}, of which no blade was tried, is no lower than "
                f"that of {held.piece}: a blade of {held.piece} gave out before one stood, and "
                "that counts against it more than against its sisters."
            )
    return ""


def _gave_out_too(result, piece) -> bool:
    """Whether some blade of a piece gave out in a trial."""
    own = (one for one in result.seen.trials if one.piece == piece and one.trial in EDGED)
    return not all(blade_stood(one) for one in own if tells_of_edge(one))


def _stood(result, piece) -> bool:
    """Whether a blade of a piece stood; a coupon that was pressed or bent is none."""
    own = (one for one in result.seen.trials if one.piece == piece and one.trial in EDGED)
    return any(map(blade_stood, own))


def pieces_together(told: Iterable[tuple[str | None, str]]) -> list[str]:
    """What is told of pieces, as (piece, words), a line for each thing told with all its pieces."""
    pieces: dict[str, list[str]] = {}
    for piece, words in told:
        pieces.setdefault(words, []).append(str(piece))
    return [
        f"Pieces {listed(named)}: {words.replace('; its toughness', '; their toughness')}"
        if len(named) > 1 else f"Piece {named[0]}: {words}"
        for words, named in pieces.items()
    ]  # fmt: skip


def _bought(decision) -> str:
    """Why known steel is bought for it; "" where it is not."""
    return f" {why_bought(decision.reasons[0])}" if decision.action == "buy_known" else ""


def _unmended(decision) -> str:
    """That what was seen of a piece breaks a rule, and which first; "" where it does not."""
    return f" {UNFIT} ({_why_unmended(decision)})." if decision.unmended else ""


def _why_unmended(decision) -> str:
    """The first rule that what was seen of a piece breaks."""
    broken = decision.unmended[0]
    why = broken.doubt.text.removesuffix(broken.cure).partition(". ")[0].rstrip(" .")
    return f"{why[:1].lower()}{why[1:]}"


def _why_once(lines: Iterable[str], said: str) -> list[str]:
    """Lines on pieces, in which a rule that was told before them or among them is not told again.

    Parameters
    ----------
    lines : iterable of str
    said : str
        The rule that the piece asked about breaks; "" for none.
    """
    told, found = {said}, []
    for line in lines:
        start, unfit, why = line.partition(f" {UNFIT} (")
        found.append(f"{start} {UNFIT} either." if unfit and why[:-2] in told else line)
        told.add(why[:-2])
    return [one.replace(UNFIT, OF_SEVERAL) if one.startswith("Pieces ") else one for one in found]


def _stands_by_itself(decision) -> bool:
    """Whether something of the piece itself comes first: a coat, lead, or what does not fit."""
    return decision.action in ITS_OWN or decision.way in LOOKS or bool(decision.unmended)


def _quenched(result) -> set[str]:
    """Pieces of which a coupon was quenched and read, as they are."""
    heats = result.seen.heats
    return {heat.piece for heat in heats if heat.hardness and not heat.carburised}
