"""The user's own map of keys: one small file in the configuration folder, and every problem with it.

format: 1
keys:
  camera.tick: enter
  everywhere.quit: f10
"""

from __future__ import annotations

from pathlib import Path

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, check_format, kind_of, mapping, read_keys
from planner.files.disk.plainfile import read_plain
from planner.files.yaml.tree import Node, Problem, Problems, decode, parse

_FILE = "keys.yaml"
_LIMIT = 64 * 1024


def key_file() -> Path:
    """Where the map of keys is looked for; it need not be there."""
    import platformdirs

    return Path(platformdirs.user_config_dir("planner", appauthor=False)) / _FILE


def read_key_file(path: Path) -> tuple[dict[str, tuple[str, int]], tuple[Problem, ...]]:
    """Id -> (key as typed, line), and the problems of the file; an absent file changes nothing."""
    problems = Problems()
    try:
        raw = read_plain(path, _LIMIT + 1)
    except FileNotFoundError:
        return {}, ()
    except OSError as error:
        return {}, (Problem(str(path), 1, 1, f"cannot be read: {error.strerror or error}"),)
    if len(raw) > _LIMIT:
        return {}, (Problem(str(path), 1, 1, f"the file is larger than {_LIMIT:,} bytes"),)
    body = decode(raw, str(path), problems)
    tree = parse(body, str(path), problems) if body is not None else None
    if tree is None:
        return {}, tuple(problems.found)
    source = Source(str(path), problems)
    readers = {"format": check_format, "keys": _read_map}
    got = read_keys(source, tree, "the map of keys", readers, ("format",))
    return got.get("keys") or {}, tuple(problems.found)


def _read_map(source: Source, node: Node, key: str) -> dict[str, tuple[str, int]]:
    found = {}
    for key_id, (event, value) in mapping(source, node, key).items():
        # A digit is a key too, so the text counts and not what YAML makes of it.
        if isinstance(value, ScalarEvent) and value.value.strip():
            found[key_id] = (value.value.strip(), source.place(event).line)
        else:
            source.refuse(value, f"{key_id}: must be a key such as f5, not {kind_of(value)}")
    return found
