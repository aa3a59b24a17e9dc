"""What the meter showed: voltages read along the clutch's circuit and drops across its joints, kept in the build."""

from __future__ import annotations

import datetime

from jackshaft.build import Build, BuildProblems, Problem
from jackshaft.panels.forms import Form, Forms, choice_box, text_box
from jackshaft.workup import work_up
from jackshaft.workup.electric_line import PLACES

HEATS = ("cold", "hot")


def points_of(build: Build) -> tuple[str, ...]:
    """Return the test points of a build's circuit, in the order of the current; empty where it is not known yet."""
    data = work_up(build, ("electric",)).chapters["electric"].data
    return () if data is None else data.steps.joints


def keep_reading(
    build: Build, joint: str, volts: str, supply: str, coil: str, *, baseline: bool, day: datetime.date | None = None
) -> tuple[Build, str]:
    """Keep one voltage that was read at a test point; return the build and what the reading says.

    Raises
    ------
    BuildProblems
        If the voltage cannot be taken, or there is no such test point; nothing is written.
    ChangedOnDisk
        If the file was changed by somebody else; nothing is written.
    """
    if joint not in points_of(build):
        raise BuildProblems([Problem(build.file, "circuit.reading", f"'{joint}'", "one of the build's test points")])
    if not volts.strip():
        raise BuildProblems(
            [Problem(build.file, "circuit.reading.volts", "nothing", "what the meter showed, such as 13.4 V")]
        )
    text = volts.strip()
    # the field's label says volts
    text = f"{text} V" if text.replace(".", "", 1).replace(",", "", 1).isdigit() else text
    name = _free(build.names("circuit.reading"), f"{(day or datetime.date.today()).isoformat()} {joint}")
    at = f"circuit.reading[{name}]"
    kept = build.save_values(
        {
            f"{at}.name": name,
            f"{at}.joint": joint,
            f"{at}.volts": text,
            f"{at}.supply": supply,
            f"{at}.coil": coil,
            f"{at}.baseline": baseline,
        }
    )
    results = work_up(kept, ("electric",))
    sheet = next(s for s in results.chapters["electric"].sheets if s.title == "Voltages that were read")
    row = dict(zip(sheet.headings, next(r for r in sheet.rows if r[0].startswith(f"{name},")), strict=True))
    against = f"the baseline {row['baseline']}" if row["baseline"] else f"{row['computed']} computed"
    return kept, f"Kept {row['read']} at {joint}, against {against}: {row['means']}."


def keep_drop(build: Build, name: str, place: str, drop: str) -> tuple[Build, str]:
    """Keep the drop that was read across one joint; return the build and the verdict on its joints.

    Raises
    ------
    BuildProblems
        If the name is empty or the drop cannot be taken; nothing is written.
    ChangedOnDisk
        If the file was changed by somebody else; nothing is written.
    """
    name = name.strip()
    if not name or set(name) & set("[]"):
        raise BuildProblems(
            [Problem(build.file, "circuit.joint", f"'{name}'", "the joint's name, without square brackets")]
        )
    if not drop.strip():
        raise BuildProblems(
            [Problem(build.file, f"circuit.joint[{name}].drop", "nothing", "what the meter showed, such as 40 mV")]
        )
    at = f"circuit.joint[{name}]"
    kept = build.save_values({f"{at}.name": name, f"{at}.place": place, f"{at}.drop": drop.strip()})
    check = next((c for c in work_up(kept, ("electric",)).of("electric") if c.id == "electric.joints"), None)
    words = f" All joints: {check.verdict}; {check.value}." if check is not None else ""
    return kept, (
        f"Kept {kept.get(f'{at}.drop').text} across {name}.{words} From now on the joints listed one by one stand "
        "for all joints together, so write each of them down."
    )


def _free(taken: tuple[str, ...], name: str) -> str:
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{name}, {number}"
    return found


class MeterForms(Forms):
    """Write down what the meter showed along the circuit."""

    def __init__(self, build: Build):
        self.build = build
        points = points_of(build)
        self.joint = choice_box("Red lead on", points or ("not known yet",))
        self.volts = text_box("Volts", hint="such as 13.4 V")
        self.supply = choice_box("Supply", [("engine running", "running"), ("battery only", "battery only")])
        self.coil = choice_box("Coil", HEATS)
        self.baseline = choice_box(
            "All is well today", [("no, judge it", "no"), ("yes, keep it as the baseline", "yes")]
        )
        self.name = text_box("Joint", hint="such as clutch plug")
        self.place = choice_box("Where it sits", PLACES)
        self.drop = text_box("Drop across it", hint="clutch engaged, coil cold, such as 40 mV")
        forms = (
            Form(
                "A voltage at a test point",
                (self.joint, self.volts, self.supply, self.coil, self.baseline),
                (("Write the voltage down", self._reading),),
            ),
            Form(
                "The drop across one joint", (self.name, self.place, self.drop), (("Write the drop down", self._drop),)
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
        self.volts.value = ""
        return words

    def _drop(self) -> str:
        self.build, words = keep_drop(self.build, self.name.value, self.place.value, self.drop.value)
        self.name.value = self.drop.value = ""
        self.joint.options = points_of(self.build)
        return words


__all__ = ["MeterForms", "keep_drop", "keep_reading", "points_of"]
