"""A simulated world of severing green poles with a billhook.

Written from a physical description alone, by a hand that had read no program that is judged by it.
All of it is invented; nothing was measured.

A stroke brings an energy to the pole; some of it is lost because the pole sways (thin ones more)
or the stroke glances. The hit scatters about the kerf aimed at: within its mouth the blade cuts on
from the bottom, beside it a new kerf begins and the wood between may fly as a chip. The blade goes
through the section layer by layer until its energy is spent. The back of the pole tears easily,
whatever the edge. Strokes are counted until the pole parts: no law of counts is used. Energy left
over in the last stroke is lost, so counts vary less than Poisson's, and the ratio of the expected
strokes is nearer to 1 than the ratio of the work.

Sources: the order of size of the work per area is that of willow stems, 0.089 to 0.142 J/mm2
("Specific energy for cutting stems of the basket willow (Salix viminalis L.)", abstract). That a
stem is cut oblique and splits down the last part, and that thin poles swing away, is common
practice, no source. All other numbers are assumptions within what is plausible: strokes of 48 J
with a scatter of 18 %, hits within some mm, work that scatters by 15 % between rods and 14 %
between pieces of a rod ("usual"; "twice" doubles what differs from piece to piece alone). One
worker, one day.
"""

import math

import numpy as np

# ---------------------------------------------------------------- constants
WOODS = {  # J per mm2 of square cross-section, sharp tool T1, clear wood
    "hazel": 0.080,
    "ash": 0.095,
    "hawthorn": 0.110,
}
SCATTER = {  # multiplies the piece-to-piece scatter only
    "usual": 1.0,
    "twice": 2.0,
}
DULLING = {"none": 0.0, "little": 0.0015}  # rise of cutting work per stroke made

STROKE_J = 48.0  # mean energy of one stroke that reaches the pole
STROKE_CV = 0.18  # stroke to stroke
FATIGUE = 0.0005  # loss of stroke energy per stroke made with either tool
GLANCE_P = 0.02  # strokes that glance or turn in the hand
GLANCE_KEEP = (0.2, 0.6)
HIT_SD_MM = 3.5  # place of the hit along the pole, about the aim
ANGLE_DEG = (50.0, 6.0)  # blade path to pole axis: mean, piece-to-piece sd
ANGLE_STROKE_SD = 4.0  # stroke-to-stroke sd
GRAIN_SPLIT = 0.25  # work along the grain / work across it

ROD_WORK_SD = 0.15  # log sd of work per area between rods
PIECE_WORK_SD = 0.14  # log sd between pieces of one rod (x scatter)
TOOL_ROD_SD = 0.04  # log sd of tool by rod (how the edge suits the rod)
ROD_DIAM_SD = 0.045  # log sd of rod diameter about the nominal
PIECE_DIAM_SD = 0.02  # log sd of piece diameter about the rod (x scatter)
TAPER = 0.006  # loss of diameter per piece along the rod
KNOT_P = 0.06  # a knot at the place of the cut (x scatter)

FRICTION = 0.30  # rise of work from surface to far side (blade cheeks)
REENTRY = 0.10  # share of the stroke lost on the cheeks of an open kerf, x depth
CHIP_MIN = 0.05  # least share of its first cost for wood already undercut
SWAY_15 = 0.35  # share of a stroke lost in swaying of a 15 mm pole, mean;
SWAY_POW = 2.0  #   falls with the diameter to this power
SWAY_SD = (0.25, 0.35)  #   log sd: piece (how it stands and is held), stroke
MOUTH0, MOUTH_K, MOUTH_MAX = 1.0, 0.07, 2.5  # half mouth of a kerf, mm
CHIP_MM = 4.0  # chip thickness over which the discount fades
CHIP_MERGE = 0.15  # depth difference (of diameter) at which the chip flies
TEAR = (0.10, 0.03)  # ligament/diameter that parts by bending: mean, sd (x scatter)
TEAR_ZONE = 2.0  # zone of easy tearing, in units of the above
TEAR_WORK = 0.40  # work in that zone, of clear cutting, edge no matter

NL = 100  # layers across the diameter
_edge = np.linspace(0.0, 1.0, NL + 1)
_mid = 0.5 * (_edge[1:] + _edge[:-1])
_k = np.arange(NL)


def _segment(u):
    """area of a circle of diameter 1 to depth u from the near side"""
    x = 1.0 - 2.0 * u
    return 0.25 * (np.arccos(x) - x * np.sqrt(np.maximum(0.0, 1.0 - x * x)))


