"""A centrifugal clutch has no coil: it is judged by its torque at a speed and by the speed at which it engages."""

import pytest
from builders import check_of
from clutch_builds import FLYWHEEL
from jackshaft.buildfile import parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import prove

TEXT = FLYWHEEL.partition("[clutch]")[0] + '[clutch]\nkind = "centrifugal"\nshaft = "engine"\n'
KNOWN = {
    "clutch.static_torque": "80 lbf·ft",
    "clutch.torque_speed": "3000 rpm",
    "clutch.engage_speed": "1800 rpm",
    "engine.idle_speed": "1400 rpm",
}


def results(**changes):
    return work_up(parse(TEXT.encode(), file="centrifugal").with_values(changes))


def test_it_is_asked_for_no_coil_no_voltage_and_no_wire():
    """Seen: chain.engage asked for coil, running voltage and plate torque."""
    bare, known = results(), results(**KNOWN)
    for found in (bare, known):
        asked = {k for c in found.checks for k in c.missing}
        assert not {k for k in asked if k.startswith("circuit.") or "coil" in k or "volt" in k}
    assert set(check_of(bare, "clutch.hold").missing) == set(KNOWN) - {"engine.idle_speed"}
    assert set(check_of(bare, "clutch.idle").missing) == {"engine.idle_speed", "clutch.engage_speed"}
    said = " ".join(bare.chapters["clutch"].cautions)
    assert "slide straight outward" in said


@pytest.mark.parametrize(("work", "verdict"), [("3600 rpm", GO), ("2600 rpm", CAUTION), ("2300 rpm", STOP)])
def test_it_holds_by_the_square_of_its_speed(work, verdict):
    """A shoe presses with m r (w² - 1800²); 17 hp and a peak factor of 2.5 must be held, 1.5 x the work at least."""
    strong = {"engine.rated_power": "40 hp", "engine.rated_speed": "3600 rpm"}  # no peak pulls it down
    at = {"engine.work_speed": work, "work.peak_factor": 1.3}
    found = check_of(results(**KNOWN | strong | at), "clutch.hold")
    rpm = float(work.split()[0])
    holds = 80.0 * (rpm**2 - 1800.0**2) / (3000.0**2 - 1800.0**2) * 1.3558179
    needs = 17 * 745.69987 / (rpm * 0.104719755)
    assert found.found.si == pytest.approx(holds, rel=1e-6)
    by_hand = GO if holds > 1.5 * needs else CAUTION if holds > 1.3 * needs else STOP
    assert found.verdict == verdict == by_hand


def test_new_faces_and_an_allowance_count_at_the_bad_end():
    new = check_of(results(**KNOWN | {"clutch.faces": "new"}), "clutch.hold").found
    run_in = check_of(results(**KNOWN | {"clutch.faces": "burnished"}), "clutch.hold").found
    assert new.low == pytest.approx(0.5 * run_in.low) and new.high == pytest.approx(0.8 * run_in.high)


def test_a_torque_at_the_speed_of_engaging_is_refused_in_words():
    found = check_of(results(**KNOWN | {"clutch.torque_speed": "1800 rpm"}), "clutch.hold")
    assert found.verdict == UNDECIDED and "above the one at which the clutch engages" in found.reason


@pytest.mark.parametrize(("idle", "verdict"), [("1400 rpm", GO), ("1750 rpm", CAUTION), ("1900 rpm", STOP)])
def test_the_work_must_stand_at_idle(idle, verdict):
    found = check_of(results(**KNOWN | {"engine.idle_speed": idle}), "clutch.idle")
    assert found.verdict == verdict and found.guards == (verdict != GO)


def test_a_lower_idle_is_offered():
    found = results(**KNOWN | {"engine.idle_speed": "1900 rpm"})
    cure = prove(found, "clutch.idle")[0]
    assert set(cure.changes) == {"engine.idle_speed"} and cure.verdict_after == GO
    # it stalls at a lower one: another clutch, of which all is asked that the old one holds
    found = results(**KNOWN | {"engine.idle_speed": "1900 rpm", "engine.stall_speed": "1500 rpm"})
    cure = prove(found, "clutch.idle")[0]
    assert set(cure.changes) == {"clutch.engage_speed"} and cure.verdict_after == GO
    assert "80.0 lbf·ft at 3000 rpm" in cure.words


def test_the_chain_knows_it_by_its_torque_at_work():
    data = results(**KNOWN).chapters["chain"].data
    link = data.of_kind("clutch slip")
    assert link.likely == pytest.approx(80 * 1.3558179 * (3600**2 - 1800**2) / (3000**2 - 1800**2), rel=1e-6)
