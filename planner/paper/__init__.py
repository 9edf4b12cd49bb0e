"""What leaves the tool on paper or as a file for other programs.

How to add a paper:

1. A module in ``planner/paper/sheets`` with ``document(facts: Facts) -> Document``: pure, from the facts of the open
   build (``facts.one`` is the OneBuild, ``facts.operations()`` what was asked for, ``facts.asked.size`` the paper) to
   the blocks of ``planner/paper/ground/tree.py``: Heading, Says, Caution, Table, Cards, Figure, NewPage. Made by
   ``facts.document(name, title, blocks)``. Where there is nothing to show it raises ``NothingToPrintError`` with one
   line that says why. What several papers say is in ``sheets/common.py``.
2. A line in ``PAPERS`` of ``planner/paper/registry.py``: name, what it is, module, and which of --episode and --side it
   takes. The command, the list, the app and the three kinds of file follow from that line.

Drawings are marks in mm (``planner/paper/ground/drawing.py``): ``Drawing(width, height, marks)`` with x to the right
and y down; ``line``, ``box``, ``arc``, ``circle``, ``hatch``, ``Words``, ``proof_bar`` (100 mm) make marks, ``moved``
sets them down elsewhere. A ``Figure`` is printed at its true size and never scaled; with ``alone`` it has a page of its
own and may be as large as ``facts.asked.size.frame`` (its caption included); more raises TooLargeError, so tile what is
larger. ``words`` say the figure where nothing can be drawn. Nothing is escaped by a paper: all texts are literal.
"""
