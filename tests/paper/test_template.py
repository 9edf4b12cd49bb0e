"""Wrap templates: their geometry taken back from the pages themselves and laid round a tube in three dimensions."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from scipy import optimize

from planner.paper.facts import Asked, Facts, NothingToPrintError
from planner.paper.ground.drawing import Drawing, Stroke, Words
from planner.paper.ground.sizes import SIZES
from planner.paper.ground.tiling import OVERLAP, laid_out, pages, text_box, within
from planner.paper.registry import make, paper_named
from planner.paper.writing import written
from planner.session.onebuild import OneBuild
from tests.numbers.builds import EPISODE, write
from tests.support.commandline import run

DEMOS = Path(__file__).resolve().parents[2] / "projects"
PT = 72 / 25.4
Point = tuple[float, float]


class Line(NamedTuple):
    """A chain of lines on a page, mm from its lower left corner, and how thick it is."""

    points: list[Point]
    mm: float


class Page(NamedTuple):
    lines: list[Line]
    texts: list[tuple[str, Point]]


def page_of(body: bytes, index: int) -> Page:
    """What a page itself says: its lines with their width, and its texts with where they begin."""
    page = PdfReader(io.BytesIO(body)).pages[index]
    content = page.get_contents()
    assert content is not None
    lines: list[Line] = []
    wide = 0.0
    for operands, operator in content.operations:
        if operator == b"w":
            wide = float(operands[0]) / PT
        elif operator == b"m":
            lines.append(Line([(float(operands[0]) / PT, float(operands[1]) / PT)], wide))
        elif operator == b"l":
            lines[-1].points.append((float(operands[0]) / PT, float(operands[1]) / PT))
    texts: list[tuple[str, Point]] = []

    def visit(text: str, cm: list[float], tm: list[float], _: object, __: float) -> None:
        if text.strip():
            x, y = tm[4] * cm[0] + tm[5] * cm[2] + cm[4], tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            texts.append((text.strip(), (x / PT, y / PT)))

    page.extract_text(visitor_text=visit)
    return Page(lines, texts)


def build(folder: Path, numbers: str | None) -> Path:
    """A build whose steps name no number."""
    return write(folder, numbers, EPISODE.replace("{narrow.first-line}", "4 in"))


def pdf_of(folder: Path, size: str, side: str | None = None) -> bytes:
    paper = paper_named("template")
    assert paper is not None
    facts = Facts(OneBuild(folder), 1.8e9, Asked(side=side, size=SIZES[size]))
    return written(make(paper, facts), ".pdf", SIZES[size]).body


def parts_of(body: bytes) -> list[list[Page]]:
    """The pages at true size, template by template."""
    reader = PdfReader(io.BytesIO(body))
    found: list[list[Page]] = []
    for index, page in enumerate(reader.pages):
        part = re.search(r"part\s+(\d+)\s+of\s+\d+", page.extract_text())
        if part is None or ("TWELVE" not in page.extract_text() and part[1] == "1"):
            continue
        if part[1] == "1":
            found.append([])
        found[-1].append(page_of(body, index))
    return found


@cache
def demo(size: str) -> list[list[Page]]:
    """The templates of both sides of the axle demo, set and read once."""
    return parts_of(pdf_of(DEMOS / "dunlin-pickup", size))


def crosses(page: Page) -> list[Point]:
    """The middles of the crosses by which parts are laid together."""
    eight = [line for line in page.lines if abs(line.mm - 0.35) < 1e-3 and len(line.points) == 2]
    middles = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in (line.points for line in eight)
        if abs(math.dist(a, b) - 8) < 1e-3
    ]
    return sorted({(round(x, 2), round(y, 2)) for x, y in middles})


def joined(parts: list[Page]) -> Page:
    """Two parts laid together by their crosses, as one does on the bench; the first stays where it is."""
    if len(parts) == 1:
        return parts[0]
    first, second = parts
    there, here = crosses(first), crosses(second)
    assert len(there) == len(here) == 3
    by = np.mean(np.array(there) - np.array(here), axis=0)
    assert np.allclose(np.array(there) - np.array(here), by, atol=0.02)

    def moved(point: Point) -> Point:
        return point[0] + float(by[0]), point[1] + float(by[1])

    lines = [*first.lines, *(Line([moved(each) for each in line.points], line.mm) for line in second.lines)]
    return Page(lines, [*first.texts, *((text, moved(at)) for text, at in second.texts)])


class Laid(NamedTuple):
    """A template as the bench sees it: points of its thick lines, as (round, along) from twelve o'clock."""

    chains: list[list[Point]]
    around: float
    right_handed: float


