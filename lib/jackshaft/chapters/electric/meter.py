"""What the meter showed: voltages read along the clutch's circuit and drops across its joints, kept in the build."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from itertools import chain, count

from jackshaft.buildfile import Answer, Build, BuildProblems, KeyConflict, Problem
from jackshaft.chapters.electric.care import readings_of
from jackshaft.chapters.electric.joints import PLACES
from jackshaft.chapters.electric.words import volts as volts_of
from jackshaft.results import Reader, work_up
from jackshaft.results.keeping import keep
from jackshaft.ui.base import follow
from jackshaft.ui.forms import Form, Forms, choice_box, text_box

HEATS = ("cold", "hot")
#: First in each list: what nobody said is not written down.
NOT_SAID = ("not said yet", "")
#: So many times another name is tried where others write readings down at the same moment.
TURNS = 20


def points_of(build: Build) -> tuple[str, ...]:
    """Return the test points of a build's circuit, in the order of the current; empty where it is not known yet."""
    data = work_up(build, ("electric",)).chapters["electric"].data
    return () if data is None else data.steps.joints


def _refused(build: Build, key: str, found: str, wanted: str) -> BuildProblems:
    return BuildProblems([Problem(build.file, key, found, wanted)])


def _require(build: Build, key: str, said: str, wanted: str) -> None:
    """Refuse to write a reading down of which that was not said."""
    if not said:
        raise _refused(build, key, "nothing picked", wanted)


def keep_reading(
    build: Build, joint: str, volts: str, supply: str, coil: str, *, baseline: bool, day: datetime.date | None = None
) -> tuple[Build, str]:
    """Keep one voltage that was read at a test point; return the build and what the reading says.

    Raises
    ------
    BuildProblems
        If the voltage cannot be taken, supply or coil is not said, or there is no such test point; nothing is written.
    KeyConflict
        If others changed the same in the file; nothing is written.
    """
    if joint not in points_of(build):
        raise _refused(build, "circuit.reading", f"'{joint}'", "one of the build's test points")
    if not volts.strip():
        raise _refused(build, "circuit.reading.volts", "nothing", "what the meter showed, such as 13.4 V")
    _require(build, "circuit.reading.supply", supply, "engine running or battery only: they are a volt or two apart")
    _require(build, "circuit.reading.coil", coil, "cold or hot: a hot coil resists more")
    text = volts.strip()
    # the field's label says volts
    text = f"{text} V" if text.replace(".", "", 1).replace(",", "", 1).isdigit() else text
    what = {"joint": joint, "volts": text, "supply": supply, "coil": coil, "baseline": baseline}
    name, kept = _keep_under_a_free_name(build, f"{(day or datetime.date.today()).isoformat()} {joint}", what)
    data = work_up(kept, ("electric",)).chapters["electric"].data
    row = next((r for r in readings_of(Reader(kept), data) if r.name == name), None)
    if row is None or row.off is None:
        why = "the circuit cannot be solved yet" if row is None else row.means
        return kept, f"Kept {text} at {joint}; it cannot be judged: {why}."
    against = f"{volts_of(row.computed)} computed" if row.baseline is None else f"the baseline {volts_of(row.baseline)}"
    return kept, f"Kept {volts_of(row.read)} at {joint}, against {against}: {row.means}."


def _keep_under_a_free_name(build: Build, wish: str, what: Mapping[str, object]) -> tuple[str, Build]:
    """Keep a reading as one of its own, also where another took its name meanwhile."""
    for _ in range(TURNS):
        name = _free(build.names("circuit.reading"), wish)
        at = f"circuit.reading[{name}]"
        try:
            return name, keep(build, {f"{at}.name": name} | {f"{at}.{k}": v for k, v in what.items()})
        except KeyConflict as conflict:
            if [c.key for c in conflict.clashes] != [at]:
                raise
            build, last = conflict.now, conflict
    raise last


