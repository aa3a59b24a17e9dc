"""What a build file may say: every key, its kind of quantity, its bounds and what it means.

The table of keys that the contributor's guide and ``data/builds/KEYS.md`` show is generated from
here, so a key exists in one place only.
"""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.buildfile.fields import Field, Section
from jackshaft.buildfile.fields import size as _size
from jackshaft.buildfile.schema_clutch import CIRCUIT, CLUTCH
from jackshaft.buildfile.schema_shafts import BEARING, SHAFT

SCHEMA_VERSION = 1

#: Kinds of value that are not quantities with a unit.
WORDS = ("text", "choice", "count", "yes/no", "date", "reference")

KNOWN = ("measured", "plate", "looked up", "calculated", "assumed", "guessed", "chosen")

CLOCK = ("clockwise", "counter-clockwise")
SEEN = ("facing the engine's output shaft", "from behind the engine")


TOP = Section(
    "",
    "The build",
    "what it is, for whom, and how it is shown",
    (
        Field("schema", "count", "version of these keys (now 1); required", least=0),
        Field("name", "text", "what the build is called; required"),
        Field("shown_in", "choice", "units everything is shown in; inch when not said", ("inch", "metric")),
        Field("purpose", "text", "the job in a sentence"),
        Field("builder", "text", "who builds it"),
        Field("date", "date", "date of this revision, year-month-day"),
        Field("revision", "text", "revision letter or number"),
        Field("status", "choice", "how far it is", ("proposed", "being built", "running", "taken apart")),
        Field("place", "choice", "where it works", ("outdoors", "under cover", "indoors")),
        _size("hours_a_year", "hours of work in a year", "time"),
        _size("wanted_life", "hours it must last", "time"),
        Field("notes", "text", "anything another builder should know"),
    ),
)

ENGINE = Section(
    "engine",
    "Engine or motor",
    "what turns the first shaft",
    (
        Field("kind", "choice", "what it is", ("petrol engine", "diesel engine", "electric motor")),
        Field("cylinders", "count", "number of cylinders", least=1, most=16),
        _size("rated_power", "power on the plate, at the rated speed", "power"),
        _size("rated_speed", "speed on the plate", "rotation"),
        _size("peak_torque", "highest torque of the engine", "torque"),
        _size("idle_speed", "idle speed", "rotation"),
        _size("work_speed", "speed it is worked at, under load", "rotation"),
        _size("full_speed", "highest governed speed; the rated speed when not said", "rotation"),
        Field("turns", "choice", "direction of rotation", CLOCK),
        Field("seen_from", "choice", "the side that direction is seen from", SEEN),
        _size("shaft_diameter", "diameter of the output shaft"),
        _size("key_width", "width of its key", absent=True),
        _size("key_length", "length of its key", absent=True),
        _size("shaft_yield", "yield strength of the output shaft", "stress"),
        _size("side_load_limit", "side load the maker allows on the shaft", "force"),
        _size("side_load_at", "distance from the engine's face at which that side load holds"),
        _size("belt_at", "distance of the belt's middle from the engine's face"),
        Field("bearing_behind", "length", "engine's bearing behind its face", least=0.0),
        _size("inertia", "inertia of crank and flywheel, at its output shaft", "inertia"),
        _size("stall_speed", "speed below which it dies under load", "rotation"),
        _size("supply_voltage", "mains voltage of an electric motor", "voltage"),
        Field("phases", "count", "phases of an electric motor", least=1, most=3),
    ),
    (
        Section(
            "torque_point",
            "Torque by speed",
            "points of the engine's full-throttle torque, from its maker's curve or a brake",
            (
                Field("name", "text", "what it is, such as the speed; required"),
                _size("speed", "speed of the output shaft", "rotation"),
                Field("torque", "torque", "torque at that speed, full throttle", least=0.0),
            ),
            many=True,
        ),
    ),
)

