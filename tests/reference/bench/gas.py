"""Compression of real dry air, from the library CoolProp, for gas.csv.

Made with Python 3.11 and CoolProp 8.0.0 in an environment of its own:
    python -m venv env && env/bin/pip install CoolProp==8.0.0
    env/bin/python gas.py > gas.csv

From 101.325 kPa and 293.15 K to a fraction of the volume: once with no heat leaving (constant entropy), once
at constant temperature.
"""

from CoolProp.CoolProp import PropsSI

START, KELVIN = 101325.0, 293.15
density = PropsSI("D", "P", START, "T", KELVIN, "Air")
entropy = PropsSI("S", "P", START, "T", KELVIN, "Air")

print("ratio,fast_kpa,slow_kpa")
for ratio in (1.5, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30):
    fast = PropsSI("P", "D", density * ratio, "S", entropy, "Air") / 1000
    slow = PropsSI("P", "D", density * ratio, "T", KELVIN, "Air") / 1000
    print(f"{ratio},{fast:.4f},{slow:.4f}")