def keep_drop(
    build: Build, name: str, place: str, drop: str, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Keep the drop that was read across one joint; return the build and the verdict on its joints.

    Raises
    ------
    BuildProblems
        If the name is empty, the place is not said, or the drop cannot be taken; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is to stand; nothing is written.
    """
    name = name.strip()
    if not name or set(name) & set("[]"):
        raise _refused(build, "circuit.joint", f"'{name}'", "the joint's name, without square brackets")
    if not drop.strip():
        raise _refused(build, f"circuit.joint[{name}].drop", "nothing", "what the meter showed, such as 40 mV")
    _require(build, f"circuit.joint[{name}].place", place, "where it sits, from the list")
    at = f"circuit.joint[{name}]"
    kept = keep(build, {f"{at}.name": name, f"{at}.place": place, f"{at}.drop": drop.strip()}, settle=settle)
    check = next((c for c in work_up(kept, ("electric",)).of("electric") if c.id == "electric.joints"), None)
    words = f" All joints: {check.verdict}; {check.value}." if check is not None else ""
    return kept, (
        f"Kept {kept.get(f'{at}.drop').text} across {name}.{words} From now on the joints listed one by one count "
        "instead of all joints together, so write each of them down."
    )


def _free(taken: tuple[str, ...], name: str) -> str:
    names = chain((name,), (f"{name}, {number}" for number in count(2)))
    return next(n for n in names if n not in taken)


class MeterForms(Forms):
    """Write down what the meter showed along the circuit."""

    def __init__(self, build: Build):
        self.build = build
        points = points_of(build)
        self.joint = choice_box("Red lead on", points or ("not known yet",))
        self.volts = text_box("Volts", hint="such as 13.4 V")
        self.supply = choice_box("Supply", [NOT_SAID, ("engine running", "running"), ("battery only", "battery only")])
        self.coil = choice_box("Coil", [NOT_SAID, *((h, h) for h in HEATS)])
        self.baseline = choice_box(
            "All is well today", [("no, judge it", "no"), ("yes, keep it as the baseline", "yes")]
        )
        self.name = text_box("Joint", hint="such as clutch plug")
        self.place = choice_box("Where it sits", [NOT_SAID, *((p, p) for p in PLACES)])
        self.drop = text_box("Drop across it", hint="such as 40 mV")
        forms = (
            Form(
                "A voltage at a test point",
                (self.joint, self.volts, self.supply, self.coil, self.baseline),
                (("Write the voltage down", self._reading),),
            ),
            Form(
                "The drop across one joint, clutch engaged and coil cold",
                (self.name, self.place, self.drop),
                (("Write the drop down", self._drop),),
            ),
        )
        super().__init__(
            "What the meter shows",
            forms,
            "With a kernel running, this is the place to write down what the meter shows. Without one, add "
            "[[circuit.reading]] and [[circuit.joint]] to the build file.",
        )

    def _reading(self) -> str:
        self.build, words = keep_reading(
            self.build,
            self.joint.value,
            self.volts.value,
            self.supply.value,
            self.coil.value,
            baseline=self.baseline.value == "yes",
        )
        self.volts.value = self.supply.value = self.coil.value = ""
        follow(self.build)
        return f"{words} {self._where()}"

    def _drop(self, settle: Mapping[str, Answer] | None = None) -> str:
        if not settle:
            # an answer is about what was asked, whatever stands in the fields by then
            self._asked = self.build, self.name.value, self.place.value, self.drop.value
        self.build, words = keep_drop(*self._asked, settle)
        follow(self.build)
        self.name.value = self.drop.value = self.place.value = ""
        self.joint.options = points_of(self.build)
        return f"{words} {self._where()}"

    def _where(self) -> str:
        return f"It is kept in the build '{self.build.name}' ({self.build.file})."


__all__ = ["MeterForms", "keep_drop", "keep_reading", "points_of"]