WORK = Section(
    "work",
    "The work",
    "the attachment and what it needs",
    (
        Field("name", "text", "what it is called"),
        Field("shaft", "reference", "the shaft that carries it", refers=("shaft",)),
        _size("diameter", "diameter at the tip or the working surface", tape=True),
        _size("width", "working width", tape=True),
        _size("speed_least", "lowest speed that works", "rotation"),
        _size("speed_most", "highest speed that is allowed", "rotation"),
        _size("surface_speed_most", "highest tip or surface speed that is allowed", "surface speed"),
        Field("turns", "choice", "direction it must turn", CLOCK),
        Field("seen_from", "choice", "the side that direction is seen from", SEEN),
        _size("power", "power it takes at work", "power"),
        Field("power_at", "reference", "the shaft that power is stated at", refers=("engine", "shaft")),
        Field("peak_factor", "number", "peak load over working load", least=1.0, most=20.0),
        Field("start_factor", "number", "starting load over working load", least=0.0, most=20.0),
        Field(
            "overrun_factor", "number", "load when the work drives the engine, over working load", least=0.0, most=20.0
        ),
        Field(
            "load_curve",
            "choice",
            "how its torque goes with its speed while it runs up; the same at every speed when not said",
            ("same at every speed", "in step with speed", "with the square of speed"),
        ),
        Field(
            "load_class", "choice", "how rough the load is", ("uniform", "light shock", "medium shock", "heavy shock")
        ),
        Field("service_factor", "number", "factor on the working power for sizing belts", least=1.0, most=4.0),
        _size("weight", "mass that turns", "mass"),
        Field(
            "mass_at",
            "choice",
            "how that mass lies about the axis, over the tip diameter",
            ("disc", "rim", "bar across the axis"),
        ),
        _size("inertia", "its inertia at its own shaft, where a drawing gives it", "inertia"),
        _size("run_down_speed", "run-down test: speed lost by the work's own shaft while it coasts", "rotation"),
        _size("run_down_time", "run-down test: time it took", "time"),
        _size("run_down_drag", "run-down test: torque that turns it slowly, by wrench and scale", "torque"),
    ),
)

PULLEY = Section(
    "pulley",
    "Pulleys of the belt",
    "in the order the belt meets them",
    (
        Field("name", "text", "what it is called; required"),
        Field("x", "length", "centre, to the right", tape=True),
        Field("y", "length", "centre, upward", tape=True),
        _size("diameter", "diameter, of the kind that measured_as says"),
        Field("measured_as", "choice", "which diameter that is", ("pitch", "datum", "outside", "effective")),
        Field("side", "choice", "side of the belt loop it stands on; inside when not said", ("inside", "outside")),
        Field("surface", "choice", "what the belt meets; groove when not said", ("groove", "flat")),
        Field(
            "material",
            "choice",
            "what it is made of",
            ("steel", "cast iron", "ductile iron", "aluminium", "pressed sheet", "plastic"),
        ),
        _size("weight", "mass", "mass"),
        _size("groove_top_width", "width of a home-turned groove at the outside diameter"),
        Field("groove_angle", "angle", "whole angle of a home-turned groove", least=0.35, most=1.05),
        Field(
            "ride_out",
            "length",
            "how far a new belt stands out of the groove; below 0 where it has sunk",
            least=-0.02,
            most=0.02,
        ),
    ),
    many=True,
)

