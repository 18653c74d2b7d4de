"""Newton's method on every node of a network, with SciPy's sparse LU: the measure for the solver's speed.

Usage: python3 scipy-newton.py NETWORK [REPEATS]. Prints one line of JSON: seconds of each repeat, iterations and the
least voltage across any load; and the seconds that the structure took once.
"""
import json
import sys
import time

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import splu

from network_file import curve, read


class Network:
    def __init__(self, header, ends, ohms, loads, scale):
        n = header["nodes"]
        sources = header["sources"]
        self.header, self.scale, self.siemens = header, scale, 1 / ohms
        self.source_ends = np.array([[s["positive"], s["negative"]] for s in sources])
        self.set_volts = np.array([s["volts"] for s in sources])
        self.source_siemens = 1 / np.array([s["ohms"] for s in sources])
        self.most = np.array([s["maxAmps"] for s in sources])
        self.ends, self.loads, self.n = ends, loads, n
        self.reference = sources[0]["negative"]
        # Where each branch adds to the matrix: found once, so that an iteration only sums numbers.
        branches = np.vstack([ends, loads, self.source_ends])
        a, b = branches[:, 0], branches[:, 1]
        keep = lambda i: i - (i > self.reference)
        rows = np.concatenate([a, b, a, b])
        columns = np.concatenate([a, b, b, a])
        self.sign = np.concatenate([np.ones(2 * len(a)), -np.ones(2 * len(a))])
        self.inside = (rows != self.reference) & (columns != self.reference)
        rows, columns = keep(rows[self.inside]), keep(columns[self.inside])
        order = np.lexsort((rows, columns))
        key = columns[order].astype(np.int64) * n + rows[order]
        first = np.concatenate([[True], key[1:] != key[:-1]])
        place = np.cumsum(first) - 1
        self.place = np.empty(len(order), np.int64)
        self.place[order] = place
        self.count = place[-1] + 1
        self.indices = rows[order][first]
        pointers = np.searchsorted(columns[order][first], np.arange(n))
        self.indptr = pointers
        # A flat start: the first source's volts on whatever its positive side reaches without crossing a load.
        from scipy.sparse.csgraph import connected_components
        graph = coo_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(n, n))
        _, zone = connected_components(graph, directed=False)
        volts = {zone[s["positive"]]: s["volts"] for s in reversed(sources)}
        level = np.zeros(zone.max() + 1)
        for key, value in volts.items():
            level[key] = value
        self.start = level[zone]

    def evaluate(self, v):
        u = v[self.loads[:, 0]] - v[self.loads[:, 1]]
        amps, slope = curve(self.header["model"], self.scale, u)
        s = v[self.source_ends[:, 0]] - v[self.source_ends[:, 1]]
        given = (self.set_volts - s) * self.source_siemens
        on = (given >= 0) & (given <= self.most)
        given = np.clip(given, 0, self.most)
        r = (v[self.ends[:, 0]] - v[self.ends[:, 1]]) * self.siemens
        excess = np.zeros(self.n)
        for pairs, flow in ((self.ends, r), (self.loads, amps), (self.source_ends, -given)):
            excess += np.bincount(pairs[:, 0], flow, self.n) - np.bincount(pairs[:, 1], flow, self.n)
        return excess, np.concatenate([self.siemens, slope, np.where(on, self.source_siemens, 0)])

    def matrix(self, siemens):
        values = self.sign * np.tile(siemens, 4)
        data = np.bincount(self.place, values[self.inside], self.count)
        return csc_matrix((data, self.indices, self.indptr), shape=(self.n - 1, self.n - 1))

    def solve(self):
        v = self.start.copy()
        others = np.arange(self.n) != self.reference
        excess, siemens = self.evaluate(v)
        for iteration in range(1, 60):
            # The fastest of SciPy's settings for a symmetric positive definite matrix.
            lu = splu(self.matrix(siemens), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0, options={"SymmetricMode": True})
            step = np.zeros(self.n)
            step[others] = lu.solve(-excess[others])
            if np.abs(step).max() < 1e-7 * self.set_volts.max():
                v = v + step
                break
            worst = np.abs(excess[others]).max()
            share = 1.0
            while True:
                trial = v + share * step
                next_excess, siemens = self.evaluate(trial)
                if np.abs(next_excess[others]).max() < worst or share < 0.02:
                    break
                share /= 2
            v, excess = trial, next_excess
        return v, iteration


def main():
    parts = read(sys.argv[1])
    begin = time.process_time()
    network = Network(*parts)
    prepared = time.process_time() - begin
    seconds = []
    for _ in range(int(sys.argv[2]) if len(sys.argv) > 2 else 1):
        begin = time.process_time()
        v, iterations = network.solve()
        seconds.append(time.process_time() - begin)
    u = v[network.loads[:, 0]] - v[network.loads[:, 1]]
    print(json.dumps({"prepareSeconds": prepared, "seconds": seconds, "iterations": iterations, "leastVolts": u.min()}))


main()
