"""Controls of what each shaft of the work has or takes of its own, where several carry it; they fold away."""

from __future__ import annotations

from jackshaft.buildfile import Build
from jackshaft.parts.works import OWN, work_key, work_shafts
from jackshaft.results import Reader
from jackshaft.ui.model import Control
from jackshaft.ui.ranges import size_control

GROUP = "Each shaft of the work"
#: What stands at the control of each, and how far its slider runs.
SAID = {
    "diameter": ("tip diameter", ""),
    "surface_speed_most": ("tip speed allowed", ("1000 to 20000 ft/min by 100", "5 to 100 m/s by 0.5")),
    "weight": ("mass that turns", ("1 to 300 lb by 1", "0.5 to 150 kg by 0.5")),
    "mass_at": ("how that mass lies", ""),
    "load_curve": ("torque of its work", ""),
    "start_factor": ("start over working load", "0 to 4 by 0.1"),
    "peak_factor": ("peak over working load", "1 to 4 by 0.1"),
}
LEFT = "left empty: as the work says for all its shafts"


def each_shaft(build: Build, *names: str) -> tuple[Control, ...]:
    """Return the controls of each shaft for ``names`` of the work; none where one shaft, or none, carries it."""
    works = [shaft for shaft in work_shafts(Reader(build)) if shaft in build.names("shaft")]
    return tuple(_control(build, shaft, name) for name in names for shaft in works) if len(works) > 1 else ()


def in_common(build: Build, name: str) -> bool:
    """Tell whether what the work says for all its shafts counts for one of them."""
    reader = Reader(build)
    return any(work_key(reader, shaft, name) == f"work.{name}" for shaft in work_shafts(reader) or (None,))


def _control(build: Build, shaft: str, name: str) -> Control:
    key, (words, slider) = f"shaft[{shaft}].{OWN[name]}", SAID[name]
    if name == "diameter":
        return size_control(build, key, f"{shaft}: {words}", GROUP, start=Reader(build).si("work.diameter"))
    return Control(key, f"{shaft}: {words}", slider, group=GROUP, help=LEFT)


__all__ = ["each_shaft", "in_common"]
