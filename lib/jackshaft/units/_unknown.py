"""What is not known yet, as a value that can stand where a number would."""

from __future__ import annotations


class NotKnown:
    """A value that is not known yet, with the words that say why.

    A formula that is given one hands it back, and so do reckoning with it and asking it for a field: what rests on
    something that is not known is not known either. It is false, and shows its words.

    Parameters
    ----------
    words : str
        What is missing.
    """

    __slots__ = ("words",)

    def __init__(self, words: str) -> None:
        self.words = words

    def __repr__(self) -> str:
        return self.words

    def __format__(self, spec: str) -> str:
        return self.words

    def __bool__(self) -> bool:
        return False

    def __getattr__(self, name: str) -> NotKnown:
        # names with an underscore are questions of Python and of the notebook, not fields
        if name.startswith("_"):
            raise AttributeError(name)
        return self

    def _itself(self, *_args, **_kwargs) -> NotKnown:
        return self

    __call__ = __getitem__ = _itself
    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = _itself
    __truediv__ = __rtruediv__ = __pow__ = __neg__ = __abs__ = _itself


__all__ = ["NotKnown"]
