"""Power lost to height and heat: a printed answer, another method, and that only what the engine has falls."""

import math

import pytest
from builders import check_of
from jackshaft.buildfile import parse
from jackshaft.mechanics.derating import Rule, power_share_si
from jackshaft.parts.derating import power_left
from jackshaft.parts.engine_curve import full_throttle, torque_at
from jackshaft.results import Reader, work_up
from jackshaft.units import OutOfRange
from test_chain_order import DIRECT, FIRST, HEAD, HUB, OUT, PIN, WORK

RPM = math.pi / 30


def reader(**site):
    text = "".join(f'{key} = "{value}"\n' for key, value in site.items())
    return Reader(parse((HEAD.replace("[work]", f"{text}[work]") + OUT).encode(), file="t.toml"))


def at(height, air):
    """The share that is left, likely and at the bad end."""
    return power_left(reader(site_height=f"{height} m", site_air=f"{air} degC"))


def test_the_printed_engine():
    """An agricultural engineering text: 165 hp on a petrol engine are 162.5 hp at 100 °F on low land."""
    left = power_left(reader(site_air="100 degF"))
    assert 165 * left.likely == pytest.approx(162.5, abs=0.05)
    # 3 % for each 1000 ft above 500 ft: 5500 ft cost 15 %
    assert power_left(reader(site_height="5500 ft")).likely == pytest.approx(0.85)


@pytest.mark.parametrize(("height", "air"), [(500, 25), (1500, 25), (3000, 25), (0, 45), (1500, 40)])
def test_the_band_holds_what_another_method_finds(height, air):
    """SAE J1349, from memory: 1.18 (99/p) sqrt(T/298) - 0.18, p of the standard atmosphere in kPa."""
    pressure = min(101.325 * (1 - 2.25577e-5 * height) ** 5.25588, 99.0)
    share = 1 / (1.18 * (99 / pressure) * math.sqrt((air + 273.15) / 298.15) - 0.18)
    left = at(height, air)
    assert left.bad - 0.015 <= share <= left.likely + 0.015


def test_nothing_is_lost_or_gained_below_and_nothing_is_told_beyond():
    assert power_left(reader()) == (1.0, 1.0, "")
    assert at(0, -10)[:2] == (1.0, 1.0) and at(-100, 24)[:2] == (1.0, 1.0)
    rule = Rule(152.4, 304.8, 0.03, 302.6, 5.6, 0.01)
    for height, air in ((4000.1, 290.0), (0.0, 333.3)):
        with pytest.raises(OutOfRange, match="4000 m"):
            power_share_si(height, air=air, rule=rule)
    assert power_share_si(4000.0, air=333.0, rule=rule) < 0.6


def test_a_motor_loses_its_steady_power_only():
    motor = HEAD.replace("petrol engine", "electric motor").replace("[work]", 'site_height = "2000 m"\n[work]')
    build = Reader(parse((motor + OUT).encode(), file="t.toml"))
    assert power_left(build)[:2] == pytest.approx((0.94, 0.90))
    hot, cool = (
        work_up(parse((text + DIRECT + OUT + FIRST).encode(), file="t.toml"))
        for text in (motor.replace('power = "3 kW"', f'power = "{power} kW"') for power in (5.6, 5))
    )
    assert check_of(hot, "ratio.power").verdict == "stop" and "steady power" in check_of(hot, "ratio.power").reason
    assert check_of(cool, "ratio.power").verdict != "stop"
    assert check_of(hot, "ratio.power").found.si == check_of(cool, "ratio.power").found.si


def test_what_the_engine_has_falls_and_what_may_break_the_drive_does_not():
    """6 kW at 3000 rpm are 19.10 N·m, just the peak of the work; at 1500 m there is a sixth less, at the bad end."""
    low, high = (
        work_up(parse("".join((text, DIRECT, OUT, HUB, WORK, FIRST, PIN)).encode(), file="t.toml"))
        for text in (HEAD, HEAD.replace("[work]", 'site_height = "1500 m"\n[work]'))
    )
    assert check_of(low, "ratio.power").verdict == "go"
    check = check_of(high, "ratio.power")
    assert check.verdict == "caution" and "Height and heat take 13 %" in check.reason and "17 %" in check.reason
    assert check.found.si == pytest.approx((1 - 0.035 * 1500 / 304.8) * 6000 / (3000 * RPM))
    chains = [{k.name: k.high for k in r.chapters["chain"].data.links} for r in (low, high)]
    assert chains[0] == chains[1]


def test_the_run_up_has_the_likely_torque_and_the_bad_end_less():
    there, plain = reader(site_height="1500 m", site_air="35 degC"), reader()
    left = power_left(there)
    speed = 2000 * RPM
    for low, share in ((False, left.likely), (True, left.bad)):
        ratio = full_throttle(there, 1.0, low=low)[0](speed) / full_throttle(plain, 1.0, low=low)[0](speed)
        assert ratio == pytest.approx(share)
    assert torque_at(there, speed)[0] == pytest.approx(left.bad * torque_at(plain, speed)[0])
    assert torque_at(there, speed)[1] == pytest.approx(left.likely * torque_at(plain, speed)[1])
