"""Numbers only: the standard library and numpy.

No planter, no record, no database and no clock of ours. A function is named after what it gives
and who published it; its docstring gives units and source.
"""
