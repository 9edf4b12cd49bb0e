"""The pictures of the README show the app as it is."""

from __future__ import annotations

from tests.app.frame.pictures import FOLDER, pictures
from tests.support.screens import svg_text


def test_the_pictures_are_up_to_date() -> None:
    drawn = pictures()
    assert set(drawn) == {"builds", "plan", "camera"}
    for name, svg in drawn.items():
        kept = FOLDER / f"{name}.svg"
        assert kept.is_file(), "draw them with: python -m tests.app.frame.pictures"
        wanted = svg_text(svg).split("\n")
        assert svg_text(kept.read_text(encoding="utf-8")).split("\n") == wanted, "python -m tests.app.frame.pictures"


def test_pictures_load_no_font_and_show_no_window_buttons() -> None:
    for path in FOLDER.glob("*.svg"):
        text = path.read_text(encoding="utf-8")
        assert "<circle" not in text and "@font-face" not in text and "https:" not in text, path.name
