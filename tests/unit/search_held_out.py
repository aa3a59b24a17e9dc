"""Five more loops of other kinds. They were looked at while the search was changed, so they are no blind trial."""

from __future__ import annotations

from search_loops import plain, pulley, search_of, table


def _fast():
    """Narrow belts that speed the work up, an idler set by hand in little height."""
    return search_of(
        plain(
            table("", section="5V", belts=2, marked="5V1120"),
            pulley("E", ("0 in", "0 in"), "9.5 in"),
            pulley("T", ("14 in", "6 in"), "8 in"),
            pulley("J", ("32 in", "-2 in"), "7.4 in"),
            table("[stage.takeup]", kind="fixed idler", idler="T", static_tension="150 lbf"),
            speeds=(2900, 3200),
            power=8,
        ).with_values({"engine.rated_speed": "2500 rpm", "engine.peak_torque": "35 lbf·ft"}),
        "belt",
        belts_most=3,
        idlers_most=2,
        idler_sizes="7.5 in to 12 in by 1/2 in",
        driver_sizes="9 in to 9.8 in by 0.1 in",
        driven_sizes="7.2 in to 7.8 in by 0.1 in",
        zone_left="4 in",
        zone_right="30 in",
        zone_low="-9 in",
        zone_high="10 in",
    ), "belt"


def _back():
    """A ribbed belt that turns the work against the driver with its back, held by a weight."""
    return search_of(
        plain(
            table("", section="PL", series="metric", belts=6, marked="6PL1803"),
            pulley("E", ("0 mm", "0 mm"), "100 mm", measured_as="effective"),
            pulley("T", ("300 mm", "260 mm"), "110 mm", measured_as="effective"),
            pulley("J", ("455 mm", "40 mm"), "260 mm", measured_as="outside", side="outside", surface="flat"),
            pulley("K", ("300 mm", "-200 mm"), "110 mm", measured_as="effective"),
            table(
                "[stage.takeup]",
                kind="weighted idler",
                idler="T",
                slack_tension="500 N",
                pivot_x="150 mm",
                pivot_y="380 mm",
            ),
            system="metric",
            speeds=(850, 1000),
            power=2,
        ).with_values({"work.turns": "counter-clockwise"}),
        "belt",
        belts_most=8,
        idlers_most=2,
        idler_sizes="90 mm to 130 mm by 10 mm",
        driver_sizes="95 mm to 115 mm by 5 mm",
        driven_sizes="240 mm to 290 mm by 10 mm",
        zone_left="50 mm",
        zone_right="560 mm",
        zone_low="-350 mm",
        zone_high="400 mm",
    ), "belt"


def _five():
    """An idler that stays and two to place, one of them sprung: five pulleys."""
    return search_of(
        plain(
            table("", section="SPZ", belts=2, marked="SPZ1800"),
            pulley("E", ("0 mm", "0 mm"), "90 mm"),
            pulley("T", ("240 mm", "150 mm"), "110 mm"),
            pulley("J", ("560 mm", "0 mm"), "250 mm"),
            pulley("K", ("250 mm", "-150 mm"), "120 mm"),
            table(
                "[stage.takeup]",
                kind="sprung idler",
                idler="T",
                slack_tension="260 N",
                pivot_x="380 mm",
                pivot_y="260 mm",
            ),
            system="metric",
            speeds=(800, 950),
            power=3,
        ),
        "belt",
        belts_most=4,
        idlers_kept="K",
        idlers_most=2,
        idler_sizes="100 mm to 160 mm by 10 mm",
        driver_sizes="85 mm to 100 mm by 5 mm",
        driven_sizes="220 mm to 280 mm by 10 mm",
    ), "belt"


def _either():
    """Large belts over a long way, turning either way, a post between."""
    return search_of(
        plain(
            table("", section="C", series="inch", belts=2, marked="C180"),
            pulley("E", ("0 in", "0 in"), "9 in"),
            pulley("T", ("20 in", "14 in"), "10 in"),
            pulley("J", ("56 in", "10 in"), "20 in"),
            table("[stage.takeup]", kind="fixed idler", idler="T", static_tension="200 lbf"),
            table("[[stage.body]]", name="post", x="30 in", y="4 in", diameter="3 in"),
            speeds=(750, 900),
            power=10,
        ).with_values(
            {"engine.rated_speed": "2000 rpm", "engine.work_speed": "1800 rpm", "engine.peak_torque": "45 lbf·ft"}
        ),
        "belt",
        belts_most=4,
        idlers_most=2,
        direction="either",
        idler_sizes="9 in to 16 in by 1 in",
        driver_sizes="9 in to 11 in by 1/4 in",
        driven_sizes="18 in to 22 in by 1/2 in",
    ), "belt"


def _centres_or_idler():
    """Cogged belts on centres that can be moved, or with idlers; few sizes on hand."""
    return search_of(
        plain(
            table("", section="AX", series="inch", belts=2, marked="AX62"),
            pulley("E", ("0 in", "0 in"), "4 in"),
            pulley("J", ("17 in", "6 in"), "12 in"),
            table(
                "[stage.takeup]",
                kind="adjustable centres",
                static_tension="70 lbf",
                travel_in="1 in",
                travel_out="1 in",
            ),
            speeds=(750, 850),
            power=4,
        ),
        "belt",
        belts_most=4,
        idlers_most=2,
        idler_sizes="3 in to 7 in by 1/2 in",
        driver_sizes="3.6 in to 4.6 in by 0.1 in",
        driven_sizes="11 in to 14 in by 1/4 in",
        sizes_on_hand="4 in, 5 in, 12 in, 12.5 in",
        clearance_least="1/2 in",
    ), "belt"


#: What each loop is; a function that gives the build and the stage.
HELD_OUT = {
    "speeding up, two fixed idlers": _fast,
    "ribbed, weighted, driven by its back": _back,
    "metric, sprung, a kept idler and two": _five,
    "long way, either direction, a post": _either,
    "cogged, centres or two idlers": _centres_or_idler,
}
