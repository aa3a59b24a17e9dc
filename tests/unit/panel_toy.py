"""A small stand-in for a subject: a build kept in a JSON file, one plain function, one view.

Used by the unit tests of the panels, by the browser tests and by the benchmark. It is an open belt
over two pulleys, simple enough to check by hand.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import dataclass, replace
from pathlib import Path

from jackshaft import units
from jackshaft.buildfile import BuildProblems, ChangedOnDisk, Problem
from jackshaft.drawing import style
from jackshaft.drawing.view import View
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check, Fact
from jackshaft.results.values import Number
from jackshaft.ui import Action, Compared, Control, Outcome
from jackshaft.ui.base import Panel

KINDS = {
    "drive.large": "length",
    "drive.small": "length",
    "drive.apart": "length",
    "engine.speed": "rotation",
    "drive.belts": "count",
    "drive.guarded": "yes/no",
}
START = {
    "drive.large": "10 in",
    "drive.small": "5 in",
    "drive.apart": "20 in",
    "engine.speed": "3000 rpm",
    "drive.belts": 1,
    "drive.guarded": True,
}


@dataclass(frozen=True)
class ToyBuild:
    """What the panels need of a build, kept in a JSON file."""

    path: Path
    values: dict
    digest: str = ""
    system: str = "inch"
    name: str = "toy drive"

    def get(self, key):
        return self.values.get(key)

    def with_values(self, changes):
        values, problems = dict(self.values), []
        for key, raw in changes.items():
            if raw == "":
                values.pop(key, None)
                continue
            values[key] = units.read(raw, KINDS[key]) if KINDS[key] in units.KINDS else raw
        small, large = values.get("drive.small"), values.get("drive.large")
        if small and large and small.si >= large.si:
            problems.append(
                Problem(self.path.name, "drive.small", f"'{small.text}'", f"less than the large pulley, {large.text}")
            )
        if problems:
            raise BuildProblems(problems)
        return replace(self, values=values)

    def save_values(self, changes, settle=None, approve=None):
        self.with_values(changes)
        data = self.path.read_bytes()
        if hashlib.sha256(data).hexdigest() != self.digest:
            raise ChangedOnDisk(f"{self.path.name} was changed on disk since it was read; nothing was written.")
        raw = json.loads(data) | changes
        self.path.write_text(json.dumps({k: v for k, v in raw.items() if v != ""}, indent=1))
        return load(self.path, self.system)


def load(path, system="inch"):
    """Read a toy build, and make its file where there is none."""
    path = Path(path)
    if not path.exists():
        path.write_text(json.dumps(START, indent=1))
    data = path.read_bytes()
    values = {k: units.read(v, KINDS[k]) if KINDS[k] in units.KINDS else v for k, v in json.loads(data).items()}
    return ToyBuild(path, values, hashlib.sha256(data).hexdigest(), system)


def controls():
    """The toy's controls: every kind of control there is."""
    return (
        Control(
            "drive.large",
            "Large pulley",
            ("6 to 14 in by 1/8", "150 to 360 mm by 5"),
            "length",
            hard_low="2 in",
            hard_high="30 in",
            by="tape",
            help="outside diameter",
            group="Pulleys",
        ),
        Control("drive.small", "Small pulley", "2 to 9 in by 1/8", "length", by="tape", group="Pulleys"),
        Control(
            "drive.apart",
            "Centre distance",
            "10 to 40 in by 1/4",
            "length",
            hard_high="100 in",
            by="tape",
            group="Pulleys",
        ),
        Control("engine.speed", "Engine speed", "1200 to 3600 rpm by 50", "rotation", group="Running"),
        Control("drive.belts", "Belts", "1 to 4 by 1", "count", hard_low="1", hard_high="6", group="Running"),
        Control("drive.guarded", "Guard fitted", kind="yes/no", group="Running"),
        Control(
            None,
            "Belt material",
            choices=("rubber", ("pu", "polyurethane")),
            name="material",
            start="rubber",
            group="What if",
        ),
        Control(None, "Creep", "0 to 5 % by 0.25", "number", name="creep", start="1 %", group="What if"),
    )


