"""A clutch that takes more than the engine has: whether the engine stalls depends on its flywheel and stall speed."""

import math

import pytest
from builders import check_of
from clutch_builds import FLYWHEEL
from clutch_builds import circuit_check as check
from jackshaft.buildfile import parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED

ID = "clutch.engagement"
#: 0.7 of 84 lbf·ft while it slips (common practice), 1.526 kg·m² behind it (200 lb as a disc of 26 in over 1.8 : 1).
SLIPS, BEHIND, HAS = 0.7 * 84.0 * 1.3558179, 1.526, 20.0 * 1.3558179
RPM, LB_FT2 = 2 * math.pi / 60, 0.45359237 * 0.3048**2
WEAK = {"clutch.engage_speed": "3000 rpm", "engine.peak_torque": "20 lbf·ft"}
PULLEYS = """
[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "wheel"
section = "B"
centres = "24 in"
driver = "E"
driven = "F"

[[stage.pulley]]
name = "E"
diameter = "5.75 in"

[[stage.pulley]]
name = "F"
diameter = "10.35 in"
"""


def build_of(text=FLYWHEEL, **changes):
    return parse(text.encode(), file="flywheel").with_values(WEAK | changes)


def meets_at(inertia: float) -> float:
    """Speed (rpm) at which flywheel and work meet, all torques constant, the work without a load of its own."""
    falls, rises = (SLIPS - HAS) / inertia, SLIPS / BEHIND
    return rises * 3000.0 / (falls + rises)


def test_a_clutch_stronger_than_its_engine_is_no_go_with_the_flywheel_unknown():
    """Seen: go, with the engine's speed taken as held, where a small flywheel makes the engine stall."""
    found = check(build_of(), ID)
    assert found.verdict == UNDECIDED and found.missing == ("engine.inertia", "engine.stall_speed")
    assert "20.0 lbf·ft" in found.reason and "speed held" in found.reason and "estimate" in found.reason
    one = check(build_of(**{"engine.stall_speed": "1200 rpm"}), ID)
    assert one.verdict == UNDECIDED and one.missing == ("engine.inertia",)
    other = check(build_of(**{"engine.inertia": "1000 lb·ft²"}), ID)
    assert other.verdict == UNDECIDED and other.missing == ("engine.stall_speed",)


@pytest.mark.parametrize(("flywheel", "verdict"), [(0.6, STOP), (1000.0, GO)])
def test_flywheel_and_stall_speed_decide_it(flywheel, verdict):
    """Small, they would meet at 73 rpm, below the 1200 rpm of the stall; large, at 2930 rpm."""
    assert (meets_at(flywheel * LB_FT2) > 1200.0) == (verdict == GO)
    known = {"engine.inertia": f"{flywheel} lb·ft²", "engine.stall_speed": "1200 rpm"}
    assert check(build_of(**known), ID).verdict == verdict


def test_an_engine_of_unknown_torque_is_not_taken_to_keep_its_speed():
    """Without peak torque and plate nothing says that the engine keeps up; its plate may."""
    found = check(build_of(**{"engine.peak_torque": ""}), ID)
    assert found.verdict == UNDECIDED
    assert found.missing == ("engine.peak_torque", "engine.inertia", "engine.stall_speed")
    # 90 hp at 3600 rpm is 131 lbf·ft, more than the clutch has at its strongest
    plate = {"engine.peak_torque": "", "engine.rated_power": "90 hp", "engine.rated_speed": "3600 rpm"}
    assert check(build_of(**plate), ID).verdict == GO


def test_a_clutch_stronger_than_its_engine_only_when_cold_is_a_caution():
    """Slipping at 58.8 lbf·ft (0.7 of 84), and up to 71.4 lbf·ft (0.85 of it): 65 lbf·ft lies between."""
    found = check(build_of(**{"engine.peak_torque": "65 lbf·ft"}), ID)
    assert found.verdict == CAUTION and "flywheel" in found.reason
    assert "larger clutch" not in found.remedy  # it would stall the engine sooner
    assert check(build_of(**{"engine.peak_torque": "85 lbf·ft"}), ID).verdict == GO


def test_a_stop_by_the_heat_stays_one():
    assert check(build_of(**{"clutch.engage_speed": "3600 rpm"}), ID).verdict == STOP


def test_what_the_pulleys_lack_is_named_by_the_clutch():
    """Seen: 'not known yet' without a key, with pulleys whose diameters are not said to be outside or pitch."""
    start, rest = FLYWHEEL.index("[[stage]]"), FLYWHEEL.index("[clutch]")
    text = FLYWHEEL[:start] + PULLEYS + FLYWHEEL[rest:]
    build = build_of(text, **{"work.power_at": "wheel"})
    wanted = {f"stage[belt].pulley[{p}].measured_as" for p in "EF"}
    results = work_up(build, ("clutch",))
    for id in ("clutch.hold", "clutch.pull-in", ID):
        found = check_of(results, id)
        if id == "clutch.hold" and found.verdict != UNDECIDED:
            continue  # the engine's own torque is known, and it is judged by that
        assert found.verdict == UNDECIDED and set(found.missing) == wanted, (id, found.missing)
    no_peak = build.with_values({"engine.peak_torque": ""})
    assert set(check(no_peak, "clutch.hold").missing) == wanted


def test_the_state_of_a_slipping_torque_is_named():
    """Seen: one notebook counts a cold clutch, another a hot one, and the torque was shown without its state."""
    found = check(build_of(), "clutch.pull-in")
    assert "coil hot" in found.reason and "cold" in found.reason and "run in" in found.reason
