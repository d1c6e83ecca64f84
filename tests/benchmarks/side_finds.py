"""How do the finds of a side view answer to its truth? What was found, missed, invented, told."""

from dataclasses import dataclass, field, replace

import numpy as np

# Normal quantile of a two-sided interval of 95 %.
NORMAL_95 = 1.959964
# Where an edge ends in a round nose, its end is known to about the nose's radius, px.
ROUND_PX = 24.0
# An edge measured on less than this share of its length is short.
WHOLE_SHARE = 0.95
# Words of a doubt that say why a find of something foreign may be none.
CAUSES = {
    "dust": ("dust", "speck", "fibre", "hair", "lint", "wipe"),
    "fibre": ("dust", "speck", "fibre", "hair", "lint", "wipe"),
    "drop": ("drop", "water", "wet", "dust", "speck", "wipe"),
    "glint": ("glint", "shin", "bright", "light"),
    "second body": ("second", "another", "other", "body", "two"),
    "front": ("bright", "light", "shin", "glint"),
    "bands": ("shadow", "light", "uneven"),
    "uneven": ("light", "uneven"),
    "tip": ("end", "tip"),
    "heel": ("end", "heel"),
    "rough": ("rough", "grinding", "scratch"),
    "blurred": ("blur", "focus", "soft"),
    "hooked": ("hook", "fold", "overhang", "undercut"),
    "folds": ("fold", "bright", "light"),
}


@dataclass(frozen=True)
class Find:
    """A damage as the command tells it, µm."""

    kind: str
    position: float
    length: float
    depth: float
    low: float
    high: float


@dataclass
class Score:
    """Counts of one kind of picture."""

    pictures: int = 0
    refused: int = 0
    truths: int = 0
    found: int = 0
    clear: int = 0
    clear_found: int = 0
    reported: int = 0
    matched: int = 0
    false_untold: int = 0
    false_told: int = 0
    scratches: int = 0
    split: int = 0
    sure: int = 0
    kind_right: int = 0
    errors: list = field(default_factory=list)
    covered: list = field(default_factory=list)
    short_untold: int = 0
    untrue: int = 0
    shares: list = field(default_factory=list)
    ms: list = field(default_factory=list)
    faults: int = 0


def finds_of(result):
    """All finds of a result's dictionary, from left to right."""
    found = {}
    for key in ("chips", "rolls", "unsure", "dust", "specks", "finds"):
        for item in result.get(key) or ():
            if isinstance(item, dict) and "position_um" in item:
                find = _find(item, key)
                found[(round(find.position, 3), round(find.depth, 3))] = find
    return sorted(found.values(), key=lambda find: find.position)


def _find(item, key):
    """A find, wherever its interval stands."""
    kind = item.get("kind") or {"chips": "chip", "rolls": "roll", "specks": "dust"}.get(key, key)
    depth = item["depth_um"]
    if isinstance(depth, dict):
        value, low, high = (depth[name] for name in ("value", "low", "high"))
    else:
        value, half = depth, NORMAL_95 * (item.get("depth_u_um") or 0.0)
        low = item.get("depth_low_um", item.get("low_um", value - half))
        high = item.get("depth_high_um", item.get("high_um", value + half))
    length = item.get("length_um") or 0.0
    length = length["value"] if isinstance(length, dict) else length
    return Find(kind, item["position_um"], length, value, low, high)


def matches(view, finds, told_um):
    """Pairs of a true harm's and a find's number, and the offset of positions that gave them.

    Where less than the whole edge was measured (``told_um``), it may begin later than the true one.
    """
    near = ROUND_PX * view.um_per_px + 0.01 * view.length_um
    late = max(view.length_um - told_um, 0.0) + near
    steps = {0.0} | {h.position_um - f.position for h in view.harms for f in finds}
    best, best_step = [], 0.0
    for step in sorted(steps, key=abs):
        laid = _laid(view, finds, step) if -near <= step <= late else []
        if len(laid) > len(best):
            best, best_step = laid, step
    return best, best_step


