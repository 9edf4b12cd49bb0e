"""In which order what remains can be done: what binds two operations, the best order, why there is none, the way back.

Pure. A scope and its judge (scope) stand lowest, then what binds (links), then the search; words are made elsewhere.
"""
