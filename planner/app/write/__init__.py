"""Writing the plan: the list of all rows, forms, moving, copying, renaming, pasting, repairs.

Every edit is a Task for app/keep. No file is touched here and no plan is judged: session/writing does both.
"""