_LAYER = np.diff(_segment(_edge))  # sums to pi/4
_FRIC = 1.0 + FRICTION * (_mid - 0.5)  # mean about 1 over the section


def _ln(rng, s):
    return math.exp(s * rng.standard_normal() - 0.5 * s * s)


def _angle_work(deg):
    """work per square section for a path at deg to the axis, 1 at ANGLE mean"""

    def m(t):
        s, c = math.sin(t), math.cos(t)
        return (s * s + GRAIN_SPLIT * c * c) / s

    t = math.radians(min(90.0, max(20.0, deg)))
    return m(t) / m(math.radians(ANGLE_DEG[0]))


def _piece(rng, diam, work, tool_factor, strokes_tool, strokes_all, dull, k):
    """sever one pole; returns the number of strokes.

    diam mm; work J/mm2 of this piece; tool_factor incl. tool by rod;
    strokes_tool/strokes_all: made earlier in the session."""
    angle = ANGLE_DEG[0] + ANGLE_DEG[1] * rng.standard_normal()
    tear = TEAR[0] + TEAR[1] * k * rng.standard_normal()
    tear = min(0.25, max(0.02, tear)) * (25.0 / diam) ** 0.3
    # layers, in joule for tool factor 1 and no dulling
    wood = work * diam * diam * _LAYER * _FRIC
    if rng.random() < min(0.5, KNOT_P * k):
        c = rng.uniform(0.1, 0.9)
        h = rng.uniform(0.10, 0.20)
        f = rng.uniform(1.6, 2.6)
        wood = np.where(np.abs(_mid - c) <= h, wood * f, wood)
        if c + h > 1.0 - TEAR_ZONE * tear:
            tear *= 0.5  # a knot at the back holds the ligament
    tear_layers = _mid > 1.0 - TEAR_ZONE * tear
    part_at = 1.0 - tear
    sway = SWAY_15 * (15.0 / diam) ** SWAY_POW * _ln(rng, SWAY_SD[0] * k)

    notches = []  # [z_lo, z_hi, depth as a share of the diameter]
    n = 0
    while True:
        n += 1
        if n > 200:
            raise RuntimeError("pole not severed in 200 strokes")
        e = STROKE_J * _ln(rng, STROKE_CV)
        e *= 1.0 - min(0.8, sway * _ln(rng, SWAY_SD[1]))
        e *= max(0.7, 1.0 - FATIGUE * (strokes_all + n - 1))
        if rng.random() < GLANCE_P:
            e *= rng.uniform(*GLANCE_KEEP)
        th = angle + ANGLE_STROKE_SD * rng.standard_normal()
        edge = tool_factor * (1.0 + dull * (strokes_tool + n - 1))
        cost = np.where(tear_layers, wood * TEAR_WORK, wood * edge) * _angle_work(th)

        # place of the hit: aim at the deepest notch there is
        aim = 0.0
        if notches:
            best = max(notches, key=lambda q: q[2])
            aim = 0.5 * (best[0] + best[1])
        z = aim + HIT_SD_MM * rng.standard_normal()
        sin = math.sin(math.radians(min(90.0, max(20.0, th))))

        near, gap = None, None
        for q in notches:  # nearest notch, gap normal to the cut
            d = max(q[0] - z, z - q[1], 0.0) * sin
            if gap is None or d < gap or (d == gap and q[2] > near[2]):
                near, gap = q, d
        if near is not None:
            half = min(MOUTH_MAX, MOUTH0 + MOUTH_K * near[2] * diam)
            done = np.clip(near[2] * NL - _k, 0.0, 1.0)  # share of each layer
            if gap <= half:  # the same kerf
                e *= 1.0 - REENTRY * near[2]
                cost = cost * (1.0 - done)
            else:  # beside it: a chip is undercut
                disc = 1.0 - math.exp(-(gap - half) / CHIP_MM)
                cost = cost * (1.0 - done * (1.0 - max(CHIP_MIN, disc)))
        cum = np.cumsum(cost)
        i = int(np.searchsorted(cum, e, side="right"))
        if i >= NL:
            depth = 1.0
        else:
            before = cum[i - 1] if i else 0.0
            share = (e - before) / cost[i]
            if near is not None and gap <= half and near[2] * NL > i:
                share = near[2] * NL - i + share * (i + 1 - near[2] * NL)
            depth = (i + share) / NL

        if near is None:
            notches.append([z, z, depth])
        elif gap <= half:
            near[2] = max(near[2], depth)
        elif depth >= near[2] - CHIP_MERGE and gap <= 3.0 * CHIP_MM:
            near[0], near[1] = min(near[0], z), max(near[1], z)  # chip flies
            near[2] = max(near[2], depth)
        else:
            notches.append([z, z, depth])
        if max(q[2] for q in notches) >= part_at:
            return n


