"""A document as the bytes of a file, by the ending of its name."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from planner.files.disk.plainfile import read_plain
from planner.files.disk.saving import Change, ChangedOutsideError, NotSavedError, save
from planner.paper.facts import Asked
from planner.paper.ground.sizes import Size
from planner.paper.ground.tree import Document

ENDINGS = (".pdf", ".html", ".txt")


class Written(NamedTuple):
    """What a file holds: bytes, its pages (a PDF has some), and the characters that are printed as boxes."""

    body: bytes
    pages: int | None
    missing: tuple[str, ...]


def written(document: Document, ending: str, size: Size) -> Written:
    """The file of a document. Raises TooLargeError for a drawing that a page of this size cannot hold.

    Only a PDF needs the library that writes one; nothing else loads it.
    """
    if ending == ".pdf":
        from planner.paper.ground.pdf import write

        return Written(*write(document, size))
    if ending == ".html":
        from planner.paper.ground import webpage

        return Written(webpage.write(document, size).encode(), None, ())
    from planner.paper.ground import plaintext

    return Written(plaintext.write(document).encode(), None, ())


def file_name(folder: str, paper: str, *parts: str, ending: str = ".pdf") -> str:
    """A name for a paper's file that every system takes.

    >>> file_name("dunlin-pickup", "job-sheet", "episode 4")
    'dunlin-pickup-job-sheet-episode-4.pdf'
    """
    joined = "-".join(part for part in (folder, paper, *parts) if part).lower()
    safe = re.sub(r"[^a-z0-9]+", "-", joined).strip("-")[:80].strip("-")
    return (safe or "paper") + ending


class NotPutError(Exception):
    """A paper could not be written, and nothing was; the message says why in one line."""


def home_of(builds: Path) -> Path:
    """Where papers are proposed to go: a folder ``papers`` beside the folder of builds."""
    return builds.absolute().parent / "papers"


def proposed(builds: Path, build: Path, paper: str, asked: Asked, ending: str = ".pdf") -> Path:
    """A file for a paper, by its build, its name and what was asked for."""
    parts = [f"episode-{asked.episode}"] if asked.episode is not None else []
    parts += [f"shift-{asked.shift}"] if asked.shift is not None else []
    parts += [asked.side] if asked.side is not None else []
    return home_of(builds) / file_name(build.absolute().name, paper, *parts, ending=ending)


def put(path: Path, body: bytes, *, replace: bool) -> None:
    """Write a paper whole or not at all, and over a file only where that was asked for. Raises NotPutError.

    The folder ``papers`` is made where it is missing, and no other.
    """
    try:
        if path.parent.name == "papers" and path.parent.parent.is_dir():
            path.parent.mkdir(exist_ok=True)
        if not path.parent.is_dir():
            raise NotPutError(f"{path.parent} is not a folder; make it first")
        if path.exists() and not replace:
            raise NotPutError(f"{path} is there already")
        before = read_plain(path, 1 << 26) if path.exists() else None
        save({str(path): Change(before, body)})
    except (NotSavedError, ChangedOutsideError) as error:
        raise NotPutError(str(error)) from error
    except (OSError, ValueError) as error:  # ValueError: a name that no system takes
        raise NotPutError(f"{path} could not be written: {getattr(error, 'strerror', None) or error}") from error
