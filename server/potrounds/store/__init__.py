"""The only folder that knows the database and the disk.

Three blocks that never mix: the register (edited, with who and when), the log (appended, never
changed) and what is derived (may be wiped and rebuilt at any time). Every function here returns
plain or domain objects, never rows.
"""
