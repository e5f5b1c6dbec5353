"""Writes tests/chem/reference.json: figures of general-purpose libraries to hold our own against.

    python -m venv v && v/bin/pip install numpy scipy thermo==0.6.1 chemicals==1.5.2 HSPiPy==1.1.8
    v/bin/python tests/chem/reference.py > tests/chem/reference.json

- "spheres": five sets of good and poor liquids; centre, radius and DATAFIT that HSPiPy 1.1.8 finds for
  them. The sets are drawn from published spheres (Hansen 2007 through the polymers table of the corpus)
  with the Hansen parameters of `chemicals`; a held-back part of the liquids is left to be classified.
- "drying": five blends that are not ideal, followed with the UNIFAC of `thermo` 0.6.1 and an ODE solver
  of scipy (LSODA, tolerances 1e-9), shares by volume at what is left.
- "bounds": blends of fixed liquids against keep-out balls: the least Ra that SLSQP of scipy finds from
  many starts.
"""
import json, math, random, sys, warnings
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import minimize
from thermo.unifac import UNIFAC, UFSG, UFIP

warnings.filterwarnings("ignore")
LIQUIDS = {  # name: dD, dP, dH
    "acetone": (15.5, 10.4, 7.0), "ethanol": (15.8, 8.8, 19.4), "toluene": (18.0, 1.4, 2.0),
    "m-xylene": (17.6, 1.0, 3.1), "white-spirit": (15.8, 0.1, 0.2), "ethyl-acetate": (15.8, 5.3, 7.2),
    "heptane": (15.3, 0.0, 0.0), "n-butyl-acetate": (15.8, 3.7, 6.3), "propan-2-ol": (15.8, 6.1, 16.4),
    "butanone": (16.0, 9.0, 5.1), "benzyl-alcohol": (18.4, 6.3, 13.7),
    "dimethyl-sulphoxide": (18.4, 16.4, 10.2), "chloroform": (17.8, 3.1, 5.7),
    "methanol": (15.1, 12.3, 22.3), "water": (15.5, 16.0, 42.3), "1-propanol": (16.0, 6.8, 17.4),
    "n-butanol": (16.0, 5.7, 15.8), "cyclohexane": (16.8, 0.0, 0.2), "cyclohexanone": (17.8, 8.4, 5.1),
    "dichloromethane": (18.2, 6.3, 6.1), "tetrahydrofuran": (16.8, 5.7, 8.0),
    "acetonitrile": (15.3, 18.0, 6.1), "propylene-carbonate": (20.0, 18.0, 4.1),
    "dimethylformamide": (17.4, 13.7, 11.3), "n-methylpyrrolidone": (18.0, 12.3, 7.2),
    "ethylene-glycol": (17.0, 11.0, 26.0), "diacetone-alcohol": (15.8, 8.2, 10.8),
    "ethyl-lactate": (16.0, 7.6, 12.5), "1-methoxypropan-2-ol": (15.6, 6.3, 11.6),
    "diethyl-ether": (14.5, 2.9, 5.1), "isooctane": (14.1, 0.0, 0.0),
    "methyl-isobutyl-ketone": (15.3, 6.1, 4.1), "1,4-dioxane": (19.0, 1.8, 7.4),
    "chlorobenzene": (19.0, 4.3, 2.0), "pyridine": (19.0, 8.8, 5.9), "formamide": (17.2, 26.2, 19.0),
}
SPHERES = {  # name: centre, radius; one with two labels turned round
    "B-72": ((19.2, 11.2, 1.8), 11.0, ()),
    "dammar": ((18.4, 4.2, 7.8), 8.3, ()),
    "shellac": ((19.7, 10.1, 15.1), 10.7, ()),
    "cellulose nitrate": ((16.9, 13.5, 10.3), 9.9, ()),
    "PMMA, two labels turned": ((18.64, 10.52, 7.51), 8.59, ("toluene", "n-methylpyrrolidone")),
}


