"""What the drive asks of the clutch at its own shaft."""

from __future__ import annotations

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.mechanics import clutch
from jackshaft.parts.engine_curve import engine_peak
from jackshaft.parts.works import factor_key, factor_of
from jackshaft.results.reader import Reader


def required_of(reader: Reader, ratio: RatioData | None, shaft: str) -> clutch.Required | None:
    """Return what the clutch must hold and pull at its own shaft, or None where nothing is known."""
    state = ratio.shaft(shaft) if ratio else None
    work = state.torque if state is not None and state.torque else None
    if ratio is None:
        # no stage is known yet, but the power may be given at the clutch's own shaft
        power, speed, at = reader.si("work.power"), reader.si(f"{ENGINE}.work_speed"), reader.get("work.power_at")
        if power is not None and speed and at == shaft == ENGINE:
            work = float(clutch.torque_from_power.si(power, speed=speed))
    peak = engine_peak(reader)
    if peak is not None and shaft != ENGINE:
        peak = peak * state.over if state is not None else None
    if work is None:
        reader.note_missing(*(k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None))
    if work is None and peak is None:
        return None
    start, most = (factor_of(reader, ratio, shaft, name) for name in ("start", "peak"))
    over = reader.si("work.overrun_factor")
    reader.note_missing(*(factor_key(reader, k) for k, v in (("start", start), ("peak", most)) if v is None))
    needs = clutch.required_torque.si(
        work or 0.0,
        start_factor=1.0 if start is None else start,
        peak_factor=most or 1.0,
        engine_peak=peak or 0.0,
        overrun_factor=over or 0.0,
    )
    if not reader.get("clutch.engage_unloaded"):
        return needs
    # the load comes on once the clutch has locked
    empty = clutch_engage.UNLOADED * needs.work
    hold = max(needs.work, needs.peak, needs.engine, needs.overrun)
    return needs._replace(start=empty, pull_in=empty, hold=hold)


__all__ = ["required_of"]
