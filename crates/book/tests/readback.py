"""Reads a recipe back with programs of another make and compares every hole with the plan.

ezdxf reads the DXF, pdfplumber the templates, pypdf the book, the standard library the SVG. What is expected comes from
expected.json beside the files; places are taken from the drawn outline or frame, never from the layout's own numbers.
"""

import functools
import json
import math
import re
import subprocess
import sys
import xml.etree.ElementTree as Tree
from pathlib import Path

import ezdxf
import pdfplumber
import pypdf

MM = 25.4 / 72.0


def fail(message):
    sys.exit(f"readback: {message}")


def nearest(place, places):
    """The distance to the nearest of some places."""
    return min((math.dist(place, other) for other in places), default=math.inf)


class Near:
    """Places by the square millimetre, so that a near one is found without looking at all."""

    def __init__(self, places):
        self.places = list(places)
        self.cells = {}
        for place in self.places:
            self.cells.setdefault((math.floor(place[0]), math.floor(place[1])), []).append(place)

    def distance(self, place):
        """To the nearest one: from around if that is nearer than any other can be, else from all."""
        column, row = math.floor(place[0]), math.floor(place[1])
        cells = [self.cells.get((x, y), []) for x in range(column - 1, column + 2) for y in range(row - 1, row + 2)]
        around = nearest(place, (other for cell in cells for other in cell))
        return around if around < 1 else nearest(place, self.places)


def check_holes(what, found, expected, tolerance):
    """Every expected hole is found, and nothing else is."""
    near_found, near_planned = Near(found), Near((x, y) for _, x, y in expected["holes"])
    for number, x, y in expected["holes"]:
        away = near_found.distance((x, y))
        if away > tolerance:
            fail(f"{what}: hole {number} is {away:.4f} mm away from where the plan has it")
    for fx, fy in found:
        if near_planned.distance((fx, fy)) > tolerance:
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


def check_bars(what, page, across, upright):
    """A bar of each length, across and upright."""
    for lengths, side, other in ((across, "width", "height"), (upright, "height", "width")):
        drawn = [line[side] * MM for line in page.lines if line[other] < 0.01]
        for length in lengths:
            if not any(abs(length - one) < 0.02 for one in drawn):
                fail(f"{what}: no bar of {length} mm, {side}")


def check_sheet(path, expected, across, upright):
    """A template on one page: the roll, or the picture for a projector."""
    with pdfplumber.open(path) as pdf:
        if len(pdf.pages) != 1:
            fail(f"{path.name}: {len(pdf.pages)} pages")
        page = pdf.pages[0]
        if page.images:
            fail(f"{path.name}: holds a raster picture")
        sheet = rectangle_on(page, expected["width_mm"], expected["height_mm"])
        found = [
            ((x - sheet["x0"]) * MM, (sheet["bottom"] - y) * MM) for x, y in circles_on(page, expected["hole_mm"])
        ]
        check_holes(path.name, found, expected, 0.1)
        check_bars(path.name, page, across, upright)
        if "FRONT" not in page.extract_text():
            fail(f"{path.name}: does not say FRONT")
        # Words as they were set: numbers that stand close to each other are not one.
        set_words = page.extract_words(use_text_flow=True, x_tolerance=0.5, y_tolerance=0.5)
        words = {word["text"] for word in set_words}
        missing = [n for n, _, _ in expected["holes"] if str(n) not in words]
        if missing:
            fail(f"{path.name}: no number for {missing}")


def find_words(page, pattern):
    """A pattern in the words of one letter size; a hole's number may stand between the letters of another."""
    for size in {char["size"] for char in page.chars}:
        alone = page.filter(lambda thing: thing["object_type"] == "char" and thing["size"] == size)
        found = re.search(pattern, alone.extract_text())
        if found:
            return found
    return None