def ra(a, b):
    return math.sqrt(4 * (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2)


def datafit(centre, radius, trials):
    total = 0.0
    for at, good in trials:
        d = ra(centre, at)
        if (good and d > radius) or (not good and d < radius):
            total -= abs(d - radius)
    return math.exp(total / len(trials))


def spheres():
    from hspipy.core.hsp_estimator import HSPEstimator
    out = []
    for k, (name, (centre, radius, turned)) in enumerate(SPHERES.items()):
        names = sorted(LIQUIDS)
        random.Random(20 + k).shuffle(names)
        labels = {n: (ra(centre, LIQUIDS[n]) < radius) != (n in turned) for n in names}
        # A third is held back, of both sorts; the liquids whose label is turned are fitted.
        held = [n for n in names if n not in turned][: len(names) // 3]
        fitted = [n for n in names if n not in held]
        data = np.array([[*LIQUIDS[n], 1 if labels[n] else 0] for n in fitted])
        best = None
        for method in ("classic", "Nelder-Mead"):
            it = HSPEstimator(method=method)
            it.fit(data[:, :3], data[:, 3].astype(int))
            got = np.ravel(it.hsp_)
            r = float(got[3])
            value = datafit(got[:3], r, [(LIQUIDS[n], labels[n]) for n in fitted])
            if best is None or value > best[0]:
                best = (value, [float(x) for x in got[:3]], r, method)
        out.append({
            "name": name,
            "trials": [{"liquid": n, "hansen": LIQUIDS[n], "good": labels[n]} for n in fitted],
            "held": [{"liquid": n, "hansen": LIQUIDS[n], "good": labels[n]} for n in held],
            "hspipy": {"datafit": best[0], "centre": best[1], "radius": best[2], "method": best[3]},
        })
    return out


MOLECULES = {  # groups, molar volume ml/mol, vapour pressure Pa at 25 C
    "toluene": ({"ACH": 5, "ACCH3": 1}, 106.86, 3799.0),
    "ethanol": ({"CH3": 1, "CH2": 1, "OH": 1}, 58.68, 7885.0),
    "acetone": ({"CH3": 1, "CH3CO": 1}, 74.01, 30727.0),
    "heptane": ({"CH3": 2, "CH2": 5}, 147.44, 6100.0),
    "n-decane": ({"CH3": 2, "CH2": 8}, 195.84, 182.3),
    "isooctane": ({"CH3": 5, "CH2": 1, "CH": 1, "C": 1}, 166.05, 6584.0),
    "propan-2-ol": ({"CH3": 2, "CH": 1, "OH": 1}, 76.86, 5780.0),
    "ethyl-acetate": ({"CH3": 1, "CH2": 1, "CH3COO": 1}, 98.59, 12614.0),
}
BLENDS = [
    (("ethanol", "isooctane"), (0.25, 0.75)),
    (("toluene", "ethanol"), (0.5, 0.5)),
    (("acetone", "heptane"), (0.4, 0.6)),
    (("propan-2-ol", "isooctane", "acetone"), (0.3, 0.5, 0.2)),
    (("ethanol", "n-decane", "ethyl-acetate"), (0.3, 0.4, 0.3)),
]
BY_NAME = {}
for key, group in UFSG.items():
    BY_NAME.setdefault(group.group, key)


def gammas(names, x):
    groups = [{BY_NAME[g]: n for g, n in MOLECULES[m][0].items()} for m in names]
    return np.array(UNIFAC.from_subgroups(T=298.15, xs=list(x), chemgroups=groups,
                                          subgroups=UFSG, interaction_data=UFIP, version=0).gammas())


def drying():
    out = []
    for names, start in BLENDS:
        v = np.array([MOLECULES[m][1] for m in names]); p = np.array([MOLECULES[m][2] for m in names])
        n0 = np.array(start) / v

        def rate(t, n):
            n = np.maximum(n, 0.0)
            x = n / n.sum()
            flow = x * gammas(names, x) * p
            return -flow / (flow * v).sum()      # by unit of volume lost

        stops = [1.0, 0.9, 0.75, 0.5, 0.25, 0.1]
        solved = solve_ivp(rate, (0, 0.9), n0, method="LSODA", rtol=1e-9, atol=1e-13,
                           t_eval=[1 - s for s in stops])
        shares = [list(map(float, np.maximum(n, 0) * v / (np.maximum(n, 0) * v).sum())) for n in solved.y.T]
        x0 = n0 / n0.sum()
        out.append({"liquids": names, "start": start, "left": stops, "shares": shares,
                    "gammas": list(map(float, gammas(names, x0)))})
    return out


def bounds():
    rng = np.random.default_rng(5)
    names = sorted(LIQUIDS)
    points = np.array([LIQUIDS[n] for n in names])
    scale = np.array([2.0, 1.0, 1.0])
    cases = []
    fixed = [((19.2, 11.2, 1.8), [((17.0, 5.0, 9.0), 4.0)]), ((16.5, 9.0, 10.0), [((16.8, 8.0, 9.0), 3.0), ((17.5, 9.5, 12.5), 2.5)]),
             ((18.4, 4.2, 7.8), [((18.0, 5.0, 7.0), 3.5), ((17.0, 2.0, 9.5), 3.0), ((18.5, 6.5, 10.0), 2.5)])]
    for _ in range(5):
        centre = points[rng.integers(len(names))] + rng.normal(0, 2, 3)
        balls = [(tuple(map(float, centre + rng.normal(0, 1.5, 3))), float(rng.uniform(2, 4))) for _ in range(3)]
        fixed.append((tuple(map(float, np.maximum(centre, 0.0))), balls))
    for target, balls in fixed:
        t = np.array(target)
        best = None
        for k in range(15):
            phi = rng.dirichlet(np.full(len(names), 0.15))
            ones = np.ones(len(names))
            cons = [{"type": "eq", "fun": lambda f: f.sum() - 1, "jac": lambda f: ones}]
            for c, r in balls:
                c = np.array(c)
                cons.append({"type": "ineq", "fun": lambda f, c=c, r=r: (((f @ points - c) * scale) ** 2).sum() - r * r,
                             "jac": lambda f, c=c: 2 * (points * scale ** 2) @ (f @ points - c)})
            got = minimize(lambda f: (((f @ points - t) * scale) ** 2).sum(), phi, bounds=[(0, 1)] * len(names),
                           jac=lambda f: 2 * (points * scale ** 2) @ (f @ points - t),
                           constraints=cons, method="SLSQP", options={"maxiter": 200, "ftol": 1e-12})
            f = np.clip(got.x, 0, None); f /= f.sum()
            at = f @ points
            if all(math.sqrt((((at - np.array(c)) * scale) ** 2).sum()) >= r - 1e-6 for c, r in balls):
                d = math.sqrt((((at - t) * scale) ** 2).sum())
                best = d if best is None else min(best, d)
        cases.append({"target": target, "balls": [{"centre": c, "radius": r} for c, r in balls], "slsqp": best})
    return {"liquids": [LIQUIDS[n] for n in names], "cases": cases}


out = {}
for part in (drying, bounds, spheres):
    print(part.__name__, file=sys.stderr)
    out[part.__name__] = part()
print(json.dumps(out, indent=1))
