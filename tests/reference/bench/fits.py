"""Limits and fits of ISO 286, from the tables of the library `pressfit`, for fits.csv.

Made with Python 3.11 and pressfit 0.1.0 in an environment of its own:
    python -m venv env && env/bin/pip install pressfit==0.1.0
    env/bin/python fits.py > fits.csv

Every whole millimetre from 6 to 120, and sizes just above the steps' ends; deviations in micrometres, lower
then upper. H is the hole, the rest are shafts.
"""

from pressfit import fit

SIZES = sorted(list(range(6, 121)) + [6.1, 10.1, 18.1, 30.1, 50.1, 80.1])
GRADES = (5, 6, 7, 8, 9)

print("size_mm,code,lower_um,upper_um")
for size in SIZES:
    for grade in GRADES:
        both = fit(f"H{grade}/h{grade}", size)
        print(f"{size},H{grade},{both.hole_ei_um:g},{both.hole_es_um:g}")
        for letter in ("h", "g", "f", "js", "d", "e", "k", "m", "n", "p"):
            one = fit(f"H{grade}/{letter}{grade}", size)
            print(f"{size},{letter}{grade},{one.shaft_ei_um:g},{one.shaft_es_um:g}")
