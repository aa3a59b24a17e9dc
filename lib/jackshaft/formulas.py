"""The formulas of the workbook on one shelf, to work a number by hand.

Each takes shop text ("4.65 in"), a measured value or a quantity, refuses a bare number, and gives back quantities with
their units. A pulley, a ring or a disc is given by its diameter; where a radius is meant, the argument says radius.
What is not known yet gives a result that is not known yet. ``help(belt_ratio)`` shows units, range and source.

Ratio and speed

    belt_ratio                   speed ratio of a belt stage from its diameters on the cord line
    tooth_ratio                  speed ratio of a roller chain or a gear pair from its tooth counts
    tip_speed                    speed of a rim, a tip or a belt from the diameter it is on
    error_of_diameters           error in the driven speed where other diameters than those of the cord line are used

Estimates

    engine_displacement          displacement of an engine from its bore and stroke
    power_from_displacement      power that an engine without a plate is likely to give, as a band
    speed_counted                speed from counting turns in a time, as a band
    speed_from_sound             speed of an engine from the lowest tone of its exhaust, as a band
    power_from_fuel              mean power that an engine gave, from the fuel that it burnt, as a band
    power_from_brake             power of a shaft from a scale on a lever while it slipped, as a band
    unmarked_pulley              grooves that a pulley without marks may have, and its diameters

Belts and pulleys

    grooved                      diameters of a grooved pulley on all three lines
    flat                         diameter of the cord line of a belt on a flat pulley
    turned_groove                diameters of a home-turned groove from its top width and angle
    over_rods                    measure over two equal rods that lie opposite each other in a V groove
    groove_wear                  wear of a groove wall from how far the belt has sunk in it
    belt_path                    follow the belt round pulleys given by their diameters
    two_pulleys                  length, strand and wraps of a two-pulley drive in closed form, open or crossed
    centre_distance              centre distance at which a belt of given length fits two pulleys: exact

Tension and rating

    deflection_force             force at mid-span that deflects a strand by a set share of its length
    tension_from_deflection      tension from the force that deflects a strand by a set share of its length
    span_frequency               first natural frequency of a plucked strand
    tension_from_frequency       tension from the pluck frequency of a strand
    centrifugal                  part of a belt's tension that only bends it round its pulleys at speed
    spring_length                length of a coil spring at which it pulls with a wanted force
    rated_power                  rated power of one classical or narrow belt at half a turn of wrap and its base lengt
    rated_power_light            rated power of one light-duty belt
    arc_factor                   arc-of-contact factor of a belt in grooves: the capstan law
    length_factor                length factor: short belts flex more often an hour

Clutch

    torque_from_power            torque of a shaft that passes a power
    slip_test                    torque at which the clutch slipped, from a scale on a lever
    face_torque                  torque of flat ring faces under a clamping force
    torque_at_current            scale a known torque to another coil current, as a band
    required_torque              torque the clutch must hold when locked and pull while it slips
    shoe_torque                  torque that the shoes of a centrifugal clutch hold at a speed
    shoe_engages                 speed at which they touch the drum, from the pull of their springs
    brake_stop                   time the driven side takes to stop when the clutch lets go
    engage                       two inertias brought together by a slipping clutch, all torques constant
    engage_governed                run-up of the driven side while the governor holds the engine's speed
    engage_rising                  run-up from rest, the engine's speed held
    engage_below                 highest engine speed at which one engagement keeps the faces' rise within a limit
    engage_below_rising          highest engine speed that keeps the rise within a limit
    disc_inertia                 inertia of a disc, cylinder or thick ring about its axis
    bar_inertia                  inertia of a straight bar that turns about an axis across it
    rim_inertia                  inertia of a thin rim, or of any mass that stands on one circle
    run_down_inertia             inertia from a run-down test against a known steady torque
    reflect_inertia              inertia of a load as the clutch feels it
    temperature_rise             mean temperature rise of the clutch's faces by one engagement
    slip_time                    time for which plates may slip at a steady power until they are too hot

Coil and wiring

    hot_resistance               resistance of a copper winding at another temperature
    coil_current                 steady current of a coil behind the resistance of its line
    lead_check                   take the meter leads off a low resistance and say how far the rest can be trusted
    coil_match                   judge from its resistance whether a coil is wound for the supply
    inductance                   inductance of a coil on a magnetic circuit
    wire_size                    find the trade size that a copper area is: true gauge, automotive gauge or metric
    wire_resistance              resistance of a run of copper wire
    wire_for_drop                copper area that keeps the drop of a run within a limit
    ampacity                     current a wire may carry all day as it lies
    terminal_limit               steady current of a tab terminal crimped on a wire
    choose_fuse                  choose a fuse that carries the load all day and still protects the wire
    fuse_check                   judge a fuse that is fitted: the load below it, the wire above it
    relay_coil                   judge a relay's coil on its supply
    contact_heat                 heat in a contact, connector or joint
    charging_budget              charging output against the loads, and how long the battery bridges a shortfall

Bearings

    bearing_ratings              ratings of a listed bearing, for design before the maker is known
    equivalent_load              equivalent dynamic load of a single-row deep-groove ball bearing
    bearing_life                 basic rating life L10 in revolutions and as running time
    needed_rating                dynamic rating C that lasts a wanted time
    static_safety                static safety s0: C0 over the equivalent static load
    axial_limit                  largest purely axial load of a deep-groove bearing
    speed_limit                  speed limit of a single-row ball bearing with grease
    least_load                   load under which the balls skid instead of rolling
    reliability_factor           factor a1 on the life for a reliability above 90 per cent
    bearing_reading              make a reading with its limit
    identify_bearing             rank the sizes that the readings could mean
    near_misses                  bores of the other system near a bore
    find_size                    look a size up by its number
    equivalents                  other listed sizes that could stand in for one that cannot be had
    choose_size                  listed sizes that go into a place
    under_snap_ring              bearings whose retaining ring, left on while measuring, would read like this
    snap_ring                    groove and retaining ring of a bearing by its outside diameter
    fit_limits                   limits of a size in a fit class
    ring_limits                  limits of a new bearing ring of Normal class
    choose_fit                   which ring gets the interference, and the two fit classes
    seat_interference            interference of an inner ring on its seat, and whether it is enough
    clearance_left               radial clearance left in a bearing after fitting and warming
    ring_warming                 temperature at which an inner ring slides onto its seat
    largest_fillet               largest fillet a shaft shoulder may have under a bearing's chamfer
    insert_seat                  shaft class that an insert wants for its load
    insert_play                  play of a new insert on a shaft
    insert_speed                 highest speed of an insert on a shaft of a class
    insert_screws                set screws of an insert, and the band of their torques
    insert_housings              housings of a size code
    grease_portion               grease that a bearing is given each time
    shaft_growth                 how much longer a shaft gets than the frame that holds its bearings

Shafts

    bending_stress               stress at the surface from bending
    torsion_stress               shear stress at the surface from torque
    torque_at_yield              torque at which a plain shaft begins to twist for good
    duty                         split the moment and the torque of a section into swing and mean
    endurance_limit              stress that a real shaft stands reversed for ever
    strength                     safety of a section against fatigue and yielding
    diameter_needed              smallest diameter that holds against fatigue and yielding
    raiser                       stress raiser of a feature by its name in the table
    next_stock                   next size of round bar a steel counter keeps
    bar_for                      round bar to ask for, for a shaft that is turned all over
    spindle_speed                speed of a lathe's spindle from the cutting speed and the diameter
    unbalance_allowed            weight that may be left on one side of a part that turns, at its rim
    side_load                    pull on a crank against the engine maker's limit

Joints

    set_screw                    look a set screw up
    set_screw_torque             torque of a hub held by set screws
    clamp_torque                 torque a clamped or split hub holds by friction
    flange_torque                torque of a bolted flange, by friction and by shear
    shear_pin_torque             torque that breaks a shear pin or shear bolt
    press_torque                 torque of a sleeve pressed or shrunk on a solid shaft of the same stiffness
    key_for                      size of the parallel key that belongs to a shaft
    key_capacity                 torque at which a parallel key gives way
    spline_profile               look a tractor spline up
    spline_pressure              look up the pressure that the flanks of a spline stand
    flank_torque                 torque at a pressure on the flanks
    tooth_torque                 torque at a shear stress at the foot of the teeth
    weld_ring                    throat stress of a fillet weld all round a shaft
    weld_allowed                 stress allowed on the throat of a fillet weld

Roller chain

    sprocket_pitch_diameter      circle on which the pins of a chain sit on a sprocket
    sprocket_sizes               diameters by which a sprocket is turned, cut and measured
    chain_path                   length of a chain in pitches, wraps and free strand
    chain_centres                centres at which a chain of so many pitches is just straight
    speed_swing                  swing of a chain's speed over one tooth
    chain_rating                 rated power of one strand by plates, and by rollers and bushings
    slack_in                     chain that is longer than straight, from how far its middle moves
    movement_of                  how far the middle of a slack strand moves

Telescoping shaft

    stance                       distance and angles of both joints at a lift of the attachment
    speed_of_joints              how the driven shaft's speed swings over a turn
    left_angle                   angle of the one joint that would turn as unevenly as both do
    joint_load                   most torque and bending that a universal joint makes
    pair_load                    most torque on both joints, and on the shaft that they drive
    tube_whirl                   first whirl speed of a tube between two joints

Guards

    reach_over                   level distance that a guard which is open above must keep from what turns
    reach_through                distance that an opening of a guard must keep from what turns

What gives first

    carried_over                 carry a torque from a shaft down the drive to the shaft that all are compared on
    while_slipping               torque at a place of the drive while the clutch slips and speeds the work up
"""

# ruff: noqa: F401
from __future__ import annotations

from jackshaft.mechanics.balance import unbalance_allowed
from jackshaft.mechanics.bearing_id import identify as identify_bearing
from jackshaft.mechanics.bearing_id import reading as bearing_reading
from jackshaft.mechanics.bearing_limits import axial_limit, least_load, reliability_factor, speed_limit, static_safety
from jackshaft.mechanics.bearing_sizes import choose as choose_size
from jackshaft.mechanics.bearing_sizes import equivalents
from jackshaft.mechanics.bearing_sizes import find as find_size
from jackshaft.mechanics.bearings import equivalent_load, needed_rating
from jackshaft.mechanics.bearings import life as bearing_life
from jackshaft.mechanics.bearings import ratings as bearing_ratings
from jackshaft.mechanics.chain import carried_over, while_slipping
from jackshaft.mechanics.clutch import (
    brake_stop,
    face_torque,
    required_torque,
    slip_test,
    torque_at_current,
    torque_from_power,
)
from jackshaft.mechanics.coil import coil_current, coil_match, hot_resistance, lead_check
from jackshaft.mechanics.contacts import charging_budget, contact_heat, relay_coil, terminal_limit
from jackshaft.mechanics.diameters import flat, groove_wear, grooved, turned_groove
from jackshaft.mechanics.driveline import joint_load, left_angle, pair_load, speed_of_joints, stance, tube_whirl
from jackshaft.mechanics.engagement import engage, engage_below, engage_below_rising, engage_governed, engage_rising
from jackshaft.mechanics.estimates import (
    engine_displacement,
    power_from_brake,
    power_from_displacement,
    power_from_fuel,
    speed_counted,
    speed_from_sound,
)
from jackshaft.mechanics.fits import limits as fit_limits
from jackshaft.mechanics.fits import ring_limits
from jackshaft.mechanics.fuses import choose_fuse, fuse_check
from jackshaft.mechanics.grooves import over_rods
from jackshaft.mechanics.guards import reach_over, reach_through
from jackshaft.mechanics.inertia import bar_inertia, disc_inertia, reflect_inertia, rim_inertia, run_down_inertia
from jackshaft.mechanics.inserts import (
    grease_portion,
    insert_housings,
    insert_play,
    insert_screws,
    insert_seat,
    insert_speed,
    shaft_growth,
)
from jackshaft.mechanics.joints import (
    clamp_torque,
    flange_torque,
    press_torque,
    set_screw,
    set_screw_torque,
    shear_pin_torque,
)
from jackshaft.mechanics.keys import key_capacity, key_for
from jackshaft.mechanics.machining import spindle_speed
from jackshaft.mechanics.near_bores import near_misses
from jackshaft.mechanics.path import belt_path
from jackshaft.mechanics.rating import arc_factor, length_factor, rated_power, rated_power_light
from jackshaft.mechanics.ratio import belt_ratio, error_of_diameters, tip_speed, tooth_ratio
from jackshaft.mechanics.roller_chain import (
    chain_centres,
    chain_path,
    chain_rating,
    movement_of,
    slack_in,
    speed_swing,
    sprocket_pitch_diameter,
    sprocket_sizes,
)
from jackshaft.mechanics.seats import choose as choose_fit
from jackshaft.mechanics.seats import clearance_left, largest_fillet
from jackshaft.mechanics.seats import interference as seat_interference
from jackshaft.mechanics.seats import warming as ring_warming
from jackshaft.mechanics.shaft_rules import bar_for, next_stock, side_load
from jackshaft.mechanics.shaft_strength import (
    bending_stress,
    diameter_needed,
    duty,
    endurance_limit,
    strength,
    torque_at_yield,
    torsion_stress,
)
from jackshaft.mechanics.shoes import shoe_engages, shoe_torque
from jackshaft.mechanics.slipheat import slip_time, temperature_rise
from jackshaft.mechanics.snap_rings import snap_ring, under_snap_ring
from jackshaft.mechanics.splines import allowed_pressure as spline_pressure
from jackshaft.mechanics.splines import flank_torque, tooth_torque
from jackshaft.mechanics.splines import profile as spline_profile
from jackshaft.mechanics.stress_raisers import raiser
from jackshaft.mechanics.switching import inductance
from jackshaft.mechanics.tension import (
    centrifugal,
    deflection_force,
    span_frequency,
    spring_length,
    tension_from_deflection,
    tension_from_frequency,
)
from jackshaft.mechanics.twopulley import centre_distance, two_pulleys
from jackshaft.mechanics.unmarked_pulley import unmarked_pulley
from jackshaft.mechanics.welds import weld_allowed, weld_ring
from jackshaft.mechanics.wiring import ampacity, wire_for_drop, wire_resistance, wire_size

# the table above is the list of what stands here
__all__ = [line.split()[0] for line in (__doc__ or "").splitlines() if line.startswith("    ")]
