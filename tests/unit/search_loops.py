"""Eleven loops of different kinds to be searched, for the tests and the benchmark of the search; all are invented."""

from __future__ import annotations

from pathlib import Path

from jackshaft.buildfile import DEMO, Build, load, parse
from loops import outside
from shaft_builds import TEXT as TWO

#: An engine at 2400 rpm, a belt to one shaft, and the work on it: speed band, power, stage and its lists are filled in.
PLAIN = """
schema = 1
name = "A belt to one shaft"
shown_in = "{system}"
place = "outdoors"
wanted_life = "500 h"

[engine]
kind = "petrol engine"
rated_power = "12 hp"
rated_speed = "3600 rpm"
peak_torque = "22 lbf·ft"
work_speed = "2400 rpm"
turns = "clockwise"
seen_from = "facing the engine's output shaft"

[work]
name = "drum"
shaft = "out"
speed_least = "{speeds[0]} rpm"
speed_most = "{speeds[1]} rpm"
turns = "clockwise"
seen_from = "facing the engine's output shaft"
power = "{power} hp"
power_at = "engine"
start_factor = 1.0
peak_factor = 1.5
load_class = "light shock"
service_factor = 1.2

[[shaft]]
name = "out"

[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "out"
driver = "E"
driven = "J"
efficiency = 1.0
creep = 0.0
{stage}
"""


def pulley(name: str, place: tuple[str, str], size: str, **more: str) -> str:
    """Return a pulley of the stage, as it is written."""
    words = {"name": name, "x": place[0], "y": place[1], "diameter": size, "measured_as": "pitch", **more}
    return "[[stage.pulley]]\n" + "".join(f'{k} = "{v}"\n' for k, v in words.items())


def table(head: str, **words) -> str:
    """Return one table of the stage, as it is written."""
    return f"{head}\n" + "".join(
        f"{k} = {v if isinstance(v, int | float) else chr(34) + v + chr(34)}\n" for k, v in words.items()
    )


def plain(*parts: str, system: str = "inch", speeds=(700, 900), power: float = 3) -> Build:
    """Return a build of one belt stage."""
    return parse(
        PLAIN.format(system=system, speeds=speeds, power=power, stage="\n".join(parts)).encode(), file="plain.toml"
    )


def search_of(build: Build, stage: str, **asked) -> Build:
    """Return the build with what its search may vary."""
    return build.with_values({f"stage[{stage}].search.{k}": v for k, v in asked.items()})


def kept_in(build: Build, file: Path) -> Build:
    """Return the build as a file holds it: the text it was read from with what was changed since."""
    file.write_text(build.text, encoding="utf-8")
    first = load(file)
    changed = {key: getattr(new, "text", new) for key, new in build.values.items() if first.values.get(key) != new}
    return first.save_values(changed)


def _demo():
    return search_of(
        load(DEMO),
        "crank belts",
        idlers_most=2,
        driver_sizes="4.2 in to 4.8 in by 0.1 in",
        driven_sizes="10.2 in to 11.4 in by 0.2 in",
    ), "crank belts"


def _cogged():
    """A heavy load on cogged belts with a spring, two idlers, a rim of cast iron."""
    return search_of(
        plain(
            table("", section="BX", series="inch", belts=4, marked="BX75"),
            pulley("E", ("0 in", "0 in"), "6 in"),
            pulley("T", ("10 in", "-3 in"), "8 in"),
            pulley("J", ("20 in", "6 in"), "16 in", material="cast iron"),
            table(
                "[stage.takeup]",
                kind="sprung idler",
                idler="T",
                slack_tension="180 lbf",
                pivot_x="16 in",
                pivot_y="-9 in",
            ),
            power=9,
            speeds=(800, 1000),
        ),
        "belt",
        belts_most=6,
        idlers_most=2,
        idler_sizes="5 in to 10 in by 1 in",
        driver_sizes="5.6 in to 6.6 in by 0.2 in",
        driven_sizes="15 in, 16 in, 17 in",
    ), "belt"


def _outside():
    return search_of(
        outside(),
        "loop",
        zone_left="8 in",
        zone_right="20 in",
        zone_low="-12 in",
        zone_high="12 in",
        idler_sizes="3 in, 4 in, 5 in",
        driver_sizes="4.6 in to 5.6 in by 0.2 in",
        driven_sizes="11.5 in, 12 in, 13 in",
    ), "loop"


def _kept():
    return search_of(
        outside(),
        "loop",
        zone_left="8 in",
        zone_right="20 in",
        zone_low="-12 in",
        zone_high="0 in",
        idlers_kept="K",
        idlers_most=1,
        idler_sizes="3 in to 5 in by 1/4 in",
        driver_sizes="4.6 in to 5.6 in by 0.1 in",
        driven_sizes="11.5 in, 12 in, 12.5 in, 13 in",
    ), "loop"


def _centres():
    build = parse(TWO.encode(), file="two.toml").with_values({"stage[second belts].takeup.static_tension": "75 lbf"})
    return search_of(
        build,
        "second belts",
        driver_sizes="4 in to 4.6 in by 0.1 in",
        driven_sizes="15 in to 17 in by 1/4 in",
        belts_most=4,
    ), "second belts"


def _sprung():
    return search_of(
        parse(TWO.encode(), file="two.toml").with_values({"stage[first belt].takeup.slack_tension": "40 lbf"}),
        "first belt",
        belts_most=3,
        idler_sizes="6 in to 9 in by 1/2 in",
        driver_sizes="4.6 in to 5.4 in by 0.1 in",
        driven_sizes="11.5 in to 13.5 in by 1/4 in",
        direction="same as the driver",
        idlers_most=1,
    ), "first belt"


