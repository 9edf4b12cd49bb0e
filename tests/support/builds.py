"""The one writer of a build's folder: files by their names, as a person would have typed them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path


def write_files(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Write these files, byte for byte, and the folders that they need; what is there under other names stays."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder
