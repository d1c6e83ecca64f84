"""How do the rows of a study become plain observations, each coupon and heat counted once?"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import (
    AS_BOUGHT,
    HardnessSeen,
    HeatSeen,
    PieceSeen,
    SteelSeen,
    TemperSeen,
    TrialSeen,
)
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.steel.blade_heats import Home, blade_homes, heats_of_blades, home_of, homeless
from edgetest.study.steel.cooler_tempers import cooler_after_hotter, short_tempers
from edgetest.study.steel.known_beside import as_shown_beside
from edgetest.study.steel.lost_coupons import (
    lost_doubts,
    lost_unread,
    said_lost,
    without_heats,
)
from edgetest.study.steel.lots_by_kind import lots_by_kind, lots_of_several_kinds
from edgetest.study.steel.noted_cracks import said_cracked
from edgetest.study.steel.numbered_heats import heat_numbers
from edgetest.study.steel.old_cracks import broken_at_old_cracks, trials_at_old_cracks
from edgetest.study.steel.row_kinds import hardness_seen, spaced
from edgetest.study.steel.steel_rows import (
    IN_EVIDENCE,
    ONLY_COUPON,
    CouponHeat,
    CouponTemper,
    SteelRows,
    VerdictWishes,
)
from edgetest.study.steel.trials_seen import (
    for_the_use,
    trials_of_another_use,
    trials_seen,
    trials_that_hit,
    trials_told_twice,
    trials_too_short,
)

_AS_FOUND = (
    "id", "origin", "lot", "makes_blades", "thickness_mm", "coating", "lead", "closed_hollow",
    "loaded_spring", "magnet", "sparks", "stream", "forging", "fracture", "carbon_pct",
    "carbon_u_pct",
)  # fmt: skip
_OF_HEAT = (
    "medium", "medium_c", "heat_c", "colour", "magnet", "soak_min", "cycles", "section_mm",
    "grain", "fracture", "cracked",
)  # fmt: skip
_Key = tuple[str, str, int]  # piece, coupon, heat


@dataclass(frozen=True)
class SeenOfStudy:
    """The observations of a study, where its blades belong, and what was noticed on the way.

    `noted` is all that was written down; `seen` what of it tells of the steel as the maker quenches
    it, without stock that was hardened before, kinds of part in lots of their own.
    """

    seen: SteelSeen
    noted: SteelSeen
    homes: dict[str, Home]
    doubts: tuple[Doubt, ...] = ()


def steel_seen_of(
    rows: SteelRows,
    wishes: VerdictWishes,
    *,
    study: Study | None = None,
    lives: tuple[TrialSeen, ...] = (),
) -> SeenOfStudy:
    """Everything written down of a steel as the numerical room takes it.

    Parameters
    ----------
    rows, wishes
        `[evidence]` and `[verdict]`.
    study : Study, optional
        Its blades and their heat treatments are read too.
    lives : tuple of TrialSeen
        What the study's logs say of its blades against the reference blade.

    Raises
    ------
    UnusableInput
        Where two rows of one coupon and heat contradict each other in what was done, or a row
        names a blade that is of no piece.
    """
    homes = blade_homes(study, rows.piece_names) if study else {}
    heats = _Heats(rows, homes)
    for heat in heats_of_blades(study, homes) if study else ():
        heats.fill(heat)
    heats.add_rows()
    for temper in rows.tempers:
        heats.temper(temper)
    in_turn = _by_number(heats.found.values())
    trials = for_the_use(trials_seen(rows, homes, lives), wishes.use)
    trials = broken_at_old_cracks(trials, in_turn)
    noted = SteelSeen(wishes.use, _pieces(rows), in_turn, trials, wishes.hardness_hrc)
    doubts = [
        *heats.doubts,
        *trials_told_twice(rows, homes),
        *trials_too_short(trials),
        *trials_that_hit(trials),
        *trials_of_another_use(trials),
        *trials_at_old_cracks(trials),
        *cooler_after_hotter(in_turn),
        *short_tempers(in_turn),
        *hardened_before(in_turn),
        *lost_doubts(lost := lost_unread(noted, heats.said_lost)),
    ]
    doubts += lots_of_several_kinds(noted.pieces)
    if study and (left := homeless(study, homes)):
        names = ", ".join(left)
        at = Where(STUDY_FILE, blade=names)
        doubts.append(doubt("blade_without_piece", where=at, blades=names))
    pieces = as_shown_beside(lots_by_kind(noted.pieces), rows)
    seen = replace(without_heats(noted.own_quenches(), lost), pieces=pieces)
    return SeenOfStudy(seen, noted, homes, tuple(doubts))


def hardened_before(heats: Iterable[HeatSeen]) -> Iterator[Doubt]:
    """A doubt for each coupon or blade of stock that somebody else hardened: it does not count."""
    for heat in heats:
        if heat.medium == AS_BOUGHT:
            who = f"{heat.coupon}, heat {heat.heat},"
            at = Where(STUDY_FILE, value=f"{heat.piece}, {heat.coupon}, heat {heat.heat}")
            yield doubt("hardened_before", where=at, who=who)


def _by_number(heats: Iterable[HeatSeen]) -> tuple[HeatSeen, ...]:
    """Heats where they were written down, those of one coupon in the order of their numbers."""
    told = list(heats)
    left: dict[tuple[str, str], list[HeatSeen]] = {(one.piece, one.coupon): [] for one in told}
    for one in sorted(told, key=lambda one: one.heat, reverse=True):
        left[one.piece, one.coupon].append(one)
    return tuple(left[one.piece, one.coupon].pop() for one in told)


def _pieces(rows: SteelRows) -> tuple[PieceSeen, ...]:
    """The pieces as found; the unnamed one where rows speak of it alone."""
    if not rows.pieces:
        return () if rows.empty else (PieceSeen(rows.piece_names[0]),)
    return tuple(
        PieceSeen(
            **{name: getattr(piece, name) for name in _AS_FOUND},
            hardness=_hardness(piece, rows),
            cracked=said_cracked(piece.note),
        )
        for piece in rows.pieces
    )


def _hardness(row, rows: SteelRows) -> tuple[HardnessSeen, ...]:
    """A row's readings, each with the place it was read at; none where they are left out."""
    if row.exclude.strip():
        return ()
    return tuple(
        reading
        for name, where in (
            ("hardness_skin", "skin"),
            ("hardness_below", "below"),
            ("hardness", "not_stated"),
        )
        for reading in hardness_seen(
            getattr(row, name),
            where,
            scale=row.scale,
            files_hrc=rows.files_hrc,
            tester_u_hrc=rows.tester_u_hrc,
        )
    )


