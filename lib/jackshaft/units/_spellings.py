"""How the shop spells its units: one block a kind, one line a unit.

A line is ``pint unit | spelling, spelling, ... > note``.  ``!`` before a spelling means that capitals
matter in it (mA is not MA).  The note, where there is one, is handed back with the value that was read;
``{u}`` in it stands for the unit as typed.  Separators need not be repeated: a space, a hyphen, a dot
and a star between two units are all the same to the reader, and so are m², m2 and m^2.
"""

from __future__ import annotations

_POUND = "pound_force | lbf, lbsf\n pound_force | lb, lbs, #, pound, pounds > {u} read as pounds-force (lbf)"
_KILO = "kilogram_force | kgf, kp\n kilogram_force | kg, kilo, kilos > {u} read as kilograms-force (kgf)"


def _both_ways(force: str, length: str) -> str:
    """Every usual way to write force times length, in either order, with and without a separator."""
    pairs = [(a, b) for a in force.split() for b in length.split()]
    return ", ".join(f"{a}·{b}, {b}·{a}, {a}{b}, {b}{a}" for a, b in pairs)


def _length_first(force: str, length: str) -> str:
    return ", ".join(f"{b}·{a}, {b}{a}" for a in force.split() for b in length.split())


SPELLINGS: dict[str, str] = {
    "length": """
        inch | in, ", inch, inches, ins
        foot | ft, ', foot, feet
        thou | thou, thousandth, thousandths
        thou | mil, mils > {u} read as thousandths of an inch
        yard | yd, yard, yards
        millimeter | mm, millimetre, millimetres, millimeter, millimeters
        centimeter | cm, centimetre, centimetres, centimeter, centimeters
        meter | !m, metre, metres, meter, meters
        micrometer | μm, um, micron, microns, micrometre, micrometres
    """,
    "rotation": """
        revolution/minute | rpm, r/min, rev/min, revs/min, turn/min, turns/min, U/min, tr/min
        revolution/minute | 1/min, /min, min-1
        revolution/second | rps, r/s, rev/s, revs/s, turns/s
        radian/second | rad/s
        degree/second | deg/s, °/s
    """,
    "surface speed": """
        foot/minute | ft/min, fpm, sfm, sfpm, feet/min, feet/minute, ft/minute
        foot/second | ft/s, fps, ft/sec, feet/s, feet/second
        inch/second | in/s, ips, in/sec
        inch/minute | in/min, ipm
        meter/second | m/s, mps, m/sec
        meter/minute | m/min
        millimeter/second | mm/s
        kilometer/hour | km/h, kph, kmh
        mile/hour | mph, mi/h
    """,
    "force": f"""
        newton | N, newton, newtons
        kilonewton | kN
        decanewton | daN
        {_POUND}
        ounce_force | ozf
        ounce_force | oz, ounce, ounces > {{u}} read as ounces-force (ozf)
        kip | kip, kips
        {_KILO}
        gram_force | gf
        gram_force | g, gram, grams > {{u}} read as grams-force (gf)
    """,
    "torque": f"""
        pound_force*foot | {_both_ways("lbf lb lbs", "ft")}, ft·#
        pound_force*foot | foot·pounds, foot·pound, pound·feet, pound·foot
        pound_force*inch | {_both_ways("lbf lb lbs", "in")}, in·#
        pound_force*inch | inch·pounds, inch·pound, pound·inches, pound·inch
        ounce_force*inch | {_both_ways("ozf oz", "in")}, inch·ounces
        newton*meter | N·m, Nm, newton·metre, newton·metres, newton·meter, newton·meters
        newton*millimeter | N·mm, Nmm
        newton*centimeter | N·cm, Ncm
        decanewton*meter | daN·m, daNm
        kilonewton*meter | kN·m, kNm
        kilogram_force*meter | kgf·m, kgfm, kp·m, kpm, m·kgf
        kilogram_force*meter | kg·m, kgm, m·kg > {{u}} read as kilogram-force metres (kgf·m)
        kilogram_force*centimeter | kgf·cm, kp·cm
        kilogram_force*centimeter | kg·cm > {{u}} read as kilogram-force centimetres (kgf·cm)
    """,
    "energy": f"""
        joule | J, joule, joules, W·s, Ws
        kilojoule | kJ
        megajoule | !MJ
        watt*hour | Wh, W·h
        kilowatt*hour | kWh, kW·h
        pound_force*foot | {_length_first("lbf lb lbs", "ft")}, foot·pounds, foot·pound
        pound_force*inch | {_length_first("lbf lb lbs", "in")}, inch·pounds, inch·pound
        british_thermal_unit | Btu
    """,
    "power": """
        horsepower | hp, bhp, horsepower
        metric_horsepower | PS, cv, pk, ch > {u} read as metric horsepower (735.5 W)
        watt | W, watt, watts
        milliwatt | !mW
        kilowatt | kW, kilowatt, kilowatts
        foot*pound_force/second | ft·lbf/s, ft·lb/s
        foot*pound_force/minute | ft·lbf/min, ft·lb/min
    """,
    "current": """
        ampere | A, amp, amps, ampere, amperes
        milliampere | !mA, milliamp, milliamps
        microampere | μA, uA
        kiloampere | kA
    """,
    "voltage": """
        volt | V, volt, volts
        volt | VDC, V·DC, VAC, V·AC
        millivolt | !mV, millivolt, millivolts
        kilovolt | kV
    """,
    "resistance": """
        ohm | Ω, ohm, ohms
        milliohm | !mΩ, !mohm, !mohms, milliohm, milliohms
        microohm | μΩ, uΩ, uohm, microohm, microohms
        kiloohm | kΩ, kohm, kohms
        megaohm | !MΩ, !Mohm, !Mohms, megohm, megohms
    """,
    "angle": """
        degree | °, deg, degs, degree, degrees
        arcminute | ', arcmin
        arcsecond | ", arcsec
        radian | rad, radian, radians
        milliradian | mrad
        turn | turn, turns, rev, revs
    """,
    "mass": """
        kilogram | kg, kilo, kilos
        gram | g, gram, grams
        metric_ton | t, tonne, tonnes
        pound | lb, lbs, lbm, #, pound, pounds
        ounce | oz, ounce, ounces
        slug | slug, slugs
    """,
    "stress": """
        pascal | Pa
        kilopascal | kPa
        megapascal | !MPa, !MPA, N/mm2
        gigapascal | GPa
        newton/meter**2 | N/m2
        bar | bar
        psi | psi, lbf/in2, lb/in2, lbf/sq in
        kpsi | ksi, kpsi
        megapsi | Msi
        kilogram_force/centimeter**2 | kgf/cm2, kp/cm2
        kilogram_force/centimeter**2 | kg/cm2 > {u} read as kgf/cm²
        kilogram_force/millimeter**2 | kgf/mm2
        kilogram_force/millimeter**2 | kg/mm2 > {u} read as kgf/mm²
    """,
    "time": """
        second | s, sec, secs, second, seconds
        millisecond | ms, msec
        minute | min, mins, minute, minutes
        hour | h, hr, hrs, hour, hours
        day | d, day, days
    """,
    "temperature": """
        degC | °C, C, degC, deg C, celsius
        degF | °F, F, degF, deg F, fahrenheit
        kelvin | !K, °K, kelvin
    """,
    "temperature rise": """
        kelvin | !K, °K, kelvin, kelvins, °C, C, degC, deg C, Δ°C, ΔC, ΔK
        delta_degF | °F, F, degF, deg F, Δ°F, ΔF
    """,
    "inertia": """
        kilogram*meter**2 | kg·m2, kgm2
        kilogram*centimeter**2 | kg·cm2, kgcm2
        kilogram*millimeter**2 | kg·mm2
        gram*centimeter**2 | g·cm2
        pound*inch**2 | lb·in2, lbs·in2, lbm·in2, in2·lb
        pound*foot**2 | lb·ft2, lbs·ft2, lbm·ft2, ft2·lb
        ounce*inch**2 | oz·in2
        slug*foot**2 | slug·ft2, lbf·ft·s2, ft·lbf·s2
        pound_force*inch*second**2 | lbf·in·s2, in·lbf·s2
    """,
    "area": """
        millimeter**2 | mm2, sq mm, sqmm, square millimetres, square mm
        centimeter**2 | cm2, sq cm, sqcm, square centimetres
        meter**2 | m2, sq m, square metres
        inch**2 | in2, sq in, sqin, square inches, square inch
        foot**2 | ft2, sq ft, sqft, square feet
        kcmil | kcmil, MCM
    """,
    "wire": """
        millimeter**2 | mm2, sq mm, sqmm, square millimetres, square mm
        kcmil | kcmil, MCM
    """,
    "frequency": """
        hertz | Hz, hertz, 1/s, /s, s-1, cycles/s
        kilohertz | kHz
    """,
    "linear density": """
        kilogram/meter | kg/m
        gram/meter | g/m
        pound/foot | lb/ft, lbs/ft, lbm/ft
        pound/inch | lb/in, lbs/in, lbm/in
        ounce/foot | oz/ft
    """,
    "spring rate": """
        newton/meter | N/m
        newton/millimeter | N/mm, kN/m
        pound_force/inch | lbf/in
        pound_force/inch | lb/in, lbs/in > {u} read as pounds-force per inch (lbf/in)
        pound_force/foot | lbf/ft
        pound_force/foot | lb/ft, lbs/ft > {u} read as pounds-force per foot (lbf/ft)
        kilogram_force/millimeter | kgf/mm
        kilogram_force/millimeter | kg/mm > {u} read as kgf/mm
        kilogram_force/centimeter | kgf/cm
        kilogram_force/centimeter | kg/cm > {u} read as kgf/cm
    """,
    "charge": """
        ampere*hour | Ah, A·h, amp·hour, amp·hours
        milliampere*hour | !mAh, !mAH, !mA·h
        coulomb | coulomb, coulombs, A·s, As
    """,
    "number": """
        percent | %, percent, per cent, pct
    """,
    "volume": """
        meter**3 | m3
        liter | L, litre, litres, liter, liters
        centimeter**3 | cm3, cc, mL, ml
        millimeter**3 | mm3
        inch**3 | in3, cu in, cubic inches
        foot**3 | ft3, cu ft, cubic feet
    """,
    "density": """
        kilogram/meter**3 | kg/m3
        gram/centimeter**3 | g/cm3, kg/L, kg/dm3
        pound/inch**3 | lb/in3, lbm/in3
        pound/foot**3 | lb/ft3, lbm/ft3
    """,
    "acceleration": """
        meter/second**2 | m/s2
        foot/second**2 | ft/s2
        standard_gravity | g, gn
    """,
    "angular acceleration": """
        radian/second**2 | rad/s2
        revolution/minute/second | rpm/s, r/min/s
    """,
    "second moment": """
        meter**4 | m4
        millimeter**4 | mm4
        centimeter**4 | cm4
        inch**4 | in4
    """,
    "torsional stiffness": """
        newton*meter/radian | N·m/rad, Nm/rad
        newton*meter/degree | N·m/deg, N·m/°, Nm/deg
        pound_force*foot/radian | lbf·ft/rad, ft·lbf/rad
        pound_force*inch/radian | lbf·in/rad, in·lbf/rad
        pound_force*foot/degree | lbf·ft/deg, ft·lbf/deg
    """,
    "linear resistance": """
        ohm/meter | Ω/m, ohm/m
        milliohm/meter | !mΩ/m, Ω/km, ohm/km
        ohm/foot | Ω/ft, ohm/ft
        milliohm/foot | !mΩ/ft, Ω/kft, ohm/kft
    """,
    "linear power": """
        watt/meter | W/m
        watt/foot | W/ft
    """,
    "temperature coefficient": """
        kelvin**-1 | 1/K, /K, K-1, 1/°C, /°C
        percent/kelvin | %/K, %/°C
        percent/delta_degF | %/°F
    """,
    "specific heat": """
        joule/kilogram/kelvin | J/kg/K, J/kg·K, J/kg·°C
        kilojoule/kilogram/kelvin | kJ/kg/K, kJ/kg·K
        british_thermal_unit/pound/delta_degF | Btu/lb/°F, Btu/lb·°F
    """,
    "thermal conductance": """
        watt/kelvin | W/K, W/°C
        milliwatt/kelvin | !mW/K, !mW/°C
    """,
    "heat flux": """
        watt/meter**2 | W/m2
        watt/centimeter**2 | W/cm2
        watt/millimeter**2 | W/mm2
    """,
    "inductance": """
        henry | H, henry
        millihenry | !mH
        microhenry | μH, uH
    """,
    "joule integral": """
        ampere**2*second | A2·s, A2s
    """,
}
