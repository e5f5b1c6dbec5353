"""Worked examples of Bayes' rule and expected information, reckoned with SciPy.

Writes worked.toml beside itself. Run by hand (numpy, scipy); the tests read what it wrote.
Entropies by scipy.stats.entropy; the gain as prior entropy less the mean posterior entropy, and,
between groups, with the hypotheses of a group summed first. The likelihoods are test figures.
"""

import pathlib

import numpy as np
import scipy
from scipy.stats import entropy


def bits(p):
    return float(entropy(p, base=2))


def example(name, note, prior, tests, ends, seen):
    prior = np.asarray(prior, dtype=float)
    out = [f'[[example]]\nname = "{name}"\nnote = "{note}"']
    out.append(f"prior = {[float(p) for p in prior]}")
    out.append(f"ends = {ends}")
    out.append(f"seen = {[list(s) for s in seen]}")
    starts = [0] + ends[:-1]

    def grouped(p):
        return np.array([p[a:b].sum() for a, b in zip(starts, ends)])

    for rows in tests:
        rows = np.asarray(rows, dtype=float)
        assert np.allclose(rows.sum(axis=0), 1.0)
        p = rows @ prior
        after = [prior * row / q for row, q in zip(rows, p) if q > 0]
        weights = [q for q in p if q > 0]
        gain = bits(prior) - sum(w * bits(b) for w, b in zip(weights, after))
        between = bits(grouped(prior)) - sum(
            w * bits(grouped(b)) for w, b in zip(weights, after)
        )
        out.append("[[example.test]]")
        out.append(f"rows = {rows.tolist()}")
        out.append(f"probability = {[float(x) for x in p]}")
        out.append(f"gain = {float(gain)!r}")
        out.append(f"between = {float(between)!r}")
    posterior = prior.copy()
    for test, outcome in seen:
        posterior = posterior * np.asarray(tests[test], dtype=float)[outcome]
    posterior = posterior / posterior.sum()
    # The keys of an example come before its tests.
    head = out.index("[[example.test]]")
    out.insert(head, f"posterior = {[float(x) for x in posterior]}")
    return "\n".join(out) + "\n"


def yes(p):
    return [list(p), [1 - x for x in p]]


rng = np.random.default_rng(20261128)
many_prior = rng.dirichlet(np.ones(37))
many = []
for outcomes in (2, 3, 4, 6, 8):
    many.append(rng.dirichlet(np.full(outcomes, 0.7), size=37).T.tolist())

text = f"# Made by worked.py with scipy {scipy.__version__}, numpy {np.__version__}. Do not edit.\n\n"
text += example(
    "two hypotheses",
    "prior one half each, yes with 0.9 and 0.2",
    [0.5, 0.5],
    [yes([0.9, 0.2])],
    [1, 2],
    [(0, 0)],
)
text += "\n" + example(
    "four hypotheses, five tests",
    "ethanol, warm water, diphenylamine, acetone, ultraviolet",
    [0.4, 0.3, 0.2, 0.1],
    [
        yes([0.85, 0.80, 0.20, 0.05]),
        yes([0.05, 0.30, 0.02, 0.90]),
        yes([0.02, 0.02, 0.95, 0.02]),
        yes([0.30, 0.95, 0.97, 0.03]),
        yes([0.80, 0.05, 0.05, 0.02]),
    ],
    [1, 2, 3, 4],
    [(0, 0), (3, 1)],
)
text += "\n" + example(
    "impossible outcomes",
    "noughts among the likelihoods, three outcomes, two groups",
    [0.5, 0.25, 0.125, 0.125],
    [
        [[1.0, 0.5, 0.0, 0.0], [0.0, 0.5, 0.0, 1.0], [0.0, 0.0, 1.0, 0.0]],
        [[0.0, 0.0, 0.0, 0.0], [0.25, 0.75, 0.25, 0.75], [0.75, 0.25, 0.75, 0.25]],
    ],
    [2, 4],
    [(0, 1), (1, 2)],
)
text += "\n" + example(
    "many hypotheses",
    "37 hypotheses in six groups, tests of 2 to 8 outcomes, drawn from Dirichlet distributions",
    many_prior,
    many,
    [3, 10, 16, 24, 30, 37],
    [(0, 1), (2, 3), (4, 0), (3, 2)],
)
pathlib.Path(__file__).with_name("worked.toml").write_text(text)
