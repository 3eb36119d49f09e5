"""Viscosity index of oils, computed by the library `chemicals` (ASTM D2270), for viscosity_index.csv.

Made with Python 3.11 and chemicals 1.5.2 in an environment of its own:
    python -m venv env && env/bin/pip install chemicals==1.5.2
    env/bin/python viscosity_index.py > viscosity_index.csv

The viscosities at 100 degrees run from 2.1 to 90 mm2/s off the table's own rows; those at 40 degrees are
multiples of them from thin multigrades to oils of negative index.
"""

from chemicals.viscosity import viscosity_index

print("viscosity_40_mm2_s,viscosity_100_mm2_s,index")
hot = 2.13
while hot < 90:
    for ratio in (2.2, 2.9, 3.7, 4.6, 5.8, 7.4, 9.5, 12.0):
        cold = round(hot * ratio, 3)
        index = viscosity_index(cold * 1e-6, hot * 1e-6)
        # Beyond these no oil is sold, and the formula runs away.
        if -100 < index < 500:
            print(f"{cold},{hot},{index:.6f}")
    hot = round(hot * 1.093 + 0.007, 3)
