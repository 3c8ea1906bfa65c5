"""One queue before several taps: who comes first is served first, by whichever tap is free first."""

import heapq

import numpy as np

from terrain_fuel.frozen import FloatArray


def serve_in_turn(arrival_s: FloatArray, service_s: FloatArray, servers: int) -> FloatArray:
    """Return when each begins to be served, shape (k,) [s].

    Parameters
    ----------
    arrival_s : shape (k,), in any order; who stands first among equals is served first
    service_s : shape (k,), how long each is served
    servers : how many taps, at least 1

    Notes
    -----
    The discrete queue itself, without an assumption on arrivals or service. Where both are Poisson its mean
    wait is the formula of Erlang [Er17]_, a test.
    """
    begun = np.empty_like(arrival_s)
    free_s = [-np.inf] * servers
    order = np.argsort(arrival_s, kind="stable")
    arrivals, services = arrival_s[order].tolist(), service_s[order].tolist()
    begins = []
    for comes, lasts in zip(arrivals, services, strict=True):
        at = max(comes, free_s[0])
        heapq.heapreplace(free_s, at + lasts)
        begins.append(at)
    begun[order] = begins
    return begun