def read_back(page: Page, thick: float = 0.5, least: int = 20) -> Laid:
    """Where the lines lie, from the two lines at twelve o'clock and the edge that is marked END alone."""
    twelve = [
        line.points
        for line in page.lines
        if abs(line.mm - 0.35) < 1e-3 and len(line.points) == 2 and math.dist(*line.points) > 40
    ]
    assert len(twelve) == 2
    hours = {text: at for text, at in page.texts if text in ("1", "2", "3", "4", "5")}
    end = np.mean([at for text, at in page.texts if re.fullmatch(r"this edge to the .*END", text)], axis=0)
    inner = np.mean([at for text, at in page.texts if re.search(r"to the (MIDDLE|REST of the tube)$", text)], axis=0)
    along_axis = np.array(twelve[0][1]) - np.array(twelve[0][0])
    w = along_axis / np.linalg.norm(along_axis)
    if float((inner - end) @ w) < 0:
        w = -w
    r = np.array([w[1], -w[0]])  # to the right of w, whatever the page's turn
    if float((np.array(hours["4"]) - np.array(hours["2"])) @ r) < 0:
        r = -r
    starts = sorted(float(np.mean(np.array(line) @ r)) for line in twelve)
    found = [line.points for line in page.lines if abs(line.mm - thick) < 5e-3 and len(line.points) > least]
    chains = [[(float(np.array(p) @ r) - starts[0], float(np.array(p) @ w)) for p in points] for points in found]
    return Laid(chains, starts[1] - starts[0], float(r[0] * w[1] - r[1] * w[0]))


def wrap_file(**typed: str) -> str:
    return "format: 1\nwrap:\n" + "".join(f"  {key}: {value}\n" for key, value in typed.items())


PAPER = 0.1
BAR = 1.0
CASES = {
    "mitre": ("a4", {"diameter": "60 mm", "cut": "mitre", "angle": "30 deg"}),
    "mitre in two parts": ("letter", {"diameter": "3 in", "cut": "mitre", "angle": "20 deg"}),
    "square": ("letter", {"diameter": "48.3 mm", "cut": "straight"}),
    "saddle": ("a4", {"diameter": "45 mm", "cut": "saddle", "onto": "60 mm", "angle": "60 deg", "sideways": "4 mm"}),
    "saddle in two parts": ("a4", {"diameter": "3 1/2 in", "cut": "saddle", "onto": "4 in", "angle": "75 deg"}),
}


def in_space(laid: Laid, diameter: float) -> list[np.ndarray]:
    """The paper bent round the tube: x toward three o'clock, y toward twelve, z inward from the end that is cut."""
    found = []
    for chain in laid.chains:
        turn = np.array([x for x, _ in chain]) / ((diameter + PAPER) / 2)
        z = np.array([y for _, y in chain])
        found.append(np.column_stack([diameter / 2 * np.sin(turn), diameter / 2 * np.cos(turn), z]))
    return found


