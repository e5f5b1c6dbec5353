"""Writes tests/outside/liquids.tsv: figures of handbooks and standards to hold the liquids of the corpus against.

    python -m venv v && v/bin/pip install chemicals==1.5.2 thermo==0.6.1
    v/bin/python tests/outside/extract.py > tests/outside/liquids.tsv

One row a figure: record, property, value, source. Only rows of liquids that the corpus holds are taken. The
source is the publication whose table the package carries, not the package: that tells apart a figure that the
record has from there (a transcription check) from one that it has from elsewhere. Units are those of the records;
vapour pressures are at 25 C, densities at 20 C.
"""
import csv, glob, math, os, re, sys, tomllib, warnings
import chemicals
from chemicals import MW
from thermo.volume import VolumeLiquid
from thermo.vapor_pressure import VaporPressure
import xml.etree.ElementTree as ET

warnings.filterwarnings("ignore")
HERE = os.path.dirname(os.path.abspath(__file__))
DATA = os.path.dirname(chemicals.__file__)
METHODS = {  # of thermo: the publication that a correlation is taken from
    "DIPPR_PERRY_8E": "perry", "VDI_PPDS": "vdi", "WAGNER_MCGARRY": "mcgarry", "WAGNER_POLING": "poling",
    "ANTOINE_POLING": "poling", "ANTOINE_EXTENDED_POLING": "poling", "LANDOLT": "landolt",
    "ANTOINE_WEBBOOK": "webbook", "HEOS_FIT": "heos",
}


def table(path, delimiter="\t"):
    with open(os.path.join(DATA, path), encoding="utf-8") as file:
        rows = list(csv.DictReader(file, delimiter=delimiter))
    for row in rows:
        cas = row["CAS"]
        if "-" not in cas:
            row["CAS"] = f"{cas[:-3]}-{cas[-3:-1]}-{cas[-1]}"
    return {row["CAS"]: row for row in rows}


def number(text):
    try:
        return float(text)
    except (TypeError, ValueError):
        return None


IEC = table("Safety/IS IEC 60079-20-1 2010.tsv")
NFPA = table("Safety/NFPA 497 2008.tsv")
SERAT = table("Safety/DIPPR T_flash Serat.csv")
WIKIDATA = table("Misc/wikidata_properties.tsv")
CRC = table("Misc/Physical Constants of Organic Compounds.csv")
HANSEN = {name: table(f"Misc/{name}_hansen_solubility_parameters.tsv")
          for name in ("hspipy", "alshehri", "ruben_manuel", "schrier")}
CHEMSEP = {}
for compound in ET.parse(os.path.join(DATA, "Misc/ChemSep8.32.xml")).getroot():
    cas = compound.find("CAS")
    if cas is not None:
        CHEMSEP[cas.get("value")] = compound


def of(compound, tag):
    found = compound.find(tag)
    return None if found is None else number(found.get("value"))


def equation(compound, tag, kelvin):
    """A correlation of ChemSep where it is of one of the forms 101 (exp), 105 (Rackett) or 106."""
    found = compound.find(tag)
    if found is None:
        return None
    n = int(found.find("eqno").get("value"))
    a, b, c, d, e = [number(x.get("value")) if (x := found.find(k)) is not None else 0.0 for k in "ABCDE"]
    low, high = (number(found.find(k).get("value")) for k in ("Tmin", "Tmax"))
    if not low - 1.0 <= kelvin <= high:
        return None
    if n == 101:
        return math.exp(a + b / kelvin + c * math.log(kelvin) + d * kelvin ** e)
    if n == 105:
        return a / b ** (1 + (1 - kelvin / c) ** d)
    return None