def beginning(view, result):
    """How far into the picture's edge the measured edge begins, µm by the user's scale.

    It begins later where damage at the border was left out; positions count from there.
    """
    if result.get("status") != "measured":
        return 0.0
    true = view.um_per_px / view.told_um_per_px
    finds = [
        replace(find, position=find.position * true)
        for find in finds_of(result)
        if find.kind != "dust"
    ]
    return matches(view, finds, result["edge_length_um"] * true)[1] / true


def _laid(view, finds, step):
    """Nearest first: true harms and finds that lie on each other."""
    px = view.um_per_px
    gaps = sorted(
        (not _of_its_kind(harm, find), abs(harm.position_um - find.position - step), i, j)
        for i, harm in enumerate(view.harms)
        for j, find in enumerate(finds)
        if abs(harm.position_um - find.position - step) < 0.5 * harm.length_um + 4 * px
    )
    laid, used, taken = [], set(), set()
    for _, _, i, j in gaps:
        if i not in used and j not in taken:
            used.add(i)
            taken.add(j)
            laid.append((i, j))
    return laid


def score_picture(score, kind, view, result, ms):
    """Add one picture's answer to the counts of its kind."""
    score.pictures += 1
    score.ms.append(ms / view.megapixels)
    if result is None:
        score.faults += 1
        return
    if result.get("status") != "measured":
        score.refused += 1
        return
    finds = finds_of(result)
    counted = [find for find in finds if find.kind != "dust"]
    laid, step = matches(view, counted, result["edge_length_um"])
    by_truth = {i: counted[j] for i, j in laid}
    for i, harm in enumerate(view.harms):
        if not harm.whole:
            continue
        score.truths += 1
        score.found += i in by_truth
        score.clear += harm.clear
        score.clear_found += harm.clear and i in by_truth
        if i in by_truth:
            _depths(score, harm, by_truth[i])
    score.reported += len(counted)
    score.matched += len(laid)
    told = {j for _, j in laid}
    for j, find in enumerate(counted):
        if j not in told:
            _false(score, kind, view, result, find, step)
    codes = [doubt["code"] for doubt in result.get("doubts") or () if "code" in doubt]
    score.untrue += not view.harms and any(code.startswith("damaged") for code in codes)
    share = result.get("measured_share")
    score.shares.append(share)
    part = result["edge_length_um"] / view.length_um
    spoken = isinstance(share, int | float) and share < 0.97
    score.short_untold += bool(part < WHOLE_SHARE and not spoken)


def _depths(score, harm, find):
    """Error and interval of a depth that was found."""
    if find.kind == "unsure":  # listed with a doubt, its depth from nought
        return
    score.sure += 1
    score.errors.append(find.depth / harm.depth_um - 1)
    score.covered.append(find.low <= harm.depth_um <= find.high)
    score.kind_right += _of_its_kind(harm, find)


def _of_its_kind(harm, find):
    """Whether a find is called what it is; a roll that only dips may be called a chip."""
    return find.kind == harm.kind or (harm.kind == "roll" and not harm.out)


def _false(score, kind, view, result, find, step):
    """Whether a find that is none is a part of one, a deep scratch, doubted or untold."""
    at = find.position + step
    place = view.origin_um + view.way * at
    near = np.abs(view.outline[:, 0] - place) < find.length / 2 + 4 * view.um_per_px
    deep = np.abs(view.outline[near, 1]).max(initial=0.0)
    about = [harm for harm in view.harms if abs(harm.position_um - at) < 0.7 * harm.length_um]
    if any(_of_its_kind(harm, find) for harm in about):
        score.split += 1  # a part of a damage that was counted already
    elif deep > find.depth / 2 and not about:
        score.scratches += 1
    elif find.kind == "unsure" or _told(kind, view, result, at):
        score.false_told += 1
    else:
        score.false_untold += 1


def _told(kind, view, result, at):
    """Whether a doubt of the picture names the cause of a false find at a place."""
    texts = " ".join(
        f"{doubt.get('code', '')} {doubt.get('text', '')}"
        if isinstance(doubt, dict)
        else str(doubt)
        for doubt in result.get("doubts") or ()
    ).lower()
    about = [
        thing.kind for thing in view.foreign
        if abs(thing.position_um - at) < thing.reach_um + 20 * view.um_per_px
    ] or [thing.kind for thing in view.foreign] or [kind]  # fmt: skip
    return any(word in texts for cause in about for word in CAUSES.get(cause, ()))
