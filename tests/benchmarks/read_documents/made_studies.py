"""What did an invented shop do, and what did it leave out? Drawn from a seed, nothing else."""

import random
from dataclasses import dataclass, field

from tests.benchmarks.read_documents import maker_words as words
from tests.benchmarks.read_documents.cut_protocols import ASKED

MOST_ROWS = 2500  # of one log; above, fewer stations and checks are drawn
FORCE_OF_WIDTH = 28.0  # gf per µm of edge: invented, so that dull edges need more force
REASONS = ("photograph of the wrong blade", "scale was not zeroed", "rope slipped")
MISHAPS = ("hit the board", "dropped on the bench", "strand with a knot")


@dataclass
class MadeBlade:
    """A blade as the maker knows it; a fact that is None was not noted."""

    id: str
    treatment: str | None
    facts: dict = field(default_factory=dict)  # key of study.toml -> words.Typed or text
    angle: float | None = None  # degrees per side
    blocks: tuple = ("",)
    last: int = 0


@dataclass
class MadeStudy:
    """All that was done and typed."""

    number: int
    protocol: str
    script: str
    head: dict = field(default_factory=dict)
    document: dict = field(default_factory=dict)
    treatments: dict = field(default_factory=dict)  # id -> (title or None, steps)
    blades: list = field(default_factory=list)
    control: str | None = None
    limit: float = 0.0
    rows: list = field(default_factory=list)  # dicts of column -> text
    columns: list = field(default_factory=list)
    by_command: bool = False
    decimal_comma: bool = False

    @property
    def asked(self):
        """What its protocol asks for."""
        return ASKED[self.protocol]


def made(number):
    """The study of seed `number`."""
    draw = random.Random(10_000 + number)
    protocol = draw.choices(list(ASKED), [4, 1, 2, 1, 1])[0]
    study = MadeStudy(number, protocol, draw.choice(list(words.SCRIPTS)))
    study.by_command = draw.random() < 0.15
    _head(study, draw)
    _treatments(study, draw)
    _blades(study, draw)
    _facts(study, draw)
    _rows(study, draw)
    return study


def _head(study, draw):
    """Title, maker, date, limit and wishes for the document; each may be missing."""
    study.head["title"] = words.TITLES[study.script]
    if draw.random() < 0.7:
        study.head["maker"] = words.MAKERS[study.script]
    if draw.random() < 0.4:
        study.head["tested_by"] = "Ingrid Ålund (invented)" if draw.random() < 0.5 else "the maker"
    if draw.random() < 0.6:
        study.head["date"] = f"2026-{draw.randint(1, 9):02d}-{draw.randint(1, 28):02d}"
    if draw.random() < 0.3:
        study.head["notes"] = "The rope had lain in the shed over winter."
    study.limit = study.asked.limit
    if draw.random() < 0.3:
        study.limit = study.asked.limit * draw.choice([0.75, 1.25])
        study.head["limit"] = study.limit
    if draw.random() < 0.5:
        study.document["units"] = draw.choice(["metric", "inch", "both"])
        study.document["paper"] = draw.choice(["a4", "us-letter"])
    if draw.random() < 0.4:
        study.document["customer"] = "Hedgelayers of the parish (invented)"
    if draw.random() < 0.3:
        study.document["care"] = ["Oil the blade after work."]
    if draw.random() < 0.2:
        study.document["signature"] = True


def _treatments(study, draw):
    """One to four heat treatments with steps in the units that were to hand."""
    names = words.SCRIPTS[study.script][1]
    many = draw.choices([1, 2, 3, 4], [1, 6, 2, 2])[0]
    for i in range(many):
        steps = []
        if draw.random() < 0.75:
            key, typed = words.temperature(draw, draw.choice([800, 815, 830]))
            steps.append(("austenitise", {key: typed, "soak_min": words.minutes(draw, 8)}))
            if draw.random() < 0.7:
                steps.append(("quench", {"medium": draw.choice(["fast oil", "water", "brine"])}))
            key, typed = words.temperature(draw, 180 + 30 * i)
            temper = {key: typed, "time_min": words.minutes(draw, draw.choice([60, 90, 120]))}
            if draw.random() < 0.5:
                temper["repeats"] = 2
            steps.append(("temper", temper))
        named = draw.random() < 0.6
        id_ = f"t{i + 1}" if named else names[i]
        study.treatments[id_] = (names[i] if named else None, steps)