STAGE = Section(
    "stage",
    "Stages",
    "each step of the drive, from the engine to the work",
    (
        Field("name", "text", "what it is called; required"),
        Field(
            "kind", "choice", "how it passes the torque", ("belt", "roller chain", "gear", "gearbox", "friction roller")
        ),
        Field("from", "reference", "shaft that drives it", refers=("engine", "shaft")),
        Field("to", "reference", "shaft that it drives", refers=("shaft",)),
        Field("efficiency", "number", "share of the power that comes through", over=0.0, most=1.0),
        Field("creep", "number", "speed lost to belt creep, as a share", least=0.0, most=0.1),
        Field("section", "text", "belt cross-section", table=("belt_sections", "section")),
        Field(
            "series",
            "choice",
            "series that belt and grooves are made to; when not said, by section, marking or shown_in",
            ("inch", "metric"),
        ),
        Field("belts", "count", "belts side by side", least=1, most=20),
        Field("marked", "text", "what is printed on the belt", absent=True),
        Field("length", "length", "length of the belt, of the kind that length_is says", over=0.0, tape=True),
        Field("length_is", "choice", "which length that is", ("inside", "datum", "pitch", "effective", "outside")),
        Field("crossed", "yes/no", "the belt crosses between two pulleys"),
        Field(
            "friction_groove",
            "number",
            "grip coefficient in a groove, the wedge counted; from the table when not said",
            over=0.0,
            most=1.2,
        ),
        Field("friction_groove_bad", "number", "the same at its bad end: worn, dusty or damp", over=0.0, most=1.2),
        Field(
            "friction_flat",
            "number",
            "grip coefficient on a flat pulley; from the table when not said",
            over=0.0,
            most=1.0,
        ),
        Field("friction_flat_bad", "number", "the same at its bad end: damp or wet", over=0.0, most=1.0),
        Field("driver", "reference", "pulley on the driving shaft", refers=("pulley",)),
        Field("driven", "reference", "pulley on the driven shaft", refers=("pulley",)),
        _size("centres", "distance between the two pulleys, where x and y are not given", tape=True),
        Field("centres_toward", "angle", "direction from driver to driven: 0 right, 90 up, -90 down"),
        Field("driver_teeth", "count", "teeth on the driver", least=4, most=1000),
        Field("driven_teeth", "count", "teeth on the driven", least=4, most=1000),
        Field("internal", "yes/no", "the ring has its teeth inside"),
        Field("ratio", "number", "driver turns for one turn of the driven", over=0.0, most=1000.0),
        Field("reverses", "yes/no", "a gearbox that turns the other way at its output"),
        _size("driver_diameter", "diameter of a friction roller", tape=True),
        _size("driven_diameter", "diameter of what the roller drives", tape=True),
    ),
    (
        PULLEY,
        Section(
            "body",
            "Bodies the belt must clear",
            "round ones by diameter, boxes by width and height",
            (
                Field("name", "text", "what it is; required"),
                Field("x", "length", "centre, to the right", tape=True),
                Field("y", "length", "centre, upward", tape=True),
                _size("diameter", "diameter of a round body", tape=True),
                _size("width", "width of a box", tape=True),
                _size("height", "height of a box", tape=True),
            ),
            many=True,
        ),
        Section(
            "search",
            "What a search for layouts may vary",
            "zone of the idlers' centres, sizes, limits; the shafts and the bodies stay",
            (
                Field("zone_left", "length", "left edge of the zone where idlers may stand", tape=True),
                Field("zone_right", "length", "its right edge", tape=True),
                Field("zone_low", "length", "its lower edge", tape=True),
                Field("zone_high", "length", "its upper edge", tape=True),
                Field(
                    "driver_sizes",
                    "text",
                    'sizes to try on the driving shaft: "4 in, 4-1/2 in" or "4 in to 6 in by 1/4 in"',
                ),
                Field("driven_sizes", "text", "sizes to try on the driven shaft, written the same way"),
                Field("idler_sizes", "text", "sizes to try on idlers, written the same way"),
                Field("sizes_on_hand", "text", "pulleys that need not be bought, each named once for each there is"),
                Field("idlers_kept", "text", "idlers that stay where they are, by name"),
                Field("idlers_most", "count", "idlers the search may place", least=0, most=2),
                Field("belts_most", "count", "belts side by side, at most", least=1, most=8),
                Field(
                    "direction",
                    "choice",
                    "which way the driven shaft must turn; as the work wants when not said",
                    ("same as the driver", "against the driver", "either"),
                ),
                Field(
                    "margin_least",
                    "number",
                    "grip wanted at the bad end, times the working load; 1 when not said",
                    over=0.0,
                    most=20.0,
                ),
                Field("clearance_least", "length", "room wanted round the strands; 1/4 in when not said", least=0.0),
            ),
        ),
        Section(
            "takeup",
            "How the belt is tensioned",
            "idler on a spring, fixed idler, or moving centres",
            (
                Field(
                    "kind",
                    "choice",
                    "what does it",
                    ("sprung idler", "weighted idler", "fixed idler", "adjustable centres", "sliding motor"),
                ),
                Field("idler", "reference", "idler that moves", refers=("pulley",)),
                _size("slack_tension", "tension it holds in its strand, all belts together", "force"),
                _size("static_tension", "tension set at rest, per strand of one belt", "force"),
                Field("travel_in", "length", "centres can close by", least=0.0, tape=True),
                Field("travel_out", "length", "centres can open by", least=0.0, tape=True),
                Field("pivot_x", "length", "pivot of the idler's arm, to the right", tape=True),
                Field("pivot_y", "length", "pivot of the idler's arm, upward", tape=True),
                Field("slot_x", "length", "far end of the idler's slot, to the right", tape=True),
                Field("slot_y", "length", "far end of the idler's slot, upward", tape=True),
                _size("spring_lever", "from the arm's pivot square to the line the spring pulls along", tape=True),
                _size("spring_rate", "pull the spring gains for its stretch", "spring rate"),
                _size("spring_free_length", "length of the spring unloaded, between the hooks"),
                Field("spring_initial", "force", "pull at which the spring's coils begin to part", least=0.0),
            ),
        ),
    ),
    many=True,
)

