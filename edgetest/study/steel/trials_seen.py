"""How do the trials of a study become plain observations: in their order, each once?"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.steel_seen import TrialSeen
from edgetest.steel.tried_blades import EDGED, LEAST_STROKES, no_fault_of_steel, tells_of_edge
from edgetest.store.days import day_as_meant
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.blade_heats import Home, home_of
from edgetest.study.steel.row_kinds import life_ratio_seen, spaced
from edgetest.study.steel.steel_rows import ONLY_COUPON, CouponTrial, SteelRows

# What is left to do after a run that was set aside, while no further run of the blade tells.
AGAIN = {
    "trial_hit": " Take the damage out and try the blade again on clean wood or rope.",
    "trial_poor_edge": " Sharpen it as the known blade is, and run it once more beside that.",
    "trial_broke_on": "",
}
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def trials_seen(
    rows: SteelRows, homes: dict[str, Home], lives: Iterable[TrialSeen]
) -> tuple[TrialSeen, ...]:
    """Trials as typed, each once, and the lives that the log tells of blades.

    Parameters
    ----------
    rows : SteelRows
    homes : dict of str to Home
        The blades of the unknown steel.
    lives : iterable of TrialSeen
        What the study's logs say of its blades against the reference blade.
    """
    told = [_trial(row, home_of(row, rows, homes)) for row in rows.trials]
    found = _by_day(list(dict.fromkeys(told)))
    for life in lives:
        same = [k for k, each in enumerate(found) if _of_one_blade(each, life)]
        if not same:
            found.append(life)
        elif found[same[0]].life_ratio is None:  # typed by hand and in the log: one trial
            found[same[0]] = replace(
                found[same[0]], life_ratio=life.life_ratio, life_ratio_log_u=life.life_ratio_log_u,
                strokes=found[same[0]].strokes or life.strokes,
            )  # fmt: skip
    return tuple(found)


def trials_told_twice(rows: SteelRows, homes: dict[str, Home]) -> Iterator[Doubt]:
    """A doubt for each trial that a row before it tells in the same words."""
    told: set[TrialSeen] = set()
    for row in rows.trials:
        trial = _trial(row, home_of(row, rows, homes))
        if trial in told:
            coupon = "" if trial.heat is None else f", {trial.heat[0]}, heat {trial.heat[1]}"
            at = Where(STUDY_FILE, value=f"{trial.piece}{coupon}")
            yield doubt("trial_told_twice", where=at, of=f"{trial.piece}{coupon}")
        told.add(trial)


def trials_too_short(trials: Iterable[TrialSeen]) -> Iterator[Doubt]:
    """A doubt for each trial of too few strokes, where no trial of that heat was of more."""
    trials = list(trials)
    told = {(one.piece, one.heat) for one in trials if one.trial == "chop" and tells_of_edge(one)}
    for trial in trials:
        if no_fault_of_steel(trial) or tells_of_edge(trial):
            continue
        if (trial.piece, trial.heat) not in told:
            who = _who(trial)
            made = f"{trial.strokes} stroke{'s' * (trial.strokes != 1)}"
            at = Where(STUDY_FILE, value=f"{trial.piece}, {who}")
            yield doubt("trial_too_short", where=at, who=who, made=made, least=LEAST_STROKES)


def trials_that_hit(trials: Iterable[TrialSeen]) -> Iterator[Doubt]:
    """A doubt for each trial that something beside the steel spoilt, as the maker wrote it."""
    trials = list(trials)
    for k, trial in enumerate(trials):
        told = tells_of_edge(trial)
        aside = trial.made_for or trial.old_crack
        if aside or (not trial.hit and (told or not trial.poor_edge)):
            continue
        code = "trial_poor_edge" if not trial.hit else "trial_broke_on" if told else "trial_hit"
        of = trial.piece, trial.heat
        since = any(tells_of_edge(t) for t in trials[k + 1 :] if (t.piece, t.heat) == of)
        again = "" if since and trial.heat else AGAIN[code]
        at = Where(STUDY_FILE, value=f"{trial.piece}, {_who(trial)}")
        yield doubt(code, where=at, who=_who(trial), edge=spaced(trial.edge or ""), hit=trial.hit,
                    poor_edge=trial.poor_edge, again=again)  # fmt: skip


def for_the_use(trials: Iterable[TrialSeen], use: str | None) -> tuple[TrialSeen, ...]:
    """The trials of a study, those of blades for another use than its own marked as such.

    A coupon that is bent or pressed is made for none.
    """
    return tuple(
        replace(one, made_for="") if use in (None, one.made_for) or one.trial not in EDGED else one
        for one in trials
    )


def trials_of_another_use(trials: Iterable[TrialSeen]) -> Iterator[Doubt]:
    """A doubt for each trial of a blade that was made for another use."""
    for trial in trials:
        if trial.made_for:
            at = Where(STUDY_FILE, value=f"{trial.piece}, {_who(trial)}")
            yield doubt("trial_other_use", where=at, who=_who(trial), use=spaced(trial.made_for))


def _who(trial: TrialSeen) -> str:
    return "a blade" if trial.heat is None else f"{trial.heat[0]}, heat {trial.heat[1]}"


def _by_day(trials: list[TrialSeen]) -> list[TrialSeen]:
    """Trials in the order of their days; one without a day stays where it stands in the file."""
    dated = iter(sorted((one for one in trials if DAY.fullmatch(one.day)), key=lambda one: one.day))
    return [next(dated) if DAY.fullmatch(one.day) else one for one in trials]


def _trial(row: CouponTrial, home: Home) -> TrialSeen:
    """One trial as typed."""
    typed = row.life_ratio
    ratio, log_u = (None, None) if typed is None else life_ratio_seen(typed)
    coupon = row.blade or row.coupon or (ONLY_COUPON if row.heat else None)
    packed = home.carburised if row.carburised is None else row.carburised
    heat = (coupon, row.heat or 1) if coupon else None
    return TrialSeen(
        home.piece, row.test, row.result, row.edge, ratio, log_u, heat, packed, row.note,
        "" if typed is None else str(typed), row.beside, day_as_meant(row.day), row.temper_c,
        row.strokes, row.hit, row.poor_edge, row.use or "",
    )  # fmt: skip


def _of_one_blade(one: TrialSeen, other: TrialSeen) -> bool:
    return (one.piece, one.trial, one.heat) == (other.piece, other.trial, other.heat)