def _blades(study, draw):
    """One to forty blades, a control, rolls or boards."""
    letters = words.SCRIPTS[study.script][0]
    most = draw.choices([1, 3, 6, 12], [1, 5, 3, 1])[0]
    for i, treatment in enumerate(study.treatments):
        for j in range(min(draw.randint(max(1, most // 2), most), 40)):
            study.blades.append(MadeBlade(f"{letters[i]}{j + 1}", treatment))
    blocks = [f"roll {i + 1}" for i in range(draw.choice([0, 0, 2, 3]))] or [""]
    for i, blade in enumerate(study.blades):
        blade.blocks = (blocks[i % len(blocks)],)
    if draw.random() < 0.45:
        control = MadeBlade("C1" if draw.random() < 0.7 else letters[5] + "0", None)
        control.blocks = tuple(blocks) if draw.random() < 0.7 else tuple(blocks[:1])
        if draw.random() < 0.15:
            control.blocks = ()  # named and never cut
        study.control = control.id
        study.blades.append(control)


def _facts(study, draw):
    """What is known of the blades; each fact is noted of all, of some, or of none."""
    asked = study.asked.angle
    angle = draw.choice([asked, asked, asked + 3])
    noted = {
        key: draw.choice(["all", "all", "some", "none"])
        for key in ("angle", "steel", "edge_finish", "thickness_behind_edge_mm", "spine_mm",
                    "hardness_target_hrc", "hardness_hrc", "mass_g", "batch", "edge_length_mm")
    }  # fmt: skip
    odd_angle, odd_finish = draw.random() < 0.2, draw.random() < 0.2
    finish = draw.choice(["1000 grit stone, stropped", "belt, 400 grit"])
    thick, spine = round(draw.uniform(0.3, 0.9), 2), draw.choice([3, 5, 6.35, 8])
    typed_thick, typed_spine = words.length(draw, thick), words.length(draw, spine)
    typed_mass, typed_edge = words.mass(draw, draw.randint(150, 900)), words.length(draw, 210)
    included = draw.random() < 0.4

    def known(key):
        return noted[key] == "all" or (noted[key] == "some" and draw.random() < 0.6)

    for i, blade in enumerate(study.blades):
        if known("angle"):
            blade.angle = angle + (2 if odd_angle and i == 0 else 0)
            key = "included_angle_deg" if included else "angle_per_side_deg"
            blade.facts[key] = f"{blade.angle * (2 if included else 1):g}"
        texts = {"steel": "unknown, worn plough disc", "edge_finish": finish, "batch": f"heat {i}"}
        if odd_finish and i == 0:
            texts["edge_finish"] = "fine file"
        for key, text in texts.items():
            if known(key):
                blade.facts[key] = text
        sizes = {"thickness_behind_edge_mm": typed_thick, "spine_mm": typed_spine,
                 "mass_g": typed_mass, "edge_length_mm": typed_edge}  # fmt: skip
        for key, typed in sizes.items():
            if known(key):
                blade.facts[key] = typed
        if known("hardness_target_hrc"):
            blade.facts["hardness_target_hrc"] = "58-60"
        if known("hardness_hrc"):
            blade.facts["hardness_hrc"] = [58.5 + i % 3 * 0.5, 59.0][: 1 + i % 2]


def _rows(study, draw):
    """The log: stages, stations, readings, rolls, as they were cut, read and left out."""
    asked = study.asked
    stages = [s for s in asked.stages if draw.random() > 0.12 or s == asked.stages[-1]]
    if draw.random() < 0.25:
        stages = sorted({*stages, (asked.stages[2] + asked.stages[3]) // 2 + 1})
    stations = list(asked.stations)
    way = draw.choice(["all", "all", "one", "other", "none"])
    stations = {"one": stations[:1], "other": [stations[0] + 5], "none": [None]}.get(way, stations)
    if len(study.blades) * len(stages) * len(stations) > MOST_ROWS:
        stations = stations[:1]
    batch = draw.choice(["none", "all", "some", "changed"])
    checks = {}
    for name, repeats in asked.repeats.items():
        checks[name] = draw.choice([repeats, repeats, 0, max(1, repeats // 2)])
    checks[asked.main] = max(1, checks[asked.main])
    scatter, stray = draw.uniform(0.02, 0.06), draw.random() < 0.3
    run = Run(study, draw, stages, stations, checks, batch, scatter)
    pace, of = draw.uniform(0.8, 2.4), list(study.treatments)
    for blade in study.blades:
        rate = 0.4 if blade.treatment is None else 0.30 + 0.08 * of.index(blade.treatment)
        rate *= pace * draw.lognormvariate(0, 0.08)
        early = draw.random() < 0.12
        mine = stages[: max(4, draw.randint(4, len(stages)))] if early else stages
        for block in blade.blocks:
            run.cut(blade, block, mine, rate)
    study.rows = run.rows
    if stray:
        for row in draw.sample(study.rows, min(2, len(study.rows))):
            row["exclude" if draw.random() < 0.5 else "mishap"] = draw.choice(
                REASONS if draw.random() < 0.5 else MISHAPS
            )
    order = draw.choice(["blade", "stage", "shuffled"])
    if order == "stage":
        study.rows.sort(key=lambda row: int(row["cuts"]))
    elif order == "shuffled":
        draw.shuffle(study.rows)
        study.rows.sort(key=lambda row: int(row["cuts"]))
    used = [c for c in COLUMNS if any(row.get(c) for row in study.rows)]
    spare = [c for c in COLUMNS if c not in used and draw.random() < 0.3]
    unknown = set() if study.asked.ladder else {"grade"}  # a column that no protocol knows
    study.columns = [c for c in used + spare if c not in unknown]
    draw.shuffle(study.columns)
    study.decimal_comma = draw.random() < 0.2 and not study.by_command


COLUMNS = ("blade", "cuts", "station_mm", "check_no", "edge_width_um", "sever_force_gf", "grade",
           "batch", "block", "operator", "mishap", "exclude", "note")  # fmt: skip


@dataclass
class Run:
    """The way a shop works at the bench, and the rows it writes."""

    study: MadeStudy
    draw: random.Random
    stages: list
    stations: list
    checks: dict
    batch: str
    scatter: float
    rows: list = field(default_factory=list)

    def cut(self, blade, block, stages, rate):
        """One run of a blade in a block."""
        blade.last = max(blade.last, stages[-1])
        for stage in stages:
            width = (1 + rate**2 * stage * self._hardness()) ** 0.5
            base = {"blade": blade.id, "cuts": str(stage), "block": block}
            base |= self._batch(block, stage)
            self._widths(base, width)
            self._forces(base, width)
            if self.checks.get("grade"):
                step = min(len(self.study.asked.ladder) - 1, int(width / 3))
                self._put(base, "grade", self.study.asked.ladder[step])

    def _hardness(self):
        """How much faster the medium wears where the protocol's stages are few."""
        return 400 / self.study.asked.stages[-1]

    def _batch(self, block, stage):
        if self.batch == "none" or (self.batch == "some" and self.draw.random() < 0.3):
            return {}
        changed = self.batch == "changed" and stage > self.stages[len(self.stages) // 2]
        return {"batch": f"lot {'B' if changed else 'A'}{block[-1:]}"}

    def _widths(self, base, width):
        for station in self.stations if "edge_width_um" in self.checks else []:
            if self.draw.random() < 0.02:
                continue
            read = width * self.draw.lognormvariate(0, self.scatter)
            place = {} if station is None else {"station_mm": str(station)}
            self._put(base | place, "edge_width_um", f"{read:.2f}")

    def _forces(self, base, width):
        main = self.study.asked.main == "sever_force_gf"
        for check in range(self.checks.get("sever_force_gf", 0)):
            force = 40 + FORCE_OF_WIDTH * width * (1.8 if main else 1)
            force *= self.draw.lognormvariate(0, self.scatter)
            place = {"check_no": str(check + 1)}
            if main and self.stations[0] is not None:
                place["station_mm"] = str(self.stations[0])
            self._put(base | place, "sever_force_gf", f"{force:.0f}")

    def _put(self, base, column, text):
        self.rows.append({**base, column: text})
