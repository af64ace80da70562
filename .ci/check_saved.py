"""A marked score loses its marks also after another program has saved it.

Source: a notation editor from Debian (musescore3), music21 and partitura from
PyPI. Each opens a score with and without marks and saves both; what hardbars
takes the marks out of must then be what the program made of the score without
any: the same words, brackets and colours, note for note.
"""

import os
import re
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import outside


def editor(source, target):
    environment = dict(os.environ, QT_QPA_PLATFORM="offscreen", XDG_RUNTIME_DIR=tempfile.gettempdir())
    for _ in range(3):  # it now and then crashes as it ends
        done = subprocess.run(["musescore3", "-o", target, source], capture_output=True, check=False, timeout=180, env=environment)
        if done.returncode == 0 and Path(target).exists():
            return
    sys.exit(f"musescore3 does not save {source}: exit {done.returncode}")


def music21_saves(source, target):
    import music21

    music21.converter.parse(source, forceSource=True).write("musicxml", target)


def partitura_saves(source, target):
    import partitura

    partitura.save_musicxml(partitura.load_musicxml(source), target)


PROGRAMS = {"musescore3": editor, "music21": music21_saves, "partitura": partitura_saves}


def looks(path):
    """The words, brackets and colours of a score, and how many notes it has."""
    text = Path(path).read_text(encoding="utf-8")
    words = sorted(re.findall(r"<words[^>]*>([^<]*)</words>", text))
    brackets = len(re.findall(r"<bracket ", text))
    colours = sorted(re.findall(r'<(?:note|notehead)[^>]* color="([^"]*)"', text))
    return {"words": words, "brackets": brackets, "colours": colours, "notes": len(re.findall(r"<note[ >]", text))}


def main():
    compared, wrong = 0, 0
    scores = [s for s in outside.scores() if s.stem in ("lantern-barcarolle", "meadow-minuet", "weathercock-study") or "Fur_Elise" in s.stem]
    with tempfile.TemporaryDirectory() as folder:
        for score in scores:
            plain, marked = outside.plain(score), outside.plain(outside.made(score, ".marked.musicxml"))
            for name, save in PROGRAMS.items():
                saved = {what: os.path.join(folder, f"{name}.{what}.musicxml") for what in ("plain", "marked", "again")}
                with warnings.catch_warnings():
                    warnings.simplefilter("ignore")
                    save(str(plain), saved["plain"])
                    save(str(marked), saved["marked"])
                outside.hardbars("unmark", saved["marked"], "--out", saved["again"])
                before, after = looks(saved["plain"]), looks(saved["again"])
                compared += 1
                for what, was in before.items():
                    if after[what] != was:
                        wrong += 1
                        print(f"{score.stem}: saved by {name}: {what} are {str(after[what])[:300]} and not {str(was)[:300]}")
                marks = looks(saved["marked"])
                print(f"{score.stem}, {name}: of {len(marks['words']) - len(before['words'])} words, {marks['brackets'] - before['brackets']} ends of brackets"
                      f" and {len(marks['colours']) - len(before['colours'])} colours that it kept none is left")
    print(f"{compared} saved scores compared")
    sys.exit(wrong > 0 or compared == 0)


main()
