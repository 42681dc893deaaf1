"""Reads a recipe back with programs of another make and compares every hole with the plan.

ezdxf reads the DXF, pdfplumber the templates, pypdf the book, the standard library the SVG. What is expected comes from
expected.json beside the files; places are taken from the drawn outline or frame, never from the layout's own numbers.
"""

import json
import math
import re
import sys
import xml.etree.ElementTree as Tree
from pathlib import Path

import ezdxf
import pdfplumber
import pypdf

MM = 25.4 / 72.0


def fail(message):
    sys.exit(f"readback: {message}")


def check_holes(what, found, expected, tolerance):
    """Every expected hole is found, and nothing else is."""
    for number, x, y in expected["holes"]:
        nearest = min((math.hypot(x - fx, y - fy) for fx, fy in found), default=math.inf)
        if nearest > tolerance:
            fail(f"{what}: hole {number} is {nearest:.4f} mm away from where the plan has it")
    for fx, fy in found:
        nearest = min(math.hypot(x - fx, y - fy) for _, x, y in expected["holes"])
        if nearest > tolerance:
            fail(f"{what}: a hole at {fx:.3f}, {fy:.3f} that the plan does not have")


def check_dxf(path, expected):
    document = ezdxf.readfile(path)
    if document.dxfversion != "AC1009":
        fail(f"dxf: version {document.dxfversion}, not R12 (AC1009)")
    kinds = {entity.dxftype() for entity in document.modelspace()}
    if kinds != {"LINE", "CIRCLE", "TEXT"}:
        fail(f"dxf: entities {sorted(kinds)}")
    circles = document.modelspace().query("CIRCLE[layer=='HOLES']")
    if len(circles) != len(expected["holes"]):
        fail(f"dxf: {len(circles)} holes")
    for circle in circles:
        if abs(2 * circle.dxf.radius - expected["hole_mm"]) > 0.01:
            fail(f"dxf: a hole of {2 * circle.dxf.radius} mm")
    check_holes("dxf", [(c.dxf.center.x, c.dxf.center.y) for c in circles], expected, 0.01)
    texts = sorted(int(text.dxf.text) for text in document.modelspace().query("TEXT[layer=='NUMBERS']"))
    if texts != [number for number, _, _ in expected["holes"]]:
        fail("dxf: numbers are missing")
    ends = [end for line in document.modelspace().query("LINE[layer=='OUTLINE']") for end in (line.dxf.start, line.dxf.end)]
    size = (max(end.x for end in ends) - min(end.x for end in ends), max(end.y for end in ends) - min(end.y for end in ends))
    if abs(size[0] - expected["width_mm"]) > 0.01 or abs(size[1] - expected["height_mm"]) > 0.01:
        fail(f"dxf: an outline of {size} mm")


def check_svg(path, expected):
    root = Tree.parse(path).getroot()
    if not (root.get("width").endswith("mm") and root.get("viewBox").split()[2] == root.get("width")[:-2]):
        fail("svg: a user unit is not a millimetre")
    height = float(root.get("height")[:-2])
    circles = [c for c in root.iter("{http://www.w3.org/2000/svg}circle")]
    if len(circles) != len(expected["holes"]):
        fail(f"svg: {len(circles)} holes")
    check_holes("svg", [(float(c.get("cx")), height - float(c.get("cy"))) for c in circles], expected, 0.01)


def circles_on(page, diameter):
    """Centres (points, y down) of everything drawn round with this diameter in millimetres."""
    shapes = page.curves + page.rects
    wanted = diameter / MM
    return [
        ((s["x0"] + s["x1"]) / 2, (s["top"] + s["bottom"]) / 2)
        for s in shapes
        if s["stroke"] and abs(s["width"] - wanted) < 0.3 and abs(s["height"] - wanted) < 0.3
    ]


def rectangle_on(page, width, height):
    """The one rectangle of this size in millimetres, with the most exact fit."""
    found = [
        r
        for r in page.rects + page.curves
        if abs(r["width"] * MM - width) < 0.05 and abs(r["height"] * MM - height) < 0.05
    ]
    if not found:
        fail(f"no rectangle of {width} x {height} mm on page {page.page_number}")
    return found[0]


def check_bars(what, page, lengths):
    drawn = [max(line["width"], line["height"]) * MM for line in page.lines]
    for length in lengths:
        if not any(abs(length - one) < 0.02 for one in drawn):
            fail(f"{what}: no bar of {length} mm")


def check_roll(path, expected):
    with pdfplumber.open(path) as pdf:
        if len(pdf.pages) != 1:
            fail(f"roll: {len(pdf.pages)} pages")
        page = pdf.pages[0]
        sheet = rectangle_on(page, expected["width_mm"], expected["height_mm"])
        found = [
            ((x - sheet["x0"]) * MM, (sheet["bottom"] - y) * MM) for x, y in circles_on(page, expected["hole_mm"])
        ]
        check_holes("roll", found, expected, 0.1)
        check_bars("roll", page, [100.0, 101.6])
        text = page.extract_text()
        if "FRONT" not in text:
            fail("roll: does not say FRONT")
        words = {word["text"] for word in page.extract_words()}
        missing = [n for n, _, _ in expected["holes"] if str(n) not in words]
        if missing:
            fail(f"roll: no number for {missing}")