class _Heats:
    """Heats by piece, coupon and number, as rows and blades add to them."""

    def __init__(self, rows: SteelRows, homes: dict[str, Home]):
        self.rows, self.homes = rows, homes
        self.found: dict[_Key, HeatSeen] = {}
        self.doubts: list[Doubt] = []
        self.said_lost: set[_Key] = set()
        self._of_blades: set[_Key] = set()
        self._of_treatment: dict[_Key, tuple[TemperSeen, ...]] = {}

    def fill(self, heat: HeatSeen) -> None:
        """What a blade's heat treatment tells; a row of the same blade says it better."""
        key = (heat.piece, heat.coupon, heat.heat)
        self.found[key] = heat
        self._of_blades.add(key)
        self._of_treatment[key] = heat.tempers

    def add_rows(self) -> None:
        """The rows of heats, each by its number."""
        of = [self._place(row)[:2] for row in self.rows.heats]
        began: dict[tuple[str, str], int] = {}  # by coupons that bear the name of a blade
        for piece, coupon, heat in self.found:
            began[piece, coupon] = max(began.get((piece, coupon), 0), heat)
        numbers = heat_numbers([row.model_dump() for row in self.rows.heats], of, began)
        for row, number in zip(self.rows.heats, numbers, strict=True):
            self._add(row, number)

    def _add(self, row: CouponHeat, number: int) -> None:
        """One row of a heat: a new heat, or more on one that stands there already."""
        piece, coupon, home = self._place(row)
        heat = HeatSeen(
            piece, coupon, number,
            **{name: getattr(row, name) for name in _OF_HEAT},
            hardness=_hardness(row, self.rows), count=row.count, blade=row.blade,
            carburised=home.carburised if row.carburised is None else row.carburised,
        )  # fmt: skip
        key = (piece, coupon, heat.heat)
        self.said_lost |= {key} if said_lost(row.note) else set()
        there = self.found.get(key)
        if there is None:
            self.found[key] = heat
        elif key in self._of_blades:
            self._of_blades.discard(key)
            self.found[key] = _filled_from(heat, there)
        else:
            self.found[key] = _joined(there, heat)
            self._twice(key)

    def temper(self, row: CouponTemper) -> None:
        """A temper put to its heat: the one it names, else the last of the only coupon."""
        piece, coupon, _ = self._place(row)
        coupons = list(dict.fromkeys(key[1] for key in self.found if key[0] == piece))
        if row.coupon is None and row.blade is None and len(coupons) == 1:
            coupon = coupons[0]
        key = (piece, coupon, row.heat or self._heat_tempered(piece, coupon))
        self._guessed(row, key)
        temper = TemperSeen(
            row.temperature_c, row.time_min, row.repeats,
            _hardness(row, self.rows), row.for_use,
        )  # fmt: skip
        heat = self.found.get(key) or HeatSeen(*key, blade=row.blade)
        if not heat.tempers and key not in self.found:
            at = Where(STUDY_FILE, value=f"{piece}, {coupon}")
            self.doubts.append(doubt("temper_without_quench", where=at, piece=piece, coupon=coupon))
        if temper in heat.tempers:
            self._twice(key)
            return
        of_treatment = self._of_treatment.get(key, ())
        for k, told in enumerate(heat.tempers):
            if told in of_treatment and _one_temper(told, temper):
                both = (*heat.tempers[:k], _told_by_both(told, temper), *heat.tempers[k + 1 :])
                self.found[key] = replace(heat, tempers=both)
                return
        self.found[key] = replace(heat, tempers=(*heat.tempers, temper))

    def _guessed(self, row: CouponTemper, key: _Key) -> None:
        """Doubt of which heat a temper is, where it names none and its coupon had several."""
        piece, coupon, heat = key
        several = len(self._of_coupon(piece, coupon)) > 1
        if row.heat is None and several and not self._numbered(piece, coupon):
            at = Where(STUDY_FILE, value=f"{piece}, {coupon}, {heat}")
            code = "temper_of_which_heat"
            self.doubts.append(doubt(code, where=at, piece=piece, coupon=coupon, heat=heat))

    def _heat_tempered(self, piece: str, coupon: str) -> int:
        """The heat of a temper that names none: the last, but of a blade that was tried the tried.

        What was tried was tempered before; a blade hardened again since has an old temper no more.
        Where another row is of the last heat by its number, one without is older, and of the first.
        """
        own = self._of_coupon(piece, coupon)
        tried = {
            row.heat or 1
            for row in self.rows.trials
            if home_of(row, self.rows, self.homes).piece == piece
            and (row.blade or row.coupon) == coupon
        }
        numbered, every = self._numbered(piece, coupon), {heat.heat for heat in own}
        if max(every, default=0) in numbered:
            return min(every - numbered, default=max(numbered))
        bare = [heat.heat for heat in own if heat.heat in tried and not heat.tempers]
        return min(bare, default=max((heat.heat for heat in own), default=1))

    def _numbered(self, piece: str, coupon: str) -> set[int]:
        """The heats of a coupon that its tempers name by their numbers."""
        own = (row for row in self.rows.tempers if self._place(row)[:2] == (piece, coupon))
        return {row.heat for row in own if row.heat}

    def _place(self, row: CouponHeat | CouponTemper) -> tuple[str, str, Home]:
        home = home_of(row, self.rows, self.homes)
        return home.piece, row.blade or row.coupon or ONLY_COUPON, home

    def _of_coupon(self, piece: str, coupon: str) -> list[HeatSeen]:
        return [heat for key, heat in self.found.items() if key[:2] == (piece, coupon)]

    def _twice(self, key: _Key) -> None:
        piece, coupon, heat = key
        at = Where(STUDY_FILE, value=f"{piece}, {coupon}, {heat}")
        self.doubts.append(
            doubt("entered_twice", where=at, piece=piece, coupon=coupon, heat=heat)
        )  # fmt: skip