out = []
for path in sorted(glob.glob(os.path.join(HERE, "../../kb/solvents/*.toml"))):
    with open(path, "rb") as file:
        record = tomllib.load(file)
    cas = record.get("cas")
    # A mixture of isomers or a cut has no constants of one substance; the code of some is a range.
    if not cas or record["kind"] != "solvent":
        continue

    def put(key, value, source):
        if value is not None:
            out.append((record["id"], key, value, source))

    for source, rows in (("iec60079", IEC), ("nfpa497", NFPA), ("wikidata", WIKIDATA), ("serat", SERAT)):
        row = rows.get(cas, {})
        flash = number(row.get("T_flash"))
        if flash is not None:
            celsius = flash - 273.15
            # The compilation mixes measured and predicted points; what is measured stands in whole degrees.
            if source != "serat" or abs(celsius - round(celsius)) < 0.02:
                put("flash", f"{celsius:.1f}", source)
        lfl = number(row.get("LFL"))
        # A sign that slipped in the copy (1-octanol) is no figure.
        if lfl is not None and lfl > 0:
            put("lfl", f"{100 * lfl:.2f}", source)
    row = CRC.get(cas, {})
    density = row.get("rho", "")
    # The temperature is glued to the last figure and its last nought is lost: 876.15 is 0.876 at 15 C,
    # 826.225 is 0.8262 at 25 C, 814.42 is 0.8144 at 20 C, 1060.2 is 1.060 at 20 C. Only 20 C is taken.
    if re.fullmatch(r"\d+\.\d*2", density):
        put("density", f"{float(density[:-1]) / 1000:.4f}", "crc")
    put("boils", None if not number(row.get("Tb")) else f"{float(row['Tb']) - 273.15:.1f}", "crc")
    for name, rows in HANSEN.items():
        if cas in rows:
            parts = [float(rows[cas][f"HANSEN_DELTA_{k}"]) / 1000 for k in "DPH"]
            put("hansen", "/".join(f"{p:.1f}" for p in parts), name)
    try:
        mass = MW(cas)
    except Exception:
        mass = None
    if cas in CHEMSEP and record["id"] not in ("xylene", "turpentine"):
        it = CHEMSEP[cas]
        put("molar-mass", f"{of(it, 'MolecularWeight'):.2f}", "chemsep")
        own = of(it, "MolecularWeight")
        kmol = equation(it, "LiquidDensity", 293.15)
        put("density", kmol and f"{kmol * own / 1000:.4f}", "chemsep")
        kmol = equation(it, "LiquidDensity", 298.15)
        put("molar-volume", kmol and f"{1000 / kmol:.2f}", "chemsep")
        pascal = equation(it, "VaporPressure", 298.15)
        put("vapour-pressure", pascal and f"{pascal:.4g}", "chemsep")
        total = of(it, "SolubilityParameter")
        put("hildebrand", total and f"{total / 1000:.2f}", "chemsep")
    if mass and record["id"] not in ("turpentine",):
        best = {}
        liquid, vapour = VolumeLiquid(CASRN=cas, MW=mass), VaporPressure(CASRN=cas)
        for key, it, kelvin, figure in (
            ("density", liquid, 293.15, lambda v: f"{mass / v / 1e6:.4f}"),
            ("molar-volume", liquid, 298.15, lambda v: f"{v * 1e6:.2f}"),
            ("vapour-pressure", vapour, 298.15, lambda v: f"{v:.4g}"),
        ):
            for method in sorted(it.all_methods):
                source = METHODS.get(method)
                if source is None or not it.test_method_validity(kelvin, method):
                    continue
                try:
                    value = it.calculate(kelvin, method)
                except Exception:
                    continue
                # Two forms of one handbook count once: the first in the alphabet.
                if value and value > 0 and (key, source) not in best:
                    best[key, source] = figure(value)
        for (key, source), value in best.items():
            put(key, value, source)

print("# Written by tests/outside/extract.py with chemicals 1.5.2 and thermo 0.6.1; see there and in README.md.")
print("record\tproperty\tvalue\tsource")
for row in sorted(out):
    print("\t".join(map(str, row)))
