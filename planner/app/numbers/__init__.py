"""The screen of the numbers: form, results, working and drawing of one calculator.

What is typed is tried on session/numbers' desk; saving it is an edit of the build like any other (app/keep).
"""
