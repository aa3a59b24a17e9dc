"""What a build file may say of shafts, the joints on them, and bearings."""

from __future__ import annotations

from jackshaft.buildfile.fields import Field, Section
from jackshaft.buildfile.fields import size as _size

#: Splines of tractor shafts, and ways to mend a worn keyseat or spline.
SPLINES = ("type 1, 540 rpm", "type 1, 1000 rpm", "type 2, 1000 rpm", "type 3, 1000 rpm", "type 4, 1300 rpm")
REPAIRS = (
    "wider seat, stepped key",
    "new keyseat opposite",
    "new keyseat a quarter round",
    "sleeve, pinned",
    "sleeve, pressed on",
    "cross pin through the hub",
    "key welded in",
    "hub welded on",
)

SHAFT = Section(
    "shaft",
    "Shafts",
    "each shaft after the engine's",
    (
        Field("name", "text", "what it is called; required"),
        _size("diameter", "diameter"),
        _size("yield_strength", "yield strength of the steel", "stress"),
        _size("tensile_strength", "tensile strength of the steel", "stress"),
        Field("material", "text", "what it is made of, as sold"),
        _size("work_speed", "its speed at work, where no engine or stage in this file gives it", "rotation"),
        Field(
            "finish",
            "choice",
            "its surface; machined or cold-drawn when not said",
            ("machined or cold-drawn", "ground", "hot-rolled"),
        ),
        Field("torque_ripple", "number", "swing of its torque as a share of the mean", least=0.0, most=2.0),
        Field("notes", "text", "welds, wear, repairs"),
    ),
    (
        Section(
            "step",
            "Steps of the shaft",
            "lengths of one diameter, end to end; a shaft without them is one diameter all along",
            (
                Field("name", "text", "what it is called; required"),
                Field("start", "length", "where it begins, from the shaft's zero mark", tape=True),
                Field("end", "length", "where it ends", tape=True),
                _size("diameter", "diameter"),
                Field("bore", "length", "bore of a hollow length", least=0.0),
            ),
            many=True,
        ),
        Section(
            "feature",
            "Features that weaken the shaft",
            "keyseats, shoulders, grooves, holes and welds, each at its place",
            (
                Field("name", "text", "what it is called; required"),
                Field("position", "length", "distance from the shaft's zero mark", tape=True),
                Field(
                    "kind",
                    "choice",
                    "what it is",
                    (
                        "end-milled keyseat",
                        "sled-runner keyseat",
                        "sharp shoulder",
                        "shoulder with a radius",
                        "ring groove",
                        "press-fit edge",
                        "cross hole or screw dimple",
                        "weld",
                    ),
                ),
            ),
            many=True,
        ),
        Section(
            "joint",
            "Joints that carry torque",
            "what holds a hub, a flange or a weld on the shaft",
            (
                Field("name", "text", "what it is called; required"),
                Field(
                    "kind",
                    "choice",
                    "what it is",
                    ("parallel key", "set screws", "split hub", "flange", "weld ring", "taper bush", "spline"),
                ),
                Field("position", "length", "distance from the shaft's zero mark", tape=True),
                _size("width", "width of a key"),
                _size("height", "height of a key; as wide as high when not said"),
                _size("length", "length of a key or a spline in both parts"),
                Field("profile", "choice", "which spline of a tractor shaft, with its speed", SPLINES),
                Field("fit", "choice", "how a spline sits; fixed when not said", ("fixed", "slides under load")),
                Field("wear", "length", "worn off the thickness of a spline's tooth", least=0.0),
                Field(
                    "end_faces",
                    "choice",
                    "which way the splined end looks",
                    ("away from the engine", "toward the engine"),
                ),
                Field(
                    "end_is",
                    "choice",
                    "whether the splined end drives or is driven; driving when not said",
                    ("driving", "driven"),
                ),
                Field("repair", "choice", "how a worn keyseat or spline was mended, or shall be", REPAIRS),
                _size("pin", "diameter of a cross pin; a quarter of the shaft when not said"),
                _size("key_yield", "yield strength of the key", "stress"),
                _size("hub_yield", "yield strength of the hub's material", "stress"),
                Field("screw", "text", "size of a set screw", table=("setscrews", "size")),
                Field("bolt", "text", "size of a bolt", table=("bolts", "size")),
                Field("grade", "text", "grade of the bolts", table=("bolts", "grade")),
                Field("count", "count", "screws or bolts", least=1, most=24),
                _size("circle", "diameter of the bolt circle"),
                Field(
                    "friction",
                    "number",
                    "friction of hub on shaft or face on face; 0.12 when not said",
                    over=0.0,
                    most=0.6,
                ),
                _size("leg", "leg of the fillet weld"),
                Field("rings", "count", "weld rings, 2 where both ends are welded", least=1, most=2),
                _size("electrode", "tensile strength of the weld metal", "stress"),
                _size("rating", "torque its maker allows", "torque"),
            ),
            many=True,
        ),
        Section(
            "load",
            "What pulls on the shaft",
            "pulleys, rotors and weights along it",
            (
                Field("name", "text", "what it is; required"),
                Field("position", "length", "distance from the shaft's zero mark, along the shaft", tape=True),
                Field("stage", "reference", "belt stage whose pull it carries", refers=("stage",)),
                Field("pull", "force", "sideways pull, when no stage gives it", least=0.0),
                Field("toward", "angle", "direction of the pull: 0 right, 90 up, -90 down"),
                _size("weight", "mass of the part, the shaft's own left out", "mass"),
            ),
            many=True,
        ),
    ),
    many=True,
)

