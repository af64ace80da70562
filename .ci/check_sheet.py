"""Every study sheet is a sound PDF.

Source: poppler's pdfinfo, pdffonts, pdftotext and pdftohtml, which know nothing
of hardbars. Checked: fonts embedded, title and list found as text, at most four
pages for a score of 100 bars or fewer, the same bytes when made twice; and the
outline: every page that the list names is that of an entry with the same number.

So are the pages of the whole piece: fonts embedded, title and composer as text
or the signs for accidentals in them drawn, every passage of the shortlist sent
to the page of the sheet that has it, the same bytes when made twice.
"""

import html
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


def outline(pdf):
    """The PDF's outline: words and page of each entry."""
    xml = poppler("pdftohtml", "-xml", "-i", "-stdout", pdf)
    return [(html.unescape(words), int(page)) for page, words in re.findall(r'<item page="(\d+)">([^<]*)</item>', xml)]


def named_pages(pdf):
    """Number and page of every place on the sheet, as the list on it says."""
    rows = poppler("pdftotext", "-layout", pdf, "-").splitlines()
    return [(m[1], int(m[2])) for row in rows if (m := re.match(r"\s*(\w+)\s+Bars? .*\bpage (\d+)\s*$", row))]


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
    places = [(re.match(r"(\w+)  Bars? ", words)[1], page) for words, page in outline(pdf) if re.match(r"\w+  Bars? ", words)]
    if sorted(places) != sorted(named_pages(pdf)) or bool(report["spots"]) != bool(places):
        yield f"the outline has {places}, the list {named_pages(pdf)}"
    if pdf.read_bytes() != again.read_bytes():
        yield "made twice, the bytes differ"


def wrong_with_pages(score, pages, sheet, again):
    if not fonts(pages) or set(fonts(pages).values()) != {"yes"}:
        yield f"fonts not embedded: {fonts(pages)}"
    text = poppler("pdftotext", pages, "-")
    report = json.loads(outside.hardbars("spots", "--json", score))
    for part in filter(None, (report["score"]["title"], report["score"]["composer"])):
        if letters(re.sub("[♭♮♯]", "", part)) not in letters(text):
            yield f"{part!r} is not on it"
    told = sorted(int(n) for n in re.findall(r"see page (\d+)", text))
    places = sorted(page for words, page in outline(sheet) if re.match(r"\d+  Bars? ", words))
    if told != places:
        yield f"the piece sends to pages {told}, the sheet's passages are on {places}"
    if pages.read_bytes() != again.read_bytes():
        yield "made twice, the bytes differ"


def main():
    troubles, checked = [], 0
    with tempfile.TemporaryDirectory() as folder:
        outside.hardbars("study", "--out", folder, *outside.scores())
        for score in outside.scores():
            pdf = outside.made(score, ".study.pdf")
            troubles += [f"{score.name}: {w}" for w in wrong_with(score, pdf, Path(folder) / pdf.name)]
            pages = outside.made(score, ".score.pdf")
            troubles += [f"{score.name}, the whole piece: {w}" for w in wrong_with_pages(score, pages, pdf, Path(folder) / pages.name)]
            checked += 1
    print(f"sheet: {checked} study sheets and whole pieces: fonts, words, pages, outline, same bytes twice")
    outside.finish("sheet", troubles)


if __name__ == "__main__":
    main()
