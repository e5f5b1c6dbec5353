"""The same search in numpy: every blend of up to three (or four) liquids in steps of 5 %, single
precision, one thread, nothing left out. Reads the problem from standard input, as benches/blend.rs
writes it; prints the ten least distances and the seconds of processor time it took, best of some runs.
"""
import itertools, json, os, sys, time
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import numpy as np

given = json.load(sys.stdin)
scale = np.array([2, 1, 1], np.float32)
points = (np.array(given["liquids"], np.float32)) * scale
target = np.array(given["target"], np.float32) * scale
balls = [(np.array(b["centre"], np.float32) * scale, np.float32(b["radius"])) for b in given["balls"]]
steps = given["steps"]


def shares(k):
    rows = [c for c in itertools.product(range(1, steps), repeat=k - 1) if sum(c) < steps]
    return np.array([[*c, steps - sum(c)] for c in rows], np.float32) / steps


def search(most, sample=None):
    """Ten least distances. With a sample, only that many sets of four, for what all would take."""
    best = np.full(10, np.inf, np.float32)
    took_sample = 0
    for k in range(2, most + 1):
        w = shares(k)
        sets = np.array(list(itertools.combinations(range(len(points)), k)))
        if k == 4 and sample:
            sets = sets[np.linspace(0, len(sets) - 1, sample).astype(int)]
        chunk = max(1, 2_000_000 // len(w))
        for at in range(0, len(sets), chunk):
            blends = np.einsum("wk,skx->swx", w, points[sets[at:at + chunk]], optimize=True).reshape(-1, 3)
            off = blends - target
            d = np.einsum("nx,nx->n", off, off)
            ok = np.ones(len(d), bool)
            for c, r in balls:
                off = blends - c
                ok &= np.einsum("nx,nx->n", off, off) >= r * r
            d = np.where(ok, d, np.inf)
            if len(d) > 10:
                d = np.partition(d, 10)[:10]
            best = np.sort(np.concatenate([best, d]))[:10]
    return np.sqrt(best)


out = {}
times = []
for _ in range(given["runs"]):
    start = time.process_time()
    best = search(3)
    times.append(time.process_time() - start)
out["three"] = {"best": [float(x) for x in best], "seconds": min(times)}
if given["four"]:
    # All sets of four take minutes: a part of them, and three, tell what all would take.
    n = len(points)
    whole = n * (n - 1) * (n - 2) * (n - 3) // 24
    sample = min(whole, given["sample"])
    start = time.process_time()
    search(4, sample)
    spent = time.process_time() - start
    out["four"] = {"seconds": min(times) + (spent - min(times)) * whole / sample, "sample": sample, "of": whole}
json.dump(out, sys.stdout)
