"""What tells a layout's origin: the scenario's digest, the moment and the versions."""

from __future__ import annotations

from datetime import UTC, datetime

from shopfit.files.layouts import fingerprint
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario


def signed(scenario: Scenario, layout: Layout) -> Layout:
    """Add what tells a layout's origin: digest of the scenario, moment and versions."""
    made = layout.timing.made or datetime.now(UTC).isoformat(timespec="seconds")
    return layout.model_copy(
        update={
            "scenario": layout.scenario or scenario.folder,
            "fingerprint": fingerprint(scenario),
            "timing": layout.timing.model_copy(update={"made": made}),
            "versions": {**_versions(), **layout.versions},
        }
    )


def _versions() -> dict[str, str]:
    from importlib.metadata import version

    from shopfit import __version__

    return {"shopfit": __version__, "ortools": version("ortools"), "shapely": version("shapely")}