def _fixed():
    """An idler inside or on the back, set by hand, between bodies."""
    return search_of(
        plain(
            table("", section="B", series="inch", belts=2, marked="B85"),
            pulley("E", ("0 in", "0 in"), "5.6 in"),
            pulley("T", ("10 in", "8 in"), "6 in"),
            pulley("J", ("24 in", "3 in"), "17 in"),
            table("[stage.takeup]", kind="fixed idler", idler="T", static_tension="90 lbf"),
            table("[[stage.body]]", name="post", x="11 in", y="1 in", diameter="2 in"),
            table("[[stage.body]]", name="rail", x="12 in", y="13 in", width="30 in", height="1 in"),
            power=5,
        ),
        "belt",
        belts_most=3,
        idlers_most=2,
        idler_sizes="6 in to 9 in by 1 in",
        driver_sizes="5.4 in to 6.2 in by 0.2 in",
        driven_sizes="16 in to 18 in by 1/2 in",
        clearance_least="3/8 in",
    ), "belt"


def _tight():
    """Little room: posts above and below, a small zone."""
    return search_of(
        plain(
            table("", section="A", series="inch", belts=1, marked="A55"),
            pulley("E", ("0 in", "0 in"), "4 in"),
            pulley("T", ("8 in", "3 in"), "4 in"),
            pulley("J", ("15 in", "-2 in"), "12 in"),
            table(
                "[stage.takeup]",
                kind="weighted idler",
                idler="T",
                slack_tension="60 lbf",
                pivot_x="4 in",
                pivot_y="7 in",
            ),
            table("[[stage.body]]", name="post", x="7 in", y="-0.5 in", diameter="1 in"),
            table("[[stage.body]]", name="box", x="9 in", y="9 in", width="8 in", height="2 in"),
        ),
        "belt",
        belts_most=3,
        idlers_most=1,
        idler_sizes="4 in to 7 in by 1/4 in",
        driver_sizes="3.8 in to 4.4 in by 0.1 in",
        driven_sizes="11 in to 13 in by 1/4 in",
        zone_left="3 in",
        zone_right="10 in",
        zone_low="0 in",
        zone_high="7 in",
        clearance_least="3/16 in",
    ), "belt"


def _metric():
    return search_of(
        plain(
            table("", section="SPA", belts=1, marked="SPA1800"),
            pulley("E", ("0 mm", "0 mm"), "112 mm"),
            pulley("T", ("250 mm", "160 mm"), "150 mm"),
            pulley("J", ("560 mm", "40 mm"), "315 mm"),
            table("[stage.takeup]", kind="fixed idler", idler="T", static_tension="420 N"),
            system="metric",
            speeds=(800, 900),
        ),
        "belt",
        belts_most=3,
        idlers_most=2,
        idler_sizes="125 mm, 140 mm, 160 mm, 180 mm, 200 mm",
        driver_sizes="106 mm, 112 mm, 118 mm, 125 mm",
        driven_sizes="280 mm, 300 mm, 315 mm, 335 mm, 355 mm",
    ), "belt"


def _ribbed():
    """A ribbed belt with a spring idler on its back, which it may bend round anywhere; ribs are counted as belts."""
    return search_of(
        plain(
            table("", section="PK", series="metric", belts=8, marked="8PK1755"),
            pulley("E", ("0 mm", "0 mm"), "90 mm", measured_as="effective"),
            pulley("T", ("190 mm", "20 mm"), "90 mm", measured_as="outside", side="outside", surface="flat"),
            pulley("J", ("430 mm", "30 mm"), "250 mm", measured_as="effective"),
            table(
                "[stage.takeup]",
                kind="sprung idler",
                idler="T",
                slack_tension="320 N",
                pivot_x="200 mm",
                pivot_y="-160 mm",
            ),
            system="metric",
            speeds=(800, 950),
        ),
        "belt",
        belts_most=8,
        idlers_most=2,
        idler_sizes="70 mm to 110 mm by 10 mm",
        driver_sizes="85 mm to 100 mm by 5 mm",
        driven_sizes="230 mm to 270 mm by 10 mm",
    ), "belt"


def _flat_rim():
    """A V-belt on a flat rim, moving centres given as places."""
    return search_of(
        plain(
            table("", section="B", series="inch", belts=2, marked="B105"),
            pulley("E", ("0 in", "0 in"), "6 in"),
            pulley("J", ("26 in", "6 in"), "20 in", measured_as="outside", surface="flat"),
            table(
                "[stage.takeup]",
                kind="sliding motor",
                static_tension="120 lbf",
                travel_in="1.5 in",
                travel_out="1.5 in",
            ),
            speeds=(650, 800),
            power=4,
        ),
        "belt",
        belts_most=4,
        idlers_most=1,
        idler_sizes="8 in to 12 in by 1/2 in",
        driver_sizes="5.6 in to 6.6 in by 0.1 in",
        driven_sizes="18 in to 22 in by 1/4 in",
    ), "belt"


#: What each loop is; a function that gives the build and the stage.
LOOPS = {
    "demo: sprung, on the back, two idlers": _demo,
    "cogged, sprung, heavy, two idlers": _cogged,
    "driven pulley outside, double-V": _outside,
    "a kept idler, four pulleys": _kept,
    "two pulleys, moving centres": _centres,
    "sprung, one idler": _sprung,
    "fixed idlers between bodies": _fixed,
    "weighted, tight": _tight,
    "metric, two fixed idlers": _metric,
    "flat rim, sliding motor or an idler": _flat_rim,
    "ribbed, sprung, on the back": _ribbed,
}
