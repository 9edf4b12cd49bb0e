"""``pieces:`` of build.yaml: what is worked on, and what is part of what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import SequenceMatcher

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, mapping, name, names, read_keys, switch
from planner.files.yaml.tree import MapNode, Node, SeqNode
from planner.plan.model import Piece, Word

_PIECE_KEYS = {"in": name, "one-body": switch, "not-yet": names, "sides": names, "made-of": switch}


def read_pieces(source: Source, node: Node, sides: tuple[str, ...], words: Mapping[str, Word]) -> dict[str, Piece]:
    """The pieces that ``pieces:`` knows: its entries and what stands after ``in:``."""
    out: dict[str, Piece] = {}
    places: dict[str, Node] = {}
    for label, (event, value) in mapping(source, node, "pieces").items():
        if name(source, event, "piece") is None:
            continue
        got = read_keys(source, value, f"piece {label}", _PIECE_KEYS)
        not_yet = got.get("not-yet") or ()
        _check_known(source, value, "not-yet", not_yet, words, f"piece {label}: no kind declares the word {{}}")
        exists = got.get("sides")
        if exists is not None:
            _check_known(source, value, "sides", exists, sides, f"piece {label}: there is no side {{}}")
            if not exists and isinstance(value, MapNode) and isinstance(value.items["sides"][1], SeqNode):
                source.refuse(value.items["sides"][1], f"piece {label}: this list is empty; name the sides it is on")
            exists = tuple([side for side in sides if side in exists]) or None
        out[label] = Piece(
            label,
            got.get("in"),
            got.get("one-body", False),
            tuple([word for word in not_yet if word in words]),
            exists,
            got.get("made-of", False),
            source.place(event),
        )
        places[label] = event
    _refuse_circles(source, out, places)
    for piece in list(out.values()):
        if piece.inside is not None and piece.inside not in out:
            out[piece.inside] = Piece(piece.inside, None)
    return out


def _check_known(source: Source, node: Node, key: str, found: Iterable[str], known: Iterable[str], says: str) -> None:
    listed = node.items[key][1] if isinstance(node, MapNode) and key in node.items else None
    for item in listed.items if isinstance(listed, SeqNode) else ():
        written = item.value if isinstance(item, ScalarEvent) else ""
        if written in found and written not in known:
            source.unknown(item, says.format(written), written, known)


def _refuse_circles(source: Source, pieces: dict[str, Piece], places: Mapping[str, Node]) -> None:
    for label in list(pieces):
        seen = [label]
        while (larger := pieces[seen[-1]].inside) is not None:
            if larger in seen:
                source.refuse(places[label], f"pieces: {' in '.join([*seen, larger])} runs in a circle")
                pieces[label] = pieces[label]._replace(inside=None)
                break
            if larger not in pieces:
                break
            seen.append(larger)


def refuse_misspelt(source: Source, node: Node, pieces: Mapping[str, Piece], worked_on: Iterable[str]) -> None:
    """What stands after ``in:`` is known by standing there; where it is a letter off another piece, it is a slip."""
    known = [piece for piece in {*pieces, *worked_on} if piece in worked_on or pieces[piece].place is not None]
    entries = mapping(source, node, "pieces")
    for piece in pieces.values():
        larger = piece.inside
        if larger is None or larger in known or piece.place is None:
            continue
        if any(_a_letter_off(larger, each) for each in known):
            at = entries[piece.name][1]
            item = at.items["in"][1] if isinstance(at, MapNode) else at
            source.unknown(item, f"piece {piece.name}: no step works on a piece {larger}", larger, known)


def _a_letter_off(word: str, other: str) -> bool:
    """Whether two names differ in one part only, and there by a slip: numbers and short words tell things apart."""
    mine, theirs = word.split("-"), other.split("-")
    if len(mine) != len(theirs):
        return False
    different = [(a, b) for a, b in zip(mine, theirs, strict=True) if a != b]
    if len(different) != 1:
        return False
    a, b = different[0]
    return min(len(a), len(b)) > 2 and (a + b).isalpha() and SequenceMatcher(None, a, b).ratio() > 0.8
