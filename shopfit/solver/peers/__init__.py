"""Honest peers: other ways to the same layouts, that the solver is measured against."""

from shopfit.solver.peers.answers import Peer, PeerAnswer, Tell
from shopfit.solver.peers.mixed import milp
from shopfit.solver.peers.onego import direct
from shopfit.solver.peers.shopfitter import merchandiser

PEERS: dict[str, Peer] = {"direct": direct, "milp": milp, "merchandiser": merchandiser}

__all__ = ["PEERS", "Peer", "PeerAnswer", "Tell"]
