"""The shapes of the list of changes, and of undoing one."""

from __future__ import annotations

from potrounds.api.fields import Choice, Day, Moment, Text, Truth, Whole
from potrounds.api.fields_nested import Free, ListOf, Within
from potrounds.api.schemas import Answer, Ask


class UndoneBy(Answer):
    number = Whole()
    by = Text()
    at = Moment()


class RegisterChange(Answer):
    number = Whole()
    at = Moment()
    by = Text()
    what = Text()
    id = Text(null=True)
    name = Text(null=True)
    before = Free()
    after = Free()
    together = Whole(says="How many changes were made in this act; they are undone together")
    undone = Within(UndoneBy, null=True, says="The change that took this one back")
    undoes = Whole(null=True, says="The first change of the act that this one took back")


class ChangesQuery(Ask):
    search = Text(80, optional=True, says="Words that all stand in a name or a value")
    what = Text(40, optional=True)
    by = Text(40, optional=True, says='Id of a person, or "server"')
    since = Day(optional=True)
    until = Day(optional=True)
    order = Choice(("newest", "oldest"), optional=True)
    after = Whole(0, optional=True, says="Number of the last change of the page before")


class ChangesPage(Answer):
    changes = ListOf(RegisterChange)
    more = Truth()


class InTheWay(Answer):
    what = Text()
    name = Text()
    key = Text()
    now = Free()
    back = Free()
    number = Whole(null=True, says="The change that set what stands there now")
    by = Text(null=True)
    at = Moment(null=True)


class UndoLook(Answer):
    number = Whole()
    changes = ListOf(RegisterChange, says="What would be taken back")
    possible = Truth()
    why_not = Text(null=True)
    in_the_way = ListOf(InTheWay, says="What was edited since and would be overwritten")
    mark = Text(says="Sent back with the undo; 412 when the answer has changed since")


class UndoBody(Ask):
    mark = Text(40, shortest=1)
    overwrite = Truth(optional=True, says="What was edited since may be overwritten")


class UndoMade(Answer):
    changes = ListOf(RegisterChange)
