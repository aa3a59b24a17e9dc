"""Words that several chapters put into a sentence, and names that they share."""

from __future__ import annotations

from jackshaft.results.reader import Reader

ENGINE_KEY = "engine key"


def joint_part(reader: Reader, shaft: str, name: str) -> str:
    """Return what a joint is called in a check's id: by its name, and by its shaft where that alone is not plain."""
    shafts = reader.names("shaft")
    same = [s for s in shafts if s != shaft and name in reader.names(f"shaft[{s}].joint")]
    return f"{name} on {shaft}" if shaft in shafts and (same or name == ENGINE_KEY) else name


def sentence(words: str) -> str:
    """Return words with a capital, as they begin a sentence."""
    return words[:1].upper() + words[1:]


#: How what drives is stopped so that it cannot start again, by its kind: common practice, no source.
_SAFE = {
    "petrol engine": "stop the engine and take the spark lead off",
    "diesel engine": "stop the engine by its stop lever or fuel shut-off, and take the battery or the starter off",
    "electric motor": "switch the motor off and unplug it",
}
_SAFE_ANY = (
    "stop the engine and see that it cannot start: take the spark lead off a petrol engine; pull the stop lever of a "
    "diesel and take its battery or starter off; unplug an electric motor"
)


def made_safe(kind: str | None) -> str:
    """Return what to do before a hand goes in, as it ends a sentence; ``kind`` is the build's ``engine.kind``."""
    return _SAFE.get(kind, _SAFE_ANY)


__all__ = ["ENGINE_KEY", "made_safe", "joint_part", "sentence"]