DRIVELINE = Section(
    "driveline",
    "Telescoping shaft",
    "joint distances and the tube",
    (
        _size("straight", "joint to joint, straight ahead", tape=True),
        _size("longest", "joint to joint, farthest position", tape=True),
        _size("shortest", "joint to joint, nearest position", tape=True),
        _size("collapsed", "joint to joint, pushed together", tape=True),
        _size("tube", "usable length of the sliding tube", tape=True),
        Field("swing", "angle", "largest angle at the first joint", least=0.0, most=1.5),
        Field("swing_second", "angle", "largest angle at the second joint", least=0.0, most=1.5),
        _size("joint_rating", "torque rating of the joints", "torque"),
        _size("parallel_offset", "offset of the two shafts, where they are parallel", tape=True),
    ),
)

SHEAR_PIN = Section(
    "shear_pin",
    "Shear pin",
    "the part meant to give first",
    (
        Field("shaft", "reference", "the shaft it sits on", refers=("engine", "shaft")),
        _size("diameter", "diameter of the pin"),
        _size("shear_strength", "shear strength of the pin", "stress"),
        _size("radius", "distance of the shear plane from the shaft's centre"),
        Field("planes", "count", "places where the pin is cut", least=1, most=2),
    ),
)

ACCEPTED = Section(
    "accepted",
    "Accepted",
    "cautions and stops the builder takes on, with the reason",
    (
        Field("name", "text", "the check, by the name in brackets behind it; required"),
        Field("reason", "text", "why it is accepted; required"),
        Field("date", "date", "when, year-month-day; required"),
    ),
    many=True,
)

CHAPTERS = (ENGINE, WORK, SHAFT, STAGE, CLUTCH, CIRCUIT, BEARING, DRIVELINE, SHEAR_PIN, ACCEPTED)

REQUIRED = {"": ("schema", "name"), "accepted": ("name", "reason", "date")}


def chapter(name: str) -> Section | None:
    """Return the chapter called ``name``, or None."""
    return next((c for c in CHAPTERS if c.name == name), None)


def walk() -> Iterator[tuple[str, Section]]:
    """Yield every section with its dotted path; lists carry ``[NAME]``."""

    def down(path: str, section: Section) -> Iterator[tuple[str, Section]]:
        here = path + section.name + ("[NAME]" if section.many else "")
        yield here, section
        for part in section.parts:
            yield from down(here + ".", part)

    yield "", TOP
    for section in CHAPTERS:
        yield from down("", section)
