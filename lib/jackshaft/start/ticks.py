"""What a new build begins with, as fields: choices, counts and boxes to tick."""

from __future__ import annotations

from jackshaft.start import skeleton
from jackshaft.start.skeleton import Ticked
from jackshaft.ui.elements import box, classed, html, put
from jackshaft.ui.forms import choice_box, tick_box

SINGLE = (
    ("idlers", "an idler on each belt, in its slack strand"),
    ("shaft", "a shaft that does the work"),
    ("bearings", "two bearings on each shaft"),
    ("driveline", "telescoping shaft (driveline)"),
    ("pin", "shear pin"),
    ("slip_clutch", "slip clutch (overload clutch)"),
)


class Ticks:
    """The fields of what one has; ``widget`` is their place."""

    def __init__(self):
        self.engine = choice_box("Engine or motor", [("not said", ""), *((k, k) for k in skeleton.kinds("engine"))])
        self.belts = choice_box("Belt stages, two pulleys each", [(str(n), n) for n in range(skeleton.MOST_BELTS + 1)])
        self.chains = choice_box("Chain stages", [(str(n), n) for n in range(skeleton.MOST_CHAINS + 1)])
        self.clutch = choice_box("Clutch", [("not said", ""), *skeleton.CLUTCHES])
        self.single = {name: tick_box(words) for name, words in SINGLE}
        self.switches = {kind: tick_box(f"switch: {kind}") for kind in skeleton.kinds("circuit", "interlock")}
        self.rest = choice_box("What is not ticked", [("is not known yet", False), ("is not there: none", True)])
        lists = (self.engine, self.belts, self.chains, self.clutch, self.rest)
        boxes = (*self.single.values(), *self.switches.values())
        self._way = html("jk-help")
        self.widget = box(
            "jk-sheet",
            [
                html("jk-help", "The parts it has. Each is put in empty, with a usual name that you can change."),
                box("jk-have", [classed(one, "jk-box") for one in lists]),
                box("jk-ticks", [classed(one, "jk-tick") for one in boxes]),
                self._way,
            ],
        )
        for one in (*lists, *boxes):
            one.observe(lambda _: self._tell(), "value")

    @property
    def ticked(self) -> Ticked:
        """What is ticked."""
        return Ticked(
            engine=self.engine.value,
            belts=self.belts.value,
            chains=self.chains.value,
            clutch=self.clutch.value,
            switches=tuple(kind for kind, one in self.switches.items() if one.value),
            rest_none=self.rest.value,
            **{name: one.value for name, one in self.single.items()},
        )

    def clear(self) -> None:
        """Tick nothing."""
        self.engine.value = self.clutch.value = ""
        self.belts.value = self.chains.value = 0
        self.rest.value = False
        for one in (*self.single.values(), *self.switches.values()):
            one.value = False

    def show(self, shown: bool) -> None:
        """Show the fields, or hide them: a copy of another build has its own parts."""
        self.widget.layout.display = "" if shown else "none"

    def _tell(self) -> None:
        way = skeleton.in_words(self.ticked)
        words = [f"The torque's way: {way}."] if way else []
        if self.ticked.idlers and not self.ticked.belts:
            words.append("An idler needs a belt: choose how many belt stages there are.")
        put(self._way, " ".join(words))


__all__ = ["Ticks"]
