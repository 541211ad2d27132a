"""The trade's nouns and facts: the standard library only.

Nothing here knows the web, a database or the clock on the wall. What comes in and goes out is
frozen; what is worked out is worked out from facts, never stored beside them.
"""
