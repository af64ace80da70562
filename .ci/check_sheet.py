"""Every study sheet is a sound PDF.

Source: poppler's pdfinfo, pdffonts, pdftotext and pdftohtml, which know nothing
of hardbars. Checked: fonts embedded, title and passages found as text, a page for
each passage at most and five beside, no words of a machine before the figures, the
same bytes when made twice; and the outline: every passage of the shortlist is on
the page that it names.

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


def outline(pdf):
    """The PDF's outline: words and page of each entry."""
    xml = poppler("pdftohtml", "-xml", "-i", "-stdout", pdf)
    return [(html.unescape(words), int(page)) for page, words in re.findall(r'<item page="(\d+)">([^<]*)</item>', xml)]


MACHINE = ("--", "hardbars", "bits a second", "hot spot", "× comfortable")


def bars(passage):
    first, last = passage["from"]["bar"], passage["to"]["bar"]
    return f"Bar {first}" if first == last else f"Bars {first}–{last}"


def wrong_with(score, pdf, again):
    report = json.loads(outside.hardbars("spots", "--json", score))
    listed = [p for p in report["passages"] if p["shortlist"]]
    sheets = poppler("pdftotext", pdf, "-").split("\f")[:-1]
    text = letters("".join(sheets))
    if not fonts(pdf) or set(fonts(pdf).values()) != {"yes"}:
        yield f"fonts not embedded: {fonts(pdf)}"
    for part in filter(None, (report["score"]["title"], report["score"]["composer"])):
        if letters(part) not in text:
            yield f"{part!r} is not on it"
    if len(sheets) > len(listed) + 5:
        yield f"{len(sheets)} pages for {len(listed)} passages"
    if listed and letters(bars(listed[0])) not in letters(sheets[0]):
        yield f"the first page does not have {bars(listed[0])}"
    before = "".join(sheets).split("The figures behind this sheet")[0]
    for word in MACHINE:
        if word in before:
            yield f"it says {word!r}"
    places = {m[1]: page for words, page in outline(pdf) if (m := re.match(r"(\d+)  Bars? ", words))}
    for p in listed:
        number = str(p["order"])
        if number not in places or letters(bars(p)) not in letters(sheets[places[number] - 1]):
            yield f"passage {number}, {bars(p)}, is not where the outline has it: {places}"
    if len(places) != len(listed):
        yield f"the outline has {sorted(places)}, the shortlist {len(listed)} passages"
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
