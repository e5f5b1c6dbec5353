"""The same sums as benches/gain.rs with stacked numpy arrays; compared first, then timed.

Run `cargo bench --bench gain` before it, on the same machine and with nothing else running.
"""

import pathlib
import tempfile
import time

import numpy as np

TESTS, DONE, ROUNDS = 40, 8, 1001
MASK = (1 << 64) - 1


def fractions(seed):
    state = seed
    while True:
        state = (state * 6364136223846793005 + 1442695040888963407) & MASK
        yield (state >> 11) / float(1 << 53)


def drawn(materials):
    draw = fractions(20261128)
    take = lambda n: np.fromiter((next(draw) for _ in range(n)), float, n)
    prior = take(materials) + 1e-3
    prior /= prior.sum()
    tests = []
    for test in range(TESTS):
        n = 3 + test % 4
        rows = (take(n * materials) + 0.01).reshape(n, materials)
        tests.append(rows / rows.sum(axis=0))
    return tests, prior


def quickest(run):
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return 1e6 * min(times)


for materials in (1000, 10000):
    tests, prior = drawn(materials)
    done = np.stack([tests[t][t % 3] for t in range(DONE)])
    # One matrix for all that is left: its rows of outcomes, then the sums that need no belief.
    stacked = np.vstack(
        [np.vstack(tests[DONE:])]
        + [np.stack([(t * np.log2(t)).sum(axis=0) for t in tests[DONE:]])]
    )
    starts = np.cumsum([0] + [len(t) for t in tests[DONE:]])[:-1]
    outcomes = int(starts[-1]) + len(tests[-1])

    def update():
        p = prior * np.prod(done, axis=0)
        p /= p.sum()
        return p

    posterior = update()

    def gains():
        all = stacked @ posterior
        p = all[:outcomes]
        return all[outcomes:] - np.add.reduceat(p * np.log2(p), starts)

    ours = np.loadtxt(pathlib.Path(tempfile.gettempdir()) / f"gain-{materials}.txt")
    theirs = np.concatenate([gains(), posterior[:20]])
    gap = float(np.abs(ours - theirs).max())
    assert gap < 1e-9, gap
    a, b = quickest(update), quickest(gains)
    print(
        f"{materials} materials: update {a:.1f} us, gains of 32 tests {b:.1f} us, "
        f"together {a + b:.1f} us; numpy {np.__version__}; differs by {gap:.1e} at most"
    )