def _one_temper(told: TemperSeen, row: TemperSeen) -> bool:
    """Whether a row may be the temper that the blade's heat treatment tells: no figure differs."""
    at = (told.temperature_c, row.temperature_c), (told.time_min, row.time_min)
    times = row.repeats in (1, told.repeats)  # 1 stands where nobody wrote how often
    return times and all(None in pair or pair[0] == pair[1] for pair in at)


def _told_by_both(told: TemperSeen, row: TemperSeen) -> TemperSeen:
    """One temper of what the heat treatment and a row tell of it; each reading once."""
    return TemperSeen(
        row.temperature_c if told.temperature_c is None else told.temperature_c,
        row.time_min if told.time_min is None else told.time_min,
        told.repeats,
        tuple(dict.fromkeys((*told.hardness, *row.hardness))),
        told.for_use or row.for_use,
    )


def _filled_from(heat: HeatSeen, other: HeatSeen) -> HeatSeen:
    """A heat with its blanks filled from another telling of it."""
    blanks = {name: getattr(other, name) for name in _OF_HEAT if getattr(heat, name) is None}
    tempers = (*heat.tempers, *(each for each in other.tempers if each not in heat.tempers))
    return replace(heat, **blanks, tempers=tempers)


def _joined(one: HeatSeen, other: HeatSeen) -> HeatSeen:
    """Two rows of one heat as one: what was done must agree, readings are kept once."""
    for name in _OF_HEAT:
        first, second = getattr(one, name), getattr(other, name)
        if first is not None and second is not None and first != second:
            raise UnusableInput(
                f"coupon {one.coupon} of piece {one.piece}, heat {one.heat}, stands twice with "
                f"{spaced(name)} {spaced(str(first))} and {spaced(str(second))}",
                f"{IN_EVIDENCE}, heats",
                f"give the second its own heat = {one.heat + 1}, or coupon = its own name",
            )
    more = tuple(each for each in other.hardness if each not in one.hardness)
    return _filled_from(replace(one, hardness=(*one.hardness, *more)), other)