@pytest.mark.parametrize("case", CASES)
def test_a_cut_laid_round_its_tube_meets_the_plane_or_the_other_tube(tmp_path: Path, case: str) -> None:
    size, typed = CASES[case]
    parts = parts_of(pdf_of(build(tmp_path, wrap_file(**typed)), size))
    assert len(parts) == 1 and len(parts[0]) == (2 if "two parts" in case else 1)
    laid = read_back(joined(parts[0]))
    number = float(typed["diameter"].split()[0].replace("1/2", "")) if "1/2" not in typed["diameter"] else 3.5
    diameter = number * (25.4 if typed["diameter"].endswith("in") else 1)
    assert laid.around == pytest.approx(math.pi * (diameter + PAPER), abs=0.05)
    points = np.vstack(in_space(laid, diameter))
    lowest = points[:, 2].min()
    lean = math.radians(float(typed.get("angle", "0 deg").split()[0]))
    if typed["cut"] == "saddle":
        run = float(typed["onto"].split()[0]) * (25.4 if typed["onto"].endswith("in") else 1) / 2
        sideways = float(typed.get("sideways", "0 mm").split()[0])
        # The other tube's axis: toward twelve it leans away from the tube that is cut, the wide corner.
        axis = np.array([0.0, math.sin(lean), -math.cos(lean)])

        def off(back: float) -> np.ndarray:
            from_axis = points - np.array([-sideways, 0.0, lowest - back])
            return np.asarray(np.linalg.norm(np.cross(from_axis, axis), axis=1) - run)

        longest = int(points[:, 2].argmin())
        back = optimize.brentq(lambda value: off(value)[longest], 0.3 * run, 20 * run)
        assert np.abs(off(back)).max() < 0.2
    else:
        normal = np.array([0.0, math.sin(lean), math.cos(lean)])
        top = np.array([0.0, diameter / 2, lowest])
        assert np.abs((points - top) @ normal).max() < 0.2
    turns = np.degrees(np.arctan2(points[:, 0], points[:, 1])) % 360
    assert np.diff(np.sort(turns)).max() < 3  # all the way round


def test_with_a_wall_the_saddle_seats_and_nothing_of_the_wall_goes_through(tmp_path: Path) -> None:
    """The cut stands square to the wall: from bore to outside no point lies in the other tube, and each touches."""
    typed = {"diameter": "60 mm", "cut": "saddle", "onto": "75 mm", "angle": "50 deg", "wall": "6 mm"}
    laid = read_back(joined(parts_of(pdf_of(build(tmp_path, wrap_file(**typed)), "a4"))[0]))
    outside = np.vstack(in_space(laid, 60.0))
    lean = math.radians(50)
    axis = np.array([0.0, math.sin(lean), -math.cos(lean)])
    shrink = np.linspace(1.0, 24 / 30, 25)

    def off(back: float) -> np.ndarray:
        """How far clear of the other tube each point through the wall is: a row for each place round."""
        through = outside[:, None, :] * np.array([1.0, 1.0, 0.0]) * shrink[None, :, None]
        through[:, :, 2] = (outside[:, 2] - outside[:, 2].min() + back)[:, None]
        return np.asarray(np.linalg.norm(np.cross(through, axis), axis=2) - 37.5)

    back = optimize.brentq(lambda value: float(off(value).min()), 20.0, 400.0)
    assert np.abs(off(back).min(axis=1)).max() < 0.2


@pytest.mark.parametrize("case", CASES)
def test_facing_the_end_that_is_cut_the_clock_runs_clockwise(tmp_path: Path, case: str) -> None:
    """Printed face outward: round x along, as they lie on the page, points out of the paper, and out of the tube.

    On the tube, facing the end: twelve is up, three is right, and inward is away from who looks. The face of the paper
    looks outward where the page's right and up, laid on the tube, have their cross product pointing outward.
    """
    size, typed = CASES[case]
    laid = read_back(joined(parts_of(pdf_of(build(tmp_path, wrap_file(**typed)), size))[0]))
    right, up, toward = np.eye(3)  # of who faces the end
    round_at_twelve, inward, outward = right, -toward, up
    handed = float(np.cross(round_at_twelve, inward) @ outward)
    assert handed * laid.right_handed == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_both_sides_of_the_demo_have_their_own_lines(size: str) -> None:
    found = demo(size)
    assert len(found) == 2
    apart = {"driver": 4.29375 * 25.4, "passenger": 3.45 * 25.4}  # shorten + gap - shrinkage, worked out by hand
    for parts, (side, between) in zip(found, apart.items(), strict=True):
        page = joined(parts)
        laid = read_back(page)
        assert laid.right_handed == pytest.approx(1.0, abs=1e-6)
        heights = sorted({round(y, 1) for chain in laid.chains for _, y in chain})
        assert heights[-1] - heights[0] == pytest.approx(between, abs=0.2)
        texts = " ".join(text for text, _ in page.texts)
        other = "PASSENGER" if side == "driver" else "DRIVER"
        assert side.upper() in texts and other not in texts


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_tacks_lie_at_their_clock_positions_at_the_cut(tmp_path: Path, size: str) -> None:
    """Four tacks from one o'clock on: 30, 120, 210 and 300 degrees, which no mirror image has."""
    tacks = "tacks:\n  diameter: 3 in\n  number: 4\n  length: 1/2 in\n  rests: 6:00\n  first: 1:00\n"
    numbers = wrap_file(diameter="3 in", cut="mitre", angle="20 deg") + tacks
    laid = read_back(joined(parts_of(pdf_of(build(tmp_path, numbers), size))[0]), BAR, 5)
    whole = [chain for chain in laid.chains if math.dist(chain[0], chain[-1]) > 12]
    middles = {round((chain[0][0] + chain[-1][0]) / 2 / laid.around * 360) for chain in whole}
    assert sorted(middles) == pytest.approx([30, 120, 210, 300], abs=1)


