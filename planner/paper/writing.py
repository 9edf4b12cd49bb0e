"""A document as the bytes of a file, by the ending of its name."""

from __future__ import annotations

import re
from typing import NamedTuple

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

        return Written(webpage.write(document).encode(), None, ())
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
