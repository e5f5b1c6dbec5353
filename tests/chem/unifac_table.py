"""Writes src/chem/unifac/table.rs: the rows of the public UNIFAC parameter table that the liquids
of the corpus need.

    python -m venv v && v/bin/pip install thermo==0.6.1 chemicals==1.5.2
    v/bin/python tests/chem/unifac_table.py > src/chem/unifac/table.rs

Source of the figures: the published matrices of the original UNIFAC method (Fredenslund, Jones and
Prausnitz 1975, with the revisions up to Hansen, Rasmussen, Fredenslund, Schiller and Gmehling 1991),
as the PyPI package `thermo` 0.6.1 (MIT licence) carries them in `thermo.unifac.UFSG` and `UFIP`.
"""
import glob, pathlib, re, tomllib
from thermo.unifac import UFSG, UFIP

root = pathlib.Path(__file__).resolve().parents[2]
by_name = {}
for key, group in UFSG.items():
    by_name.setdefault(group.group, key)
used = set()
for path in sorted(glob.glob(str(root / "kb/solvents/*.toml"))):
    facts = tomllib.load(open(path, "rb")).get("facts", {})
    fact = facts.get("unifac", [])
    for one in fact if isinstance(fact, list) else [fact]:
        for word in one["is"] if isinstance(one["is"], list) else []:
            used.add(by_name[word.rsplit(" ", 1)[0]])
# Groups of the checks in the tests that no liquid of the corpus holds.
used |= {by_name["CH3NH"], by_name["CH2NH"]}
used = sorted(used)
mains = sorted({UFSG[k].main_group_id for k in used})
print("//! Rows of the original UNIFAC table that the liquids of the corpus need. Made by")
print("//! `tests/chem/unifac_table.py` from `thermo` 0.6.1 (PyPI); not to be edited by hand.")
print("//!")
print("//! Published in Fredenslund, Jones and Prausnitz 1975 and its revisions up to Hansen and others 1991.")
print()
print("/// Subgroups: name, main group, volume R, surface Q.")
print("#[rustfmt::skip]")
print("pub(super) const SUBGROUPS: &[(&str, u8, f64, f64)] = &[")
for k in used:
    g = UFSG[k]
    print(f'    ("{g.group}", {g.main_group_id}, {float(g.R)}, {float(g.Q)}),')
print("];")
print()
print("/// Interaction parameters a(m, n) in kelvin: from main group, to main group, value. What is not here")
print("/// is not published.")
print("#[rustfmt::skip]")
print("pub(super) const INTERACTIONS: &[(u8, u8, f64)] = &[")
for m in mains:
    row = []
    for n in mains:
        if m != n and UFIP.get(m, {}).get(n) is not None:
            row.append(f"({m}, {n}, {float(UFIP[m][n])})")
    if row:
        print("    " + ", ".join(row) + ",")
print("];")