def test_one_side_alone() -> None:
    body = pdf_of(DEMOS / "dunlin-pickup", "a4", "passenger")
    assert "DRIVER" not in "".join(page.extract_text() for page in PdfReader(io.BytesIO(body)).pages)
    assert len(parts_of(body)) == 1


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_every_page_at_true_size_has_the_bar_and_no_text_beyond_its_frame(size: str) -> None:
    paper = SIZES[size]
    for parts in demo(size):
        for page in parts:
            bars = [abs(math.dist(*line.points) - 100) for line in page.lines if len(line.points) == 2]
            assert min(bars) < 0.01
            assert any("100 %" in text for text, _ in page.texts)
            for line in page.lines:
                for x, y in line.points:
                    assert paper.side - 0.01 <= x <= paper.width - paper.side + 0.01
                    assert 8 <= y <= paper.height - 10


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not here")
@pytest.mark.parametrize("typed", [{"diameter": "65 mm", "cut": "straight"}])
def test_over_200_mm_the_print_is_within_two_tenths(tmp_path: Path, typed: dict[str, str]) -> None:
    """Rendered by poppler; the two lines at twelve o'clock lie pi (65 + 0.1) = 204.5 mm apart."""
    from PIL import Image

    body = pdf_of(build(tmp_path / "build", wrap_file(**typed)), "a4")
    (tmp_path / "it.pdf").write_bytes(body)
    last = str(len(PdfReader(io.BytesIO(body)).pages))
    subprocess.run(
        ["pdftoppm", "-f", last, "-l", last, "-r", "300", "-gray", str(tmp_path / "it.pdf"), str(tmp_path / "it")],
        check=True,
    )
    image = np.asarray(Image.open(next(tmp_path.glob("it*.pgm")))) < 128
    per_mm = 300 / 25.4
    long = 50 * per_mm  # longer than any text or tick, shorter than the paper is wide
    rows = [index for index, count in enumerate(image.sum(axis=1)) if count > long]
    groups = np.split(np.array(rows), np.where(np.diff(rows) > 1)[0] + 1)
    middles = [float(group.mean()) / per_mm for group in groups]
    wanted = math.pi * 65.1
    assert min(abs(b - a - wanted) for a in middles for b in middles) < 0.2


@settings(max_examples=40, deadline=None)
@given(
    st.floats(30, 900),
    st.floats(30, 700),
    st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1), st.sampled_from(["12", "9 1/2 in", "LINE 1"])), max_size=8),
    st.sampled_from(["a4", "letter"]),
)
def test_no_text_is_cut_and_no_line_lost(
    wide: float, tall: float, texts: list[tuple[float, float, str]], size: str
) -> None:
    """Every text stands whole on some part, and every point of a line is on some part, where it belongs."""
    frame = SIZES[size].frame
    words = [Words(x * wide, y * tall, f"{text} {index}") for index, (x, y, text) in enumerate(texts)]
    slant = Stroke(((0.0, 0.0), (wide, tall)), 0.77)
    layout = laid_out(Drawing(wide, tall, (slant, *words)), frame)
    made = pages(layout, frame, ("who", "print at 100 %"))
    shown = [mark for page in made for mark in page.marks if isinstance(mark, Words)]
    for each in words:
        assert any(mark.text == each.text for mark in shown)
    for page, tile in zip(made, layout.tiles, strict=True):
        for mark in page.marks:
            if isinstance(mark, Words) and any(mark.text == each.text for each in words):
                left, top, right, bottom = text_box(mark)
                assert left >= -0.01 and top >= -0.01
                assert right <= max(tile.width, right - left) + 0.01 and bottom <= tile.height + 0.01
    length = sum(
        math.dist(*mark.points) for page in made for mark in page.marks if isinstance(mark, Stroke) and mark.mm == 0.77
    )
    assert length >= math.hypot(wide, tall) - 0.01
    for one, other in zip(layout.tiles, layout.tiles[1:], strict=False):
        if one.row == other.row:
            assert one.x + one.width - other.x == pytest.approx(OVERLAP)
    last = layout.tiles[-1]
    assert last.x + last.width == pytest.approx(layout.drawing.width)
    assert last.y + last.height == pytest.approx(layout.drawing.height)


