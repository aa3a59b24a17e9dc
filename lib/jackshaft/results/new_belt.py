"""A cure that takes another belt: what was known of the old one is asked of the new one, never taken for granted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from jackshaft.buildfile import Build
from jackshaft.results.cure import Proposal

#: What is written down of how one belt grips.
FRICTION = ("friction_groove", "friction_groove_bad", "friction_flat", "friction_flat_bad")
#: What the words of a cure end with where the old belt's maker called it fit for clutching.
FIT = "Take a belt that its maker calls fit for clutching."
#: What they end with where the grip of a belt of another section was written down.
GRIPS = "Measure the grip of the new belt: what is written down is that of the old one."


def asked_of_it(build: Build, proposal: Proposal) -> Proposal:
    """Return a proposal whose words ask of a new belt what the build says of the old one."""
    more = [words for words in dict.fromkeys(_asked(build, proposal.changes)) if words not in proposal.words]
    if not more:
        return proposal
    return replace(proposal, words=" ".join((proposal.words, *more)))


def _asked(build: Build, changes: Mapping[str, str]) -> Iterator[str]:
    for stage in build.names("stage"):
        at = f"stage[{stage}]"
        old, new = ({k: v.get(f"{at}.{k}") for k in ("marked", "section")} for v in (build, changes))
        other = {k for k in new if new[k] and old[k] is not None and str(new[k]) != str(old[k])}
        if other and build.get(f"{at}.clutching_belt"):
            yield FIT
        if "section" in other and any(build.get(f"{at}.{k}") is not None for k in FRICTION):
            yield GRIPS


__all__ = ["FIT", "GRIPS", "asked_of_it"]
