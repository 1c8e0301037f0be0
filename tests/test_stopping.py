"""Stop flags: raised once, by themselves or by another they listen to."""

from __future__ import annotations

from shopfit.stopping import StopFlag


def test_a_flag_stays_raised_with_its_first_reason():
    """A second reason does not take the place of the first."""
    flag = StopFlag()
    assert not flag.requested
    flag.request("disk full")
    flag.request("tired")
    assert (flag.requested, flag.why) == (True, "disk full")


def test_a_flag_is_raised_with_the_one_it_listens_to_and_not_the_other_way():
    """What stops all stops a part; what stops a part stops nothing else."""
    every = StopFlag()
    part, other = StopFlag(every), StopFlag(every)
    part.request()
    assert (part.requested, other.requested, every.requested) == (True, False, False)
    every.request()
    assert other.requested
    assert other.wait(0.0)