@settings(max_examples=200, deadline=None)
@given(*[st.floats(-50, 50) for _ in range(4)])
def test_a_line_is_cut_at_the_edges_as_by_walking_along_it(x: float, y: float, to_x: float, to_y: float) -> None:
    edges = (-10.0, -20.0, 15.0, 5.0)
    found = within((x, y), (to_x, to_y), edges)
    walk = [(x + (to_x - x) * i / 400, y + (to_y - y) * i / 400) for i in range(401)]
    inside = [p for p in walk if edges[0] <= p[0] <= edges[2] and edges[1] <= p[1] <= edges[3]]
    if found is None:
        assert len(inside) <= 1
    elif inside:
        step = math.dist(walk[0], walk[1]) + 1e-6
        assert math.dist(found[0], inside[0]) <= step and math.dist(found[1], inside[-1]) <= step


def test_the_words_say_what_the_drawing_shows(tmp_path: Path) -> None:
    for ending in (".txt", ".html"):
        code, _, _ = run("paper", str(DEMOS / "dunlin-pickup"), "template", "--to", str(tmp_path / f"it{ending}"))
        text = " ".join((tmp_path / f"it{ending}").read_text(encoding="utf-8").split())
        assert code == 0
        for words in (
            "facing the DRIVER end",
            "facing the PASSENGER end",
            "LINE 1",
            "this edge to the DRIVER END",
            "kerf",
        ):
            assert words in text


@pytest.mark.parametrize(
    ("numbers", "says"),
    [
        (None, "no numbers.yaml"),
        ("format: 1\nwrap:\n  diameter: 3 in\n", "add cut: straight, mitre or saddle to wrap"),
        ("format: 1\ntyre:\n  size: 235/75R15\n  rim: 7 in\n", "add a section narrow, or wrap"),
    ],
)
def test_what_is_missing_is_one_line(tmp_path: Path, numbers: str | None, says: str) -> None:
    folder = build(tmp_path, numbers)
    paper = paper_named("template")
    assert paper is not None
    with pytest.raises(NothingToPrintError, match=re.escape(says)) as caught:
        make(paper, Facts(OneBuild(folder), 1.8e9))
    assert "\n" not in str(caught.value)


def test_one_hand_is_said_where_the_tube_sits_off_the_middle(tmp_path: Path) -> None:
    size, typed = CASES["saddle"]
    body = pdf_of(build(tmp_path, wrap_file(**typed)), size)
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(body)).pages)
    assert "ONE HAND ONLY" in text


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_a_browser_is_told_of_a_page_that_holds_the_drawing(size: str, tmp_path: Path) -> None:
    """CSS paged media: a drawing larger than the page box is cut in two or shrunk, and is true no more."""
    to = tmp_path / "wrap.html"
    assert run("paper", str(DEMOS / "dunlin-pickup"), "template", "--to", str(to), "--size", size)[0] == 0
    text = to.read_text(encoding="utf-8")
    told = re.search(r"@page\{size:([\d.]+)mm ([\d.]+)mm;margin:([\d.]+)mm ([\d.]+)mm\}", text)
    assert told is not None
    wide, high, above, beside = map(float, told.groups())
    assert (wide, high) == {"a4": (210, 297), "letter": (215.9, 279.4)}[size]
    drawings = re.findall(
        r'<svg xmlns="[^"]*" width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', text
    )
    assert len(drawings) >= 2
    for width, height, across, down in drawings:
        assert (width, height) == (across, down), "a millimetre is a millimetre"
        assert float(width) <= wide - 2 * beside and float(height) <= high - 2 * above