def check_tiles(path, expected, page_mm, bars):
    """Puts the tiles together by the offset printed on each and by the frame drawn on it."""
    usable = (page_mm[0] - 20.0, page_mm[1] - 20.0)
    found, crosses = [], {}
    with pdfplumber.open(path) as pdf:
        columns = math.ceil((expected["width_mm"] - 10.0) / (usable[0] - 10.0))
        rows = math.ceil((expected["height_mm"] - 10.0) / (usable[1] - 10.0))
        if len(pdf.pages) != 2 + columns * rows:
            fail(f"{path.name}: {len(pdf.pages)} pages, expected a map, a check sheet and {columns} x {rows} tiles")
        diagonal = f"{round(math.hypot(expected['width_mm'], expected['height_mm']))} mm"
        check = pdf.pages[1].extract_text()
        if "check before drilling" not in check or check.count(diagonal) < 2:
            fail(f"{path.name}: the check sheet does not give both diagonals as {diagonal}")
        for page in pdf.pages[2:]:
            if page.images:
                fail(f"{path.name}: holds a raster picture")
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
            check_bars(path.name, page, [bars[0]], [bars[1]])
    check_holes(path.name, found, expected, 0.1)
    # Where four tiles meet there is one cross on each; on every joint between two, one in its middle.
    if sum(count == 4 for count in crosses.values()) != (columns - 1) * (rows - 1):
        fail(f"{path.name}: registration crosses do not meet: {crosses}")
    # Joints have a cross in the middle; outer joints have one more at each end.
    twice = (columns - 1) * rows + (rows - 1) * columns + 2 * (columns - 1) + 2 * (rows - 1)
    if sum(count == 2 for count in crosses.values()) != twice:
        fail(f"{path.name}: not every joint has its cross: {crosses}")


def check_book(path, expected):
    reader = pypdf.PdfReader(path)
    if reader.metadata.title != expected["title"]:
        fail(f"book: title {reader.metadata.title!r}")
    if reader.metadata.creation_date is not None:
        fail("book: carries a date")
    check_tags(reader)
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    text = " ".join(pages)
    for words in expected.get("cards", []):
        if not any(all(word in page for word in words) for page in pages):
            fail(f"book: no page holds all of {words!r}")
    wanted = [expected["title"]]
    if "Threading" not in text or "from the BACK" not in text and "threading sheets" not in expected["withheld"]:
        fail("book: no threading sheet from the BACK")
    keys = ("verdict", "cure")
    for words in wanted + [expected[key] for key in keys if key in expected] + expected.get("present", []):
        if words not in text:
            fail(f"book: {words!r} cannot be found")
    for sheet in expected["withheld"]:
        if not re.search(f"The {sheet} (is|are) withheld", text):
            fail(f"book: does not say that the {sheet} are withheld")
    for words in expected.get("absent", []):
        if words in text:
            fail(f"book: {words!r} should be withheld")
    for number, page in enumerate(pages, 1):
        if "where they differ from this page, they win" not in page:
            fail(f"book: page {number} does not say who decides")
    if re.search(r"\bsafe\b", text, re.IGNORECASE):
        fail("book: says safe")
    check_fonts(reader, path.name)
    check_type(path, expected)
    check_poppler(path)


def check_tags(reader):
    """Tagged, with a language, and every figure with words for those who cannot see it (PDF 1.7, 14.8 and 14.9)."""
    root = reader.trailer["/Root"]
    if not root.get("/MarkInfo", {}).get("/Marked") or not root.get("/Lang"):
        fail("book: not tagged, or without a language")
    figures = [node for node in structure(root["/StructTreeRoot"].get_object()) if node.get("/S") == "/Figure"]
    if not figures or any(not node.get("/Alt") for node in figures):
        fail(f"book: {len(figures)} figures, some without words")


def structure(node):
    """Every element of the structure tree."""
    below = node.get("/K", [])
    below = below.get_object() if hasattr(below, "get_object") else below
    for one in below if isinstance(below, list) else [below]:
        one = one.get_object() if hasattr(one, "get_object") else one
        if isinstance(one, dict):
            yield one
            yield from structure(one)


@functools.cache
def luminance(colour):
    """Relative luminance (WCAG 2.1)."""
    if len(colour) == 1:
        colour = colour * 3
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


