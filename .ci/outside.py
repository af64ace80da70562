"""What the outside checks share: the scores, the program's output, lists of reasons.

Each check is a program of its own that judges hardbars by something outside
this project. It prints what it looked at and exits 1 on the first kind of
trouble that no list explains.
"""

import re
import subprocess
import sys
import zipfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
SHARED = ROOT.parent / "shared"
OUT = HERE / "out"
HARDBARS = OUT / "hardbars"


def scores():
    """Every score that testdata/scores.txt names, and of ../shared/scores, by name."""
    ours = [ROOT / "testdata" / name for name in (ROOT / "testdata" / "scores.txt").read_text().split()]
    shared = list((SHARED / "scores").glob("*.mxl"))
    if not ours or not shared:
        sys.exit(f"no scores in {ROOT / 'testdata'} or {SHARED / 'scores'}: the checks need both")
    return sorted(ours) + sorted(shared)


def hardbars(*args):
    """Runs the program and returns what it prints."""
    done = subprocess.run([HARDBARS, *map(str, args)], capture_output=True, check=False)
    if done.returncode != 0:
        sys.exit(f"hardbars {' '.join(map(str, args))}: exit {done.returncode}: {done.stderr.decode()}")
    return done.stdout


def made(score, suffix):
    """A file that `hardbars study` made of a score; .ci/run calls it for all."""
    return OUT / "study" / (score.stem + suffix)


def marked(score):
    return made(score, ".marked.musicxml")


def musicxml(path):
    """The MusicXML document of a file as bytes, out of its ZIP where it is in one."""
    data = path.read_bytes()
    if not data.startswith(b"PK"):
        return data
    with zipfile.ZipFile(path) as z:
        container = z.read("META-INF/container.xml").decode()
        for tag in re.findall(r"<rootfile\b[^>]*>", container):
            if "media-type" not in tag or "musicxml" in tag:
                return z.read(re.search(r'full-path="([^"]*)"', tag)[1])
    sys.exit(f"{path}: its container names no MusicXML")


def plain(path):
    """A copy of a score's MusicXML, uncompressed, that a check may change."""
    copy = OUT / "plain" / (path.stem + ".musicxml")
    copy.parent.mkdir(parents=True, exist_ok=True)
    copy.write_bytes(musicxml(path))
    return copy


def reasons(name):
    """Reads a list of explained findings: lines of "key: reason", # for comments."""
    listed = {}
    for line in (HERE / name).read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            key, _, reason = line.partition(": ")
            if not reason.strip():
                sys.exit(f"{name}: no reason given in: {line}")
            listed[key.strip()] = reason.strip()
    return listed


def finish(what, troubles):
    """Prints the verdict and ends the check."""
    for t in troubles:
        print(f"  WRONG {t}")
    print(f"{what}: {'FAILED, ' + str(len(troubles)) + ' wrong' if troubles else 'ok'}")
    sys.exit(1 if troubles else 0)
