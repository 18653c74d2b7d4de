"""Newton's method with SciPy as a person would first write it: spsolve with default settings, no damping.

Usage: python3 scipy-plain.py NETWORK [REPEATS]. Prints the same line of JSON as scipy-newton.py. Everything a person
would know to be free is left free: vectors instead of loops, and a flat start at each zone's supply voltage.
"""
import json
import sys
import time

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import spsolve

from network_file import curve, read


def flat_start(sources, ends, n):
    """The first source's volts on whatever its positive side reaches without crossing a load."""
    _, zone = connected_components(coo_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(n, n)), directed=False)
    level = np.zeros(zone.max() + 1)
    for source in reversed(sources):
        level[zone[source["positive"]]] = source["volts"]
    return level[zone]


def solve(header, ends, ohms, loads, scale):
    n = header["nodes"]
    sources = header["sources"]
    source_ends = np.array([[s["positive"], s["negative"]] for s in sources])
    set_volts = np.array([s["volts"] for s in sources])
    source_siemens = 1 / np.array([s["ohms"] for s in sources])
    most = np.array([s["maxAmps"] for s in sources])
    others = np.delete(np.arange(n), sources[0]["negative"])
    branches = np.vstack([ends, loads, source_ends])
    a, b = branches[:, 0], branches[:, 1]
    v = flat_start(sources, ends, n)
    for iteration in range(1, 60):
        across = v[a] - v[b]
        r, u, s = np.split(across, [len(ends), len(ends) + len(loads)])
        amps, slope = curve(header["model"], scale, u)
        given = (set_volts - s) * source_siemens
        on = (given >= 0) & (given <= most)
        flow = np.concatenate([r / ohms, amps, -np.clip(given, 0, most)])
        g = np.concatenate([1 / ohms, slope, np.where(on, source_siemens, 0)])
        excess = np.bincount(a, flow, n) - np.bincount(b, flow, n)
        values = np.concatenate([g, g, -g, -g])
        rows, columns = np.concatenate([a, b, a, b]), np.concatenate([a, b, b, a])
        matrix = coo_matrix((values, (rows, columns)), shape=(n, n)).tocsc()[others][:, others]
        step = np.zeros(n)
        step[others] = spsolve(matrix, -excess[others])
        v += step
        if np.abs(step).max() < 1e-7 * set_volts.max():
            break
    return v, iteration


def main():
    parts = read(sys.argv[1])
    loads = parts[3]
    seconds = []
    for _ in range(int(sys.argv[2]) if len(sys.argv) > 2 else 1):
        begin = time.process_time()
        v, iterations = solve(*parts)
        seconds.append(time.process_time() - begin)
    u = v[loads[:, 0]] - v[loads[:, 1]]
    print(json.dumps({"prepareSeconds": 0, "seconds": seconds, "iterations": iterations, "leastVolts": u.min()}))


main()
