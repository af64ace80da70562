"""Every marked score is valid MusicXML.

Source: the MusicXML 4.0 schema, musicxml.xsd, of the W3C Music Notation
Community Group, judged by xmllint (libxml2). Earlier versions are checked
against it too: 4.0 accepts all that they allow. Scores that were invalid
before they were marked are listed in invalid.txt; marking must add no error.
"""

import re
import subprocess
from collections import Counter

import outside

SCHEMA = outside.SHARED / "musicxml-4.0" / "musicxml.xsd"


def errors(path):
    """The schema errors of a file, without their line numbers."""
    done = subprocess.run(
        ["xmllint", "--nonet", "--noout", "--schema", SCHEMA, path], capture_output=True, text=True, check=False
    )
    if done.returncode not in (0, 3):  # 3: does not validate
        return Counter([f"xmllint could not check it: {done.stderr.strip()}"])
    lines = [re.sub(r"^\S.*?:\d+: ", "", line) for line in done.stderr.splitlines()]
    return Counter(line for line in lines if "error" in line)


def main():
    troubles, checked = [], 0
    invalid = outside.reasons("invalid.txt")
    for score in outside.scores():
        before, after = errors(outside.plain(score)), errors(outside.marked(score))
        checked += 1
        if bool(before) != (score.name in invalid):
            troubles.append(f"{score.name}: {sum(before.values())} errors before marking, which invalid.txt does not say: {list(before)[:2]}")
        for error, n in (after - before).items():
            troubles.append(f"{score.name}: new after marking, {n} times: {error}")
    print(f"schema: {checked} marked scores against {SCHEMA.name}, {len(invalid)} of them invalid before")
    outside.finish("schema", troubles)


if __name__ == "__main__":
    main()
