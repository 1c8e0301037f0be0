"""What the tests of the bench share: records made up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from shopfit.bench.measure import Record


@pytest.fixture
def record() -> Callable[..., Record]:
    """Give a maker of records of a good run, with whatever else is given."""

    def make(**given: Any) -> Record:
        usual: dict[str, Any] = {
            "size": "stall",
            "seed": 0,
            "solver": "shopfit",
            "seconds_asked": 5.0,
            "workers": 2,
            "lines": 10,
            "value": 90.0,
            "bound": 100.0,
            "gap": 0.1,
            "first_seconds": 1.0,
            "one_percent_seconds": None,
            "proof_seconds": None,
            "seconds": 5.0,
            "peak_bytes": 200 * 2**20,
            "violations": 0,
        }
        return Record(**{**usual, **given})

    return make
