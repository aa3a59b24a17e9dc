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


__all__ = ["ENGINE_KEY", "joint_part", "sentence"]
