"""``planner kinds``: what each kind of work needs, gives and spoils, what it warns of and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, CommandError, print_json, show, wrap
from planner.commands.places import parser

if TYPE_CHECKING:
    from planner.plan.model import Kind, Word

_EXAMPLE = """  planner kinds
  planner kinds tack
  planner kinds tack --json"""

_WIDTH = 96


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("kinds", "List the kinds of work, or show all that one brings.", _EXAMPLE, build=False)
    made.add_argument("kind", metavar="NAME", nargs="?", help="show this kind only")
    args = made.parse_args(argv)

    from planner.files.build.kinds import shipped_kinds, words_of

    known = shipped_kinds()
    if args.kind is not None and args.kind not in known:
        near = near_kinds(args.kind, known)
        hint = f"; near it: {', '.join(near)}" if near else ""
        said = f"there is no kind {args.kind}{hint}; planner kinds lists them all"
        raise CommandError(said, near=near[0] if near else None)
    words = words_of(known)
    kinds = [known[args.kind]] if args.kind is not None else list(known.values())
    if args.json:
        print_json({"kinds": [_as_json(kind, words) for kind in kinds]})
    elif args.kind is not None:
        show(_all_of(kinds[0], words))
    else:
        wide = max(map(len, known))
        show([f"{kind.name:<{wide}}  {kind.means}" for kind in kinds])
        show(["", "planner kinds NAME shows what one needs, gives and spoils; build.yaml may change and add kinds."])
    return EXIT_FINE


def near_kinds(typed: str, known: Mapping[str, Kind]) -> list[str]:
    """Up to five kinds near what was typed: by spelling first, then by the words of what they mean.

    Somebody who types `saw` or `solder` looks for work, not for a spelling.
    """
    from difflib import get_close_matches

    stem = typed.lower()[: max(3, len(typed) - 2)]
    alike = get_close_matches(typed.lower(), list(known), n=3, cutoff=0.6)
    within = [name for name in known if typed.lower() in name or (len(name) > 2 and name in typed.lower())]
    meant = [kind.name for kind in known.values() if f" {stem}" in f" {kind.means.lower()}"]
    other = [name for typed_as, names in _SAID.items() if typed_as in typed.lower() for name in names if name in known]
    return list(dict.fromkeys([*alike, *within, *other, *meant]))[:5]


#: What else people in the trade call work that has another name here.
_SAID = {
    "saw": ("cut", "cut-out", "cut-off"),
    "chop": ("cut", "cut-off"),
    "plasma": ("cut-out", "cut-away"),
    "grind": ("dress", "bevel", "clean"),
    "flap": ("dress", "clean"),
    "file": ("face", "dress"),
    "chamfer": ("bevel",),
    "solder": ("flame", "weld"),
    "braze": ("flame", "weld"),
    "mig": ("weld", "fillet-weld"),
    "tig": ("weld", "fillet-weld"),
    "plug": ("stitch", "close"),
    "crack": ("gouge", "weld-crack"),
    "zinc": ("galvanise",),
    "oven": ("relieve",),
    "lug": ("wheel-nuts",),
    "strut": ("brace", "hold"),
    "jig": ("clamp", "align"),
    "square": ("check", "align"),
    "level": ("check", "align"),
    "jack": ("raise", "lift"),
    "assemble": ("fit-up", "mock-up", "bolt", "put-back"),
    "install": ("put-back", "bolt", "wire"),
    "fit": ("fit-up", "mock-up"),
    "remove": ("strip", "open", "cut-off"),
    "scribe": ("mark", "clock-mark"),
    "galvan": ("galvanise",),
    "powder": ("send-out",),
    "spray": ("paint", "prime"),
    "degrease": ("wipe", "clean"),
    "wash": ("wipe", "drain"),
    "buy": ("fetch", "order"),
    "nut": ("torque", "bolt"),
    "tighten": ("torque", "re-torque", "draw-up"),
    "test": ("try", "leak-test", "road-test", "coupon"),
    "drive": ("road-test",),
    "rest": ("cool",),
    "wait": ("cool", "fire-watch"),
    "tap": ("drill",),
    "ream": ("drill",),
    "turn": ("machine", "turn-over"),
    "mill": ("machine",),
    "film": ("set-camera", "talk"),
}


def _as_json(kind: Kind, words: Mapping[str, Word]) -> dict[str, Any]:
    used = [name for name in _words_in(kind) if name in words]
    least = kind.least_rounds
    return {
        "kind": kind.name,
        "means": kind.means,
        "needs": [str(ref) for ref in kind.needs],
        "gives": [str(ref) for ref in kind.gives],
        "spoils": [str(ref) for ref in kind.spoils],
        "used_up": [str(ref) for ref in kind.used_up],
        "counts_when": [str(ref) for ref in kind.counts_when],
        "words": {
            name: {
                "kept": "side" if words[name].on_side else "job",
                "means": words[name].means,
                "start": words[name].at_start,
                "whole": words[name].whole,
                "over_sides": words[name].over_sides,
                "alone": words[name].alone,
                "owed": words[name].owed,
                "where_given": words[name].where_given,
                "regained": words[name].regained,
            }
            for name in used
        },
        "time_s": kind.time,
        "one_way": kind.one_way,
        "looks_back": kind.looks_back,
        "least_rounds": None if least is None else least.rounds,
        "least_rounds_with": None if least is None else least.beside,
        "full_time": kind.full_time,
        "one_go": kind.one_go,
        "cautions": list(kind.cautions),
    }


def _words_in(kind: Kind) -> list[str]:
    """The words a kind speaks of, each once, in the order it speaks of them."""
    lists = (kind.needs, kind.gives, kind.spoils, kind.used_up, kind.counts_when)
    return list(dict.fromkeys(ref.name for refs in lists for ref in refs))


def _all_of(kind: Kind, words: Mapping[str, Word]) -> Iterator[str]:
    yield f"{kind.name}: {kind.means}"
    from planner.plan.words import show_duration

    flags = [
        show_duration(kind.time) if kind.time is not None else "no usual time",
        *(["cannot be undone"] if kind.one_way else []),
        *(["not left off halfway"] if kind.one_go else []),
        *(["must take its whole time"] if kind.full_time else []),
    ]
    if kind.least_rounds is not None:
        with_kind = kind.least_rounds.beside
        only = f", where the piece has {with_kind} as well" if with_kind else ""
        flags.append(f"at least {kind.least_rounds.rounds} rounds a side of one body{only}")
    yield f"  {'; '.join(flags)}"
    for title, refs in (
        ("needs", kind.needs),
        ("gives", kind.gives),
        ("spoils", kind.spoils),
        ("uses up", kind.used_up),
        ("counts when", kind.counts_when),
    ):
        if refs:
            yield ""
            yield f"  {title}"
            for ref in refs:
                yield from _word_lines(str(ref), words.get(ref.name))
    if kind.cautions:
        yield ""
        yield "  cautions"
        for caution in kind.cautions:
            yield from wrap(caution, "    ", _WIDTH)


def _word_lines(label: str, word: Word | None) -> Iterator[str]:
    owed = "" if word is None or word.owed is None else f" (owed by the end of the {word.owed})"
    means = "" if word is None else word.means
    first, *rest = wrap(f"{means}{owed}", " " * 21, _WIDTH) or [""]
    yield f"    {label:<16} {first.strip()}"
    yield from rest
