"""Every study sheet is a sound PDF.

Source: poppler's pdfinfo, pdffonts and pdftotext, which know nothing of
hardbars. Checked: fonts embedded, title and list found as text, at most four
pages for a score of 100 bars or fewer, the same bytes when made twice.
"""

import json
import re
import subprocess
import tempfile
import unicodedata
from pathlib import Path

import outside


def poppler(tool, *args):
    return subprocess.run([tool, *map(str, args)], capture_output=True, text=True, check=True).stdout


def letters(text):
    """Text without the spaces that a layout puts in or leaves out."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFC", text))


def fonts(pdf):
    """The names of a PDF's fonts and whether each is embedded."""
    rows = poppler("pdffonts", pdf).splitlines()
    emb = rows[0].index("emb")
    return {row[:37].strip(): row[emb:emb + 3].strip() for row in rows[2:]}


def heading(spots):
    """What the list is called: nothing needs practice first that is comfortable."""
    return "Practise these first" if max(s["demand"] for s in spots) > 1 else "Nearest to the limit"


def wrong_with(score, pdf, again):
    report = json.loads(outside.hardbars("spots", "--json", score))
    pages = int(re.search(r"^Pages:\s+(\d+)", poppler("pdfinfo", pdf), re.M)[1])
    text = letters(poppler("pdftotext", pdf, "-"))
    if not fonts(pdf) or set(fonts(pdf).values()) != {"yes"}:
        yield f"fonts not embedded: {fonts(pdf)}"
    for part in filter(None, (report["score"]["title"], report["score"]["composer"])):
        if letters(part) not in text:
            yield f"{part!r} is not on it"
    if report["spots"] and letters(heading(report["spots"])) not in text:
        yield f"the list {heading(report['spots'])!r} is not on it"
    if report["score"]["bars"] <= 100 and pages > 4:
        yield f"{pages} pages for {report['score']['bars']} bars"
    if pdf.read_bytes() != again.read_bytes():
        yield "made twice, the bytes differ"


def main():
    troubles, checked = [], 0
    with tempfile.TemporaryDirectory() as folder:
        outside.hardbars("study", "--out", folder, *outside.scores())
        for score in outside.scores():
            pdf = outside.made(score, ".study.pdf")
            troubles += [f"{score.name}: {w}" for w in wrong_with(score, pdf, Path(folder) / pdf.name)]
            checked += 1
    print(f"sheet: {checked} study sheets: fonts, words, pages, same bytes twice")
    outside.finish("sheet", troubles)


if __name__ == "__main__":
    main()
