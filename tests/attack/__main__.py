"""The large attack: `python -m tests.attack [NAME...] [--part N]`, also `make attack`.

It goes on where it was stopped: how far each attack has come, and what it found, is kept in `.attack`. A part of it is
`--part 100`, a hundredth of every number; `--seed N` looks at one case alone. It fails where anything was found.
"""

import argparse
import json
import os
import time
from concurrent.futures import ProcessPoolExecutor
from itertools import islice
from pathlib import Path

from tests.attack.attacks import ATTACKS, Attack, tried

KEPT = Path(__file__).parents[2] / ".attack"
AT_ONCE = os.cpu_count() or 1
BUNDLES = 40
"""An attack is kept after each of so many parts."""


def attacked(name: str, attack: Attack, count: int) -> tuple[int, list[tuple[int, str]], float]:
    """Go on with one attack to its end: how often, what was found, and in how many seconds."""
    file = KEPT / f"{name}.json"
    done, found, took = json.loads(file.read_text(encoding="utf-8")) if file.exists() else (0, [], 0.0)
    size = max(1, -(-count // BUNDLES // AT_ONCE))
    bundles = iter([range(at, min(at + size, count)) for at in range(done, count, size)])
    with ProcessPoolExecutor(AT_ONCE if attack.at_once else 1) as pool:
        while some := list(islice(bundles, AT_ONCE)):
            began = time.monotonic()
            for more in pool.map(tried, [name] * len(some), some):
                found += more
            took += time.monotonic() - began
            file.parent.mkdir(exist_ok=True)
            file.write_text(json.dumps([some[-1].stop, found, took]), encoding="utf-8")
            print(f"\r  {name}: {some[-1].stop} of {count}, {len(found)} found, {took:.0f} s", end="", flush=True)
        print()
    return max(done, count), found, took


def main() -> int:
    """Attack, and print a line for each."""
    words = argparse.ArgumentParser(prog="python -m tests.attack")
    words.add_argument("names", nargs="*", metavar="NAME", help=", ".join(ATTACKS))
    words.add_argument("--part", type=int, default=1, help="one part of so many")
    words.add_argument("--seed", type=int, help="look at one case alone")
    words.add_argument("--anew", action="store_true", help="forget how far it had come")
    args = words.parse_args()
    names = args.names or list(ATTACKS)
    if args.seed is not None:
        print("\n".join(ATTACKS[name].run(args.seed) or "nothing wrong" for name in names))
        return 0
    rows = []
    for name in names:
        if args.anew:
            (KEPT / f"{name}.json").unlink(missing_ok=True)
        attack = ATTACKS[name]
        count, found, took = attacked(name, attack, -(-attack.count // args.part))
        rows.append((name, attack, count, found, took))
    for name, attack, count, found, took in rows:
        print(f"{name}: {attack.what}; {count} times in {took:.0f} s; {len(found)} found")
        print("".join(f"    python -m tests.attack {name} --seed {seed}    {wrong}\n" for seed, wrong in found[:20]), end="")
    return 1 if any(row[3] for row in rows) else 0


if __name__ == "__main__":
    raise SystemExit(main())