def _check(rods, per_rod, thickness_mm, wood, ratio, scatter, dulling):
    if wood not in WOODS or scatter not in SCATTER or dulling not in DULLING:
        raise ValueError("wood, scatter or dulling not known")
    if int(rods) != rods or rods < 1 or int(per_rod) != per_rod or per_rod < 1:
        raise ValueError("rods and per_rod are whole numbers of 1 or more")
    if not (10.0 <= thickness_mm <= 60.0) or not (0.3 <= ratio <= 3.0):
        raise ValueError("thickness or ratio out of range")


def study(rng, *, rods, per_rod, thickness_mm, wood, ratio, scatter, dulling="little"):
    """one session.  per_rod is the number of pieces of each rod by EACH tool.
    ratio: work factor of T2 over T1.  Rows in the order in which they were cut."""
    _check(rods, per_rod, thickness_mm, wood, ratio, scatter, dulling)
    k, dull = SCATTER[scatter], DULLING[dulling]
    made = {"T1": 0, "T2": 0}
    rows, order = [], 0
    for j in range(int(rods)):
        rod_work = WOODS[wood] * _ln(rng, ROD_WORK_SD)
        rod_diam = thickness_mm * _ln(rng, ROD_DIAM_SD)
        fit = {"T1": _ln(rng, TOOL_ROD_SD), "T2": ratio * _ln(rng, TOOL_ROD_SD)}
        plan = []
        for _ in range(int(per_rod)):  # neighbours, the order by lot
            plan += ["T1", "T2"] if rng.random() < 0.5 else ["T2", "T1"]
        mid = 0.5 * (len(plan) - 1)
        for p, tool in enumerate(plan):
            diam = rod_diam * (1.0 - TAPER * (p - mid)) * _ln(rng, PIECE_DIAM_SD * k)
            work = rod_work * _ln(rng, PIECE_WORK_SD * k)
            n = _piece(rng, diam, work, fit[tool], made[tool], made["T1"] + made["T2"], dull, k)
            made[tool] += n
            order += 1
            rows.append(
                {
                    "rod": f"R{j + 1:02d}",
                    "tool": tool,
                    "order": order,
                    "diameter_mm": round(2.0 * diam) / 2.0,
                    "strokes": int(n),
                    "severed": True,
                }
            )
    return rows


def truth(
    *,
    thickness_mm,
    wood,
    ratio,
    scatter,
    rods=6,
    per_rod=1,
    dulling="little",
    n=20000,
    seed=20261129,
):
    """expected strokes of a piece by T1 and T2 in those circumstances, from whole
    sessions of rods x per_rod until n pieces BY EACH TOOL are cut.
    ratio_T1_T2 = mean strokes T1 / mean strokes T2."""
    rng = np.random.default_rng(seed)
    sess = -(-int(n) // (int(rods) * int(per_rod)))
    s1, s2, m1, m2 = [], [], [], []
    for _ in range(sess):
        rows = study(
            rng,
            rods=rods,
            per_rod=per_rod,
            thickness_mm=thickness_mm,
            wood=wood,
            ratio=ratio,
            scatter=scatter,
            dulling=dulling,
        )
        a = [r["strokes"] for r in rows if r["tool"] == "T1"]
        b = [r["strokes"] for r in rows if r["tool"] == "T2"]
        s1 += a
        s2 += b
        m1.append(sum(a))
        m2.append(sum(b))
    a, b = np.array(s1, float), np.array(s2, float)
    R = a.mean() / b.mean()
    u = (np.array(m1) - R * np.array(m2)) / np.mean(m2)  # session by session
    return {
        "mean_T1": float(a.mean()),
        "mean_T2": float(b.mean()),
        "ratio_T1_T2": float(R),
        "ratio_se": float(u.std(ddof=1) / math.sqrt(sess)),
        "var_T1": float(a.var(ddof=1)),
        "var_T2": float(b.var(ddof=1)),
        "pieces_per_tool": len(a),
    }
