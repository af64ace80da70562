"""Prints the table of kinds by score for DEVELOPERS.md, notes on calibration.

Not a check: nothing here is right or wrong by itself. A kind that suddenly
fills a column, or leaves it, is a reason to open the score at the bar.

Run after `go build -o .ci/out/hardbars ./cmd/hardbars`; takes the default
player, with an empty profile.
"""

import json
import os
import re
import tempfile
from pathlib import Path

import outside


def survey():
    rows = json.loads(outside.hardbars("survey", "--json", outside.SHARED / "scores"))
    return [(Path(row["file"]), row) for row in rows]


def hot(score):
    """Hot spots by kind: how many, and the greatest demand."""
    kinds = {}
    for spot in json.loads(outside.hardbars("spots", "--json", score))["spots"]:
        count, most = kinds.get(spot["kind"], (0, 0))
        kinds[spot["kind"]] = (count + 1, max(most, spot["demand"]))
    return kinds


def all_kinds():
    text = outside.hardbars("kinds").decode()
    return re.findall(r"^([a-z-]+): ", text, re.MULTILINE)


def main():
    with tempfile.TemporaryDirectory() as nobody:
        os.environ["XDG_CONFIG_HOME"] = nobody
        scores = survey()
        columns = [hot(path) for path, _ in scores]
        kinds = all_kinds()
    print("| | score | bars | past comfort | overall |\n|---:|---|---:|---:|---:|")
    for n, (path, row) in enumerate(scores, 1):
        print(f"| {n} | {path.stem} | {row['bars']} | {row['past_comfort']:.0%} | {row['overall']:.2f} |")
    print("\n| kind | " + " | ".join(str(n) for n in range(1, len(scores) + 1)) + " |")
    print("|---|" + "---|" * len(scores))
    for kind in kinds:
        cells = [f"{c[kind][0]}: {c[kind][1]:.1f}" if kind in c else "" for c in columns]
        print(f"| {kind} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()
