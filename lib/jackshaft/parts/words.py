"""Words that several chapters put into a sentence."""


def sentence(words: str) -> str:
    """Return words with a capital, as they begin a sentence."""
    return words[:1].upper() + words[1:]


__all__ = ["sentence"]
