#!/usr/bin/env python3
"""public/towns.txt: the file that the page fetches when the place is first asked for.

    python3 make_towns.py places.txt zones.csv ../../public/towns.txt

The nine lines of places.txt (make_places.py), the rows of zones.csv (make_zones_table.py), and the English name of each country:
Unicode CLDR through the PyPI package babel, Unicode licence, by ISO 3166 code. Needs babel.
"""
import sys
from pathlib import Path
from babel import Locale

places, zones = (Path(name).read_text(encoding="utf-8") for name in sys.argv[1:3])
lines = places.splitlines()
names = Locale("en").territories
codes = sorted({run.split("*")[0] for run in lines[3].split(",")})
rows = [line for line in zones.splitlines() if line.count(",") == 4 and not line.startswith(("#", "zone,"))]
countries = [f"{code}\t{names[code].replace('&', 'and')}" for code in codes]
Path(sys.argv[3]).write_text("\n".join([*lines, *rows, *countries]) + "\n", encoding="utf-8")
