"""What may be asked of a solve besides the scenario."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from shopfit.model.base import Frozen


class SolveOptions(Frozen):
    """How hard to search.

    Parameters
    ----------
    seconds
        Time budget on an ordinary machine; turned into a fixed amount of work, so that equal
        runs do equal work.
    workers
        Solver threads.
    seed
        Of every random choice.
    gap
        Stop once value and bound are this near, as a part of the bound; 0 asks for a proof.
    """

    seconds: Annotated[float, Field(gt=0, le=86_400)] = 30.0
    workers: Annotated[int, Field(ge=1, le=64)] = 2
    seed: Annotated[int, Field(ge=0, le=2**31 - 1)] = 0
    gap: Annotated[float, Field(ge=0, le=1)] = 0.0
