"""What a build's plan files say: trees into the immutable Build, or every problem of every file at once.

Knows plan keys and names; knows neither ticks nor a screen. Only load.py and reading.py open a file, so that the same
parts judge texts in memory (texts.py) before anything is written.
"""
