"""Tasks on a small cluster of this machine: the same answers as without it, and plain refusals."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from shopfit.errors import ShopfitError
from shopfit.stopping import StopFlag
from shopfit.sweep.cluster import Cluster
from shopfit.sweep.work import Answer, solve_task

from . import build, workers

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    """Give a scheduler with two workers in threads; processes take seconds more to begin."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None
    ) as found:
        yield found


def test_a_cluster_gives_the_layouts_that_this_process_gives(cluster: Any) -> None:
    """The same case has the same layout wherever it is solved."""
    tasks = [build.task("wide"), build.task("poor", budget=150)]
    found: dict[str, Answer] = {}
    with Cluster(cluster.scheduler_address) as by:
        by.run(tasks, lambda each: found.update({each.name: each}))
    for each in tasks:
        here, there = solve_task(each, StopFlag()).layout, found[each.name].layout
        assert here is not None
        assert there is not None
        assert there.model_copy(update={"timing": here.timing}) == here


def test_a_task_that_raises_fails_with_its_reason(
    cluster: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of one task is told as its answer, and the others go on."""
    monkeypatch.setenv("MARKS", str(tmp_path))
    found: dict[str, Answer] = {}
    with Cluster(cluster.scheduler_address, work=workers.gently) as by:
        by.run(
            [build.task("breaks"), build.task("plain")],
            lambda each: found.update({each.name: each}),
        )
    assert found["breaks"].status == "failed"
    assert "no such shelf" in found["breaks"].message
    assert found["plain"].status == "no layout"


def test_a_stop_leaves_out_what_has_not_ended(
    cluster: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a stop the cluster is asked for nothing more."""
    monkeypatch.setenv("MARKS", str(tmp_path))
    stop, found = StopFlag(), []
    with Cluster(cluster.scheduler_address, stop, workers.gently, look=stop.request) as by:
        by.run([build.task("works"), build.task("works2")], found.append)
    assert found == []


def test_a_lost_scheduler_is_a_stop_with_its_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What had ended is told, the rest is left out, and nothing more is asked of the cluster."""
    monkeypatch.setenv("MARKS", str(tmp_path))
    stop, found = StopFlag(), list[Answer]()
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=":0"
    ) as lost:

        def look() -> None:
            if found and not lost.scheduler.status.name.startswith("clos"):
                lost.sync(lost.scheduler.close)

        with Cluster(lost.scheduler_address, stop, workers.gently, look=look) as by:
            by.run([build.task("plain"), build.task("works"), build.task("works2")], found.append)
            by.run([build.task("later")], found.append)
    assert [each.name for each in found] == ["plain"]
    assert stop.requested
    assert stop.why == f"the cluster at {lost.scheduler_address} was lost"
    assert workers.runs("later") == 0


def test_other_versions_are_refused(cluster: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Workers with another solver could give another layout, so they are named and not used."""
    theirs = {"shopfit": "0.0.9", "ortools": "1", "shapely": "1"}
    monkeypatch.setattr(
        distributed.Client, "run", lambda self, what: {"tcp://there:1": theirs, "x": what()}
    )
    with pytest.raises(ShopfitError, match=r"others are at tcp://there:1$"):
        Cluster(cluster.scheduler_address)


def test_nobody_at_the_address_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wrong address is the user's to mend, and is named."""
    monkeypatch.setattr("shopfit.sweep.cluster._PATIENCE_SECONDS", 0.5)
    with pytest.raises(ShopfitError, match=r"no scheduler answers at tcp://127\.0\.0\.1:9"):
        Cluster("tcp://127.0.0.1:9")


def test_a_missing_library_is_told_with_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library is an extra, so its absence is said with the way to get it."""
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ShopfitError, match=r"pip install 'shopfit\[cluster\]'"):
        Cluster("tcp://127.0.0.1:9")