BEARING = Section(
    "bearing",
    "Bearings",
    "each bearing, as measured",
    (
        Field("name", "text", "what it is called; required"),
        Field("shaft", "reference", "the shaft it carries", refers=("shaft",)),
        Field("position", "length", "distance from the shaft's zero mark, along the shaft", tape=True),
        _size("bore", "bore"),
        _size("outside", "outside diameter"),
        _size("width", "width"),
        Field(
            "measured_with",
            "choice",
            "instrument the three were read with",
            ("calipers", "micrometer", "bore gauge", "telescoping gauge", "steel rule", "tape"),
        ),
        _size("seat", "diameter of the shaft at the bearing"),
        Field("seat_measured_with", "choice", "instrument the seat was read with", ("calipers", "micrometer", "tape")),
        Field("marking", "text", "what is stamped or printed on it", absent=True),
        Field("designation", "text", "size decided on, by its usual number"),
        _size("dynamic_rating", "dynamic load rating from its maker", "force"),
        _size("static_rating", "static load rating from its maker", "force"),
        Field(
            "static_rating_is",
            "choice",
            "generation of that static rating: newer (f0 stands beside it, about 1990 and after) or "
            "older (axial-load table without f0); by the figure itself when not said",
            ("newer", "older"),
        ),
        Field(
            "static_rating_factor",
            "number",
            "factor f0 beside the static rating in its maker's catalogue",
            over=5.0,
            most=25.0,
        ),
        Field("turning_ring", "choice", "the ring that turns", ("inner", "outer")),
        Field("closure", "choice", "what closes it", ("open", "shielded", "sealed")),
        Field("located", "yes/no", "it holds the shaft endways; the others float"),
        _size("radial_load", "load across the shaft it carries, where no shaft in this file gives it", "force"),
        _size("work_speed", "speed of its turning ring, where no shaft in this file gives it", "rotation"),
        _size("room_outside", "largest outside diameter there is room for"),
        _size("room_width", "room along the shaft"),
        Field(
            "reliability",
            "number",
            "share of such bearings that shall outlive the figure; 0.9 when not said",
            least=0.9,
            most=0.9995,
        ),
        Field(
            "oil_viscosity",
            "number",
            "viscosity of its oil or of the grease's oil when warm, in mm²/s (cSt)",
            over=0.0,
            most=2000.0,
        ),
        Field("axial_load", "force", "load along the shaft it must take", least=0.0),
        Field("shock_factor", "number", "factor on the load for shock", least=1.0, most=5.0),
    ),
    many=True,
)

__all__ = ["BEARING", "REPAIRS", "SHAFT", "SPLINES"]