# Chapters that are read in yard or garage.
OUTDOORS = ["Panels", "Threading", "Hanging", "Digits", "Channels", "Wiring", "Rules", "Rehearsal", "Put up", "Take down"]
INDOORS = ["Cautions", "Power", "Shelter", "Parts", "Try", "Season", "Findings and workings", "Program", "Templates"]


def check_type(path, expected):
    """At least 14 pt on what is read outdoors; every letter dark enough to be read in black and white."""
    chapter = None
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            first = (page.extract_text() or "").splitlines()[0]
            chapter = first if first in OUTDOORS + INDOORS else chapter
            for char in page.chars:
                colour = char["non_stroking_color"] or (0,)
                light = luminance(tuple(colour))
                # WCAG 2.1, 1.4.3: a contrast of 4.5 to 1; white letters stand on ink.
                if 1.05 / (light + 0.05) < 4.5 and light < 0.99 and char["text"].strip():
                    fail(f"book: page {page.page_number}: {char['text']!r} in a pale colour {colour}")
                footer = char["top"] > page.height - 18.0 / MM
                lying = abs(char["matrix"][0]) < 0.5
                if chapter in OUTDOORS and not expected["withheld"] and not lying and not footer:
                    if char["size"] < 13.9 and char["text"].strip():
                        fail(f"book: page {page.page_number}, {chapter}: type of {char['size']:.1f} pt")


def check_poppler(path):
    """What poppler says: tagged, and every font embedded."""
    info = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    if not re.search(r"^Tagged:\s+yes", info, re.MULTILINE):
        fail(f"{path.name}: pdfinfo finds no tags")
    fonts = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    if not fonts or any(line.split()[-5] != "yes" for line in fonts):
        fail(f"{path.name}: pdffonts finds a font that is not embedded: {fonts}")


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


def drilled_under(folder, expected):
    """The panel whose paper template serves this one too, where the two are drilled face to face."""
    plan = folder / "plan.json"
    if not plan.exists():
        return expected.get("twin_of")
    panels = json.loads(plan.read_text())["panels"]
    return next((panel["twin_of"] for panel in panels if panel["name"] == expected["name"]), None)


def main():
    folder = Path(sys.argv[1])
    expected = json.loads((folder / "expected.json").read_text())
    if expected.get("book", True):
        check_book(folder / "book.pdf", expected)
    if "holes" not in expected:
        return
    templates = folder / "templates"
    name = expected["name"]
    check_dxf(templates / f"{name}.dxf", expected)
    check_svg(templates / f"{name}.svg", expected)
    if drilled_under(folder, expected):
        if list(templates.glob(f"{name}-*.pdf")):
            fail(f"{name}: a paper template of its own beside its twin's")
        print("cutting files as planned; the template is the twin's")
        return
    # Both units on the roll; elsewhere the builder's own, the longest round length that fits.
    inches = abs(expected["bar_mm"] - 101.6) < 0.01
    check_sheet(templates / f"{name}-roll.pdf", expected, [254.0, 250.0], [254.0, 250.0])
    long = [914.4, 609.6, 254.0] if inches else [1000.0, 500.0, 250.0]
    fits = lambda side: next(bar for bar in long if bar <= expected[side])
    check_sheet(templates / f"{name}-projector.pdf", expected, [fits("width_mm")], [fits("height_mm")])
    # US letter 8.5 x 11 in and tabloid 11 x 17 in; A4 and A3 of ISO 216. Bars across and upright on each tile.
    small, large = (177.8, 254.0) if inches else (150.0, 250.0)
    for paper, size, across in (
        ("letter", (215.9, 279.4), small),
        ("tabloid", (279.4, 431.8), large),
        ("a4", (210.0, 297.0), small),
        ("a3", (297.0, 420.0), large),
    ):
        check_tiles(templates / f"{name}-{paper}.pdf", expected, size, (across, large))
    for path in sorted(templates.glob("*.pdf")):
        check_fonts(pypdf.PdfReader(path), path.name)
        check_poppler(path)
    print("every hole where the plan has it")


main()
