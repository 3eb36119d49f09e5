"""Writes the files of a site that was built before, held in memory, one after another: what writing alone costs.

    python3 benches/peers/plain.py SITE OUT
"""

import sys
import time
from pathlib import Path

site, out = map(Path, sys.argv[1:3])
files = [
    (path.relative_to(site), path.read_bytes())
    for path in sorted(site.rglob("*"))
    if path.is_file() and ".benchleaf" not in path.parts
]
begun, cpu = time.perf_counter(), time.process_time()
for path, data in files:
    place = out / path
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(data)
print(f"{len(files)} files, {sum(len(data) for _, data in files) / 1e6:.1f} MB, "
      f"{time.perf_counter() - begun:.2f} s, {time.process_time() - cpu:.2f} s of the processor")
