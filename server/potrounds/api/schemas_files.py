"""The shapes of files in and out."""

from __future__ import annotations

from potrounds.api.fields import Day, Text, Whole
from potrounds.api.schemas import Ask
from potrounds.api.schemas_register import ImportReport

RecordsQuery = Ask.from_dict(
    {  # `from` is a word of the language
        "from": Day(optional=True, says="First day"),
        "to": Day(optional=True, says="Last day"),
        "planter": Text(40, optional=True, says="Id of one planter"),
    },
    name="RecordsQuery",
)


class VisitsReport(ImportReport):
    there = Whole(says="Lines that were read in before")