def outcome_of(build, whatif):
    """Work the toy out: belt length, driven speed, two checks."""
    large, small, apart, speed = (build.get(k) for k in ("drive.large", "drive.small", "drive.apart", "engine.speed"))
    if None in (large, small, apart, speed):
        missing = Check(
            "toy.length",
            "belt length",
            "not known yet",
            "",
            UNDECIDED,
            "a size is not known yet",
            missing=("drive.apart",),
        )
        return Outcome((Fact("belt length", "not known yet"),), (missing,), None)
    gap = (large.si - small.si) / 2
    if apart.si <= gap:
        raise ValueError("the pulleys stand inside each other; move them apart")
    lean = math.asin(gap / apart.si)
    length = 2 * apart.si * math.cos(lean) + math.pi * (large.si + small.si) / 2 + 2 * lean * gap
    driven = speed.si * small.si / large.si * (1 - whatif["creep"].si)
    system = build.system

    def text(si, kind="length"):
        return units.show(si, kind, system)

    long, limit = length > 1.8, 1.8
    facts = (
        Fact("belt length", units.both(length, "length", system), "cord line"),
        Fact("driven speed", text(driven, "rotation"), "creep taken off"),
        Fact("belts", str(build.get("drive.belts"))),
        Fact("material", whatif["material"]),
    )
    fast = large.si / 2 * driven
    checks = (
        Check(
            "toy.length",
            "belt length",
            text(length),
            f"at most {text(limit)}",
            STOP if long else GO,
            f"no stock belt is longer than {text(limit)}, so the pulleys stand too far apart for this drive"
            if long
            else "a stock belt is long enough",
            "Move the pulleys together." if long else "",
            "common practice, no source",
        ),
        Check(
            "toy.speed",
            "belt speed",
            text(fast, "surface speed"),
            f"at most {text(30, 'surface speed')}",
            CAUTION if fast > 15 else GO,
            "fast for a plain pulley" if fast > 15 else "slow enough",
            "Use smaller pulleys." if fast > 15 else "",
            "from memory",
        ),
        Check(
            "toy.guard",
            "guard",
            "fitted" if build.get("drive.guarded") else "none",
            "fitted",
            GO if build.get("drive.guarded") else STOP,
            "the nip points can be reached" if not build.get("drive.guarded") else "the nip points are covered",
            "" if build.get("drive.guarded") else "Fit a guard.",
            "common practice, no source",
            guards=True,
        ),
    )
    compare = {
        "belt length": Compared(Number(length, "length", system), "lower"),
        "driven speed": Compared(Number(driven, "rotation", system)),
    }
    return Outcome(facts, checks, (large.si, small.si, apart.si, text(length)), compare)


class ToyView(View):
    """Two pulleys and an open belt."""

    size = (7.2, 4.4)

    def compose(self, figure):
        self.axes = style.add_plane(figure, (-0.35, 0.9), (-0.4, 0.4))
        self.belt = self.axes.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH)[0]
        self.others = [self.axes.plot([], [], linewidth=style.LINE)[0] for _ in style.CANDIDATES]
        self.names = [style.label(self.axes, (0, 0)) for _ in range(2)]
        self.turns = [style.TurnArrow(self.axes) for _ in range(2)]
        self.size_line = style.arrow(self.axes, (0, 0), (1, 0), both_ends=True, colour=style.MUTED)
        self.words = "nothing drawn"

    def update(self, picture, pinned=()):
        if picture is None:
            self.words = "sizes not known yet"
            return
        large, small, apart, length = picture
        self.belt.set_data(*loop_points(large, small, apart))
        for name, turn, x, d in zip(self.names, self.turns, (0, apart), (large, small), strict=True):
            name.set(text=f"{d / 0.0254:.3f} in", position=(x, 0))
            turn.move((x, 0), d * 0.32, anticlockwise=True)
        self.size_line.set_positions((0, -0.32), (apart, -0.32))
        for line in self.others:
            line.set_data([], [])
        for line, other in zip(self.others, pinned, strict=False):
            line.set_data(*loop_points(*other.picture[:3]))
            line.set(color=other.colour, dashes=other.dashes)
        self.words = f"open belt over two pulleys, belt length {length}"
        self.words += "".join(f", candidate {p.letter}" for p in pinned)

    def alt(self):
        return self.words


def loop_points(large, small, apart):
    """The belt's loop as x and y."""
    lean = math.asin((large - small) / 2 / apart)
    angles = [math.pi / 2 - lean + (math.pi + 2 * lean) * i / 40 for i in range(41)]
    points = [(large / 2 * math.cos(a), large / 2 * math.sin(a)) for a in angles]
    turn = [-math.pi / 2 + lean + (math.pi - 2 * lean) * i / 40 for i in range(41)]
    points += [(apart + small / 2 * math.cos(a), small / 2 * math.sin(a)) for a in turn]
    points.append(points[0])
    return tuple(zip(*points, strict=True))


def nearer(build, outcome):
    """An action: halve the centre distance."""
    return {"drive.apart": units.write(build.get("drive.apart").si / 2, "length", build.system)}


def toy_panel(build, **more):
    """The toy as a panel."""
    return Panel(
        build,
        title="Open belt",
        controls=controls(),
        outcome_of=outcome_of,
        view=ToyView("toy"),
        actions=(Action("Halve the distance", nearer),),
        **more,
    )
