"""Which comments go with what: the rule of ``editing_comments`` by example."""

from __future__ import annotations

from planner.files.yaml.edit import duplicate, insert, move, remove, set_value

STEPS = """\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # First of all.
      - step: a   # short
        do: A

      # ---- the second day ----

      # About b,
      # in two lines.
      - step: b
        do: B  # mind the heat
        # kind: tack
      # About c.
      - step: c
        do: C

        # time: 20 min

# That is all.
"""
LIST = ("stages", 0, "steps")


def test_an_item_takes_its_own_comments_along() -> None:
    """Above it without a blank line, behind it, and below it where they are indented further."""
    assert (
        remove(STEPS, (*LIST, 1))
        == """\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # First of all.
      - step: a   # short
        do: A

      # ---- the second day ----
      # About c.
      - step: c
        do: C

        # time: 20 min

# That is all.
"""
    )


def test_the_last_item_and_what_is_below_it() -> None:
    """A comment after a blank line is its own when it is indented further, and stays when it is not."""
    assert (
        remove(STEPS, (*LIST, 2))
        == """\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # First of all.
      - step: a   # short
        do: A

      # ---- the second day ----

      # About b,
      # in two lines.
      - step: b
        do: B  # mind the heat
        # kind: tack

# That is all.
"""
    )


def test_the_first_item_goes_with_the_blank_line_below_it() -> None:
    """A heading that stands by itself stays."""
    assert (
        remove(STEPS, (*LIST, 0))
        == """\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # ---- the second day ----

      # About b,
      # in two lines.
      - step: b
        do: B  # mind the heat
        # kind: tack
      # About c.
      - step: c
        do: C

        # time: 20 min

# That is all.
"""
    )


def test_a_moved_item_brings_its_comments() -> None:
    """Blank lines part it where it comes to stand as they part its neighbours there."""
    assert (
        move(STEPS, LIST, 2, LIST, 0)
        == """\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # About c.
      - step: c
        do: C

        # time: 20 min

      # First of all.
      - step: a   # short
        do: A

      # ---- the second day ----

      # About b,
      # in two lines.
      - step: b
        do: B  # mind the heat
        # kind: tack

# That is all.
"""
    )


def test_a_doubled_item_is_doubled_with_its_comments() -> None:
    """Behind itself, before the heading that stands by itself."""
    assert duplicate(STEPS, LIST, 0).startswith("""\
# The film of the week.
stages:
  - stage: Tacks
    steps:
      # First of all.
      - step: a   # short
        do: A

      # ---- the second day ----

      # First of all.
      - step: a   # short
        do: A

      # About b,
""")


def test_all_items_gone() -> None:
    """The list is empty brackets; what stood by itself stays."""
    text = STEPS
    for _ in range(3):
        text = remove(text, (*LIST, 0))
    assert (
        text
        == """\
# The film of the week.
stages:
  - stage: Tacks
    steps: []
      # ---- the second day ----

# That is all.
"""
    )


def test_keys_and_their_comments() -> None:
    """Those above a key and behind it go with it; those of the file's first key are the file's."""
    text = "# mine\nformat: 1\n# the name\nbuild: X  # so far\n\n# two of them\nsides: [a, b]\n"
    assert remove(text, ("build",)) == "# mine\nformat: 1\n\n# two of them\nsides: [a, b]\n"
    assert remove(text, ("sides",)) == "# mine\nformat: 1\n# the name\nbuild: X  # so far\n"
    assert remove(text, ("format",)) == "# mine\n# the name\nbuild: X  # so far\n\n# two of them\nsides: [a, b]\n"


def test_the_first_key_shares_the_line_of_the_dash() -> None:
    """What stands above that line is the item's."""
    text = "- # of the item\n  a: 1\n# also of the item\n- b: 1  # of b\n  # of c\n  c: 2\n- d: 3\n  e: 4\n"
    assert (
        remove(text, (1, "b")) == "- # of the item\n  a: 1\n# also of the item\n-\n  # of c\n  c: 2\n- d: 3\n  e: 4\n"
    )
    assert remove(text, (2, "d")).endswith("  c: 2\n- e: 4\n")
    assert remove(text, (1, "c")).endswith("- b: 1  # of b\n- d: 3\n  e: 4\n")


def test_inside_brackets_one_a_line() -> None:
    """Comment lines above an item and the comment behind it are its own."""
    text = "needs: [  # all of them\n  # hot\n  a,\n  b,  # why\n  # last\n  c  # cold\n]\n"
    assert remove(text, ("needs", 0)) == "needs: [  # all of them\n  b,  # why\n  # last\n  c  # cold\n]\n"
    assert remove(text, ("needs", 1)) == "needs: [  # all of them\n  # hot\n  a,\n  # last\n  c  # cold\n]\n"
    assert remove(text, ("needs", 2)) == "needs: [  # all of them\n  # hot\n  a,\n  b  # why\n]\n"
    assert insert(text, ("needs",), 3, "d").endswith("  # last\n  c,  # cold\n  d\n]\n")
    assert insert(text, ("needs",), 2, "d").endswith("  b,  # why\n  d,\n  # last\n  c  # cold\n]\n")


def test_a_value_changes_and_its_comment_stays() -> None:
    """With the space before it."""
    text = "time: 20 min     # if the rod is dry\nwait:      # not known yet\nnote: |  # read out\n  one\n  two\n"
    text = set_value(text, ("time",), "1 h")
    text = set_value(text, ("wait",), "3 min")
    text = set_value(text, ("note",), "short")
    assert (
        text == "time: 1 h     # if the rod is dry\nwait: 3 min      # not known yet\nnote: |-  # read out\n  short\n"
    )


def test_comments_that_cannot_come_along_go_above() -> None:
    """A step moved into a list in brackets becomes brackets too, and its comments stand above the stage."""
    text = """\
stages:
  - stage: One
    steps:
      # Mind: hot.
      - step: a  # first
        do: A, then B
  - {stage: Two, steps: [{step: b, do: B}]}
"""
    assert (
        move(text, LIST, 0, ("stages", 1, "steps"), 0)
        == """\
stages:
  - stage: One
    steps: []
  # Mind: hot.
  # first
  - {stage: Two, steps: [{step: a, do: "A, then B"}, {step: b, do: B}]}
"""
    )