def find_words(page, pattern):
    """A pattern in the words of one letter size; a hole's number may stand between the letters of another."""
    for size in {char["size"] for char in page.chars}:
        alone = page.filter(lambda thing: thing["object_type"] == "char" and thing["size"] == size)
        found = re.search(pattern, alone.extract_text())
        if found:
            return found
    return None


def check_tiles(path, expected, page_mm, bar):
    """Puts the tiles together by the offset printed on each and by the frame drawn on it."""
    usable = (page_mm[0] - 20.0, page_mm[1] - 20.0)
    found, crosses = [], {}
    with pdfplumber.open(path) as pdf:
        columns = math.ceil((expected["width_mm"] - 10.0) / (usable[0] - 10.0))
        rows = math.ceil((expected["height_mm"] - 10.0) / (usable[1] - 10.0))
        if len(pdf.pages) != 1 + columns * rows:
            fail(f"{path.name}: {len(pdf.pages)} pages, expected a map and {columns} x {rows} tiles")
        for page in pdf.pages[1:]:
            frame = rectangle_on(page, *usable)
            if abs(frame["x0"] * MM - 10.0) > 0.1 or abs(frame["top"] * MM - 10.0) > 0.1:
                fail(f"{path.name}: the frame does not stand 10 mm inside the page")
            offset = find_words(page, r"left edge (-?[\d.]+) mm, bottom edge (-?[\d.]+) mm")
            if not offset:
                fail(f"{path.name}: page {page.page_number} does not say where it belongs")
            left, bottom = map(float, offset.groups())
            for x, y in circles_on(page, expected["hole_mm"]):
                found.append(((x - frame["x0"]) * MM + left, (frame["bottom"] - y) * MM + bottom))
            for line in page.lines:
                if abs(line["width"] * MM - 8.0) < 0.02 and line["height"] < 0.01:
                    at = ((line["x0"] + line["x1"]) / 2, line["top"])
                    here = ((at[0] - frame["x0"]) * MM + left, (frame["bottom"] - at[1]) * MM + bottom)
                    # Crosses that lie on each other count as one place.
                    key = next((place for place in crosses if math.dist(place, here) < 0.3), here)
                    crosses[key] = crosses.get(key, 0) + 1
            check_bars(path.name, page, [bar])
    check_holes(path.name, found, expected, 0.1)
    if columns > 1 and rows > 1 and sum(count == 4 for count in crosses.values()) != (columns - 1) * (rows - 1):
        fail(f"{path.name}: registration crosses do not meet: {crosses}")


def check_book(path, expected):
    reader = pypdf.PdfReader(path)
    if reader.metadata.title != expected["title"]:
        fail(f"book: title {reader.metadata.title!r}")
    if reader.metadata.creation_date is not None:
        fail("book: carries a date")
    if not reader.trailer["/Root"].get("/MarkInfo", {}).get("/Marked"):
        fail("book: not tagged")
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    wanted = [expected["title"], "where they differ from this page, they win"]
    if "Threading" not in text or "from the BACK" not in text and "threading sheets" not in expected["withheld"]:
        fail("book: no threading sheet from the BACK")
    for words in wanted + [expected[key] for key in ("verdict", "cure") if key in expected]:
        if words not in text:
            fail(f"book: {words!r} cannot be found")
    for sheet in expected["withheld"]:
        if f"The {sheet} are withheld" not in text:
            fail(f"book: does not say that the {sheet} are withheld")
    for words in expected.get("absent", []):
        if words in text:
            fail(f"book: {words!r} should be withheld")
    if re.search(r"\bsafe\b", text, re.IGNORECASE):
        fail("book: says safe")
    check_fonts(reader, path.name)


def check_fonts(reader, name):
    """Every font of every page is embedded."""
    seen = 0
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            font = font.get_object()
            inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            descriptor = inner["/FontDescriptor"].get_object()
            if not any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3")):
                fail(f"{name}: {font['/BaseFont']} is not embedded")
            if "AtkinsonHyperlegibleNext" not in font["/BaseFont"].replace(" ", ""):
                fail(f"{name}: a font {font['/BaseFont']}")
            seen += 1
    if seen == 0:
        fail(f"{name}: no fonts at all")


def main():
    folder = Path(sys.argv[1])
    expected = json.loads((folder / "expected.json").read_text())
    check_book(folder / "book.pdf", expected)
    if "holes" not in expected:
        return
    templates = folder / "templates"
    name = expected["name"]
    check_dxf(templates / f"{name}.dxf", expected)
    check_svg(templates / f"{name}.svg", expected)
    check_roll(templates / f"{name}-roll.pdf", expected)
    bar = expected["bar_mm"]
    # US letter: 8.5 x 11 in; A4: ISO 216.
    check_tiles(templates / f"{name}-letter.pdf", expected, (215.9, 279.4), bar)
    check_tiles(templates / f"{name}-a4.pdf", expected, (210.0, 297.0), bar)
    for path in sorted(templates.glob("*.pdf")):
        check_fonts(pypdf.PdfReader(path), path.name)
    print("every hole where the plan has it")


main()
