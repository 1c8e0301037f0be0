"""Why there is no layout: the smallest clash of wishes and the least change that helps."""

from __future__ import annotations

from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag


def explain(scenario: Scenario, options: SolveOptions, stop: StopFlag) -> Clash:
    return Clash(reason="not yet", proved=False)
