"""Tables as files: CSV as a spreadsheet writes and reads it, with every fault by line and column.

A cell that a spreadsheet would compute is written with an apostrophe before it, which is taken off
again when it is read; so is one more where a text begins with apostrophes before such a sign.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

#: Cells that begin like this would be computed by a spreadsheet (ASVS 1.2.10).
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")

Errors = list[dict[str, Any]]


@dataclass(frozen=True)
class Row:
    """One line of the file under its headers."""

    line: int
    cells: dict[str, str]


def write_table(columns: Sequence[str], rows: Iterable[Iterable[Any]]) -> str:
    """A table as CSV (RFC 4180) that a spreadsheet shows as text and figures, never as formulas."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([cell_of(column) for column in columns])
    writer.writerows([cell_of(value) for value in row] for row in rows)
    return out.getvalue()


def cell_of(value: Any) -> str:
    """A value as it stands in a cell: yes and no, figures in short, text that stays text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"  # a position has more places than six
    text = str(value)
    computed = not isinstance(value, int) and _without_marks(text).startswith(FORMULA_SIGNS)
    return f"'{text}" if computed else text


def text_of(cell: str) -> str:
    """The text of a cell, without the mark that `cell_of` put before it."""
    marked = cell.startswith("'") and _without_marks(cell).startswith(FORMULA_SIGNS)
    return cell[1:] if marked else cell


def _without_marks(text: str) -> str:
    return text.lstrip("'")


def note_fault(errors: Errors, row: int, column: str | None, detail: str) -> None:
    """Note what is wrong in a line, and under which column."""
    errors.append({"row": row, "column": column, "detail": detail})


def read_table(
    data: bytes, columns: Sequence[str], required: Sequence[str], most: int, errors: Errors
) -> list[Row]:
    """The lines of a file under its headers; what is wrong with the file as a whole is noted."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        note_fault(errors, 1, None, "This file is not UTF-8. Save it as “CSV UTF-8”.")
        return []
    if "\x00" in text:
        note_fault(errors, 1, None, "This is no text file. Save the table as “CSV UTF-8”.")
        return []
    lines = _lines(text)
    try:
        _, first = next(lines, (1, []))
        headers = [cell.strip().lower() for cell in first]
        _check_headers(headers, columns, required, errors)
        if errors:
            return []
        rows = [_row(line, headers, cells, errors) for line, cells in lines if any(cells)]
    except csv.Error as broken:
        note_fault(errors, 1, None, f"This file cannot be read as a table: {broken}.")
        return []
    if len(rows) > most:
        detail = f"At most {most} lines at once; this file has {len(rows)}."
        note_fault(errors, 1, None, detail)
        return []
    return rows


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each row with the number of the line it begins on; the separator is the header's."""
    header = text.splitlines()[0] if text.strip() else ""
    separator = max(",;\t", key=header.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    begins = 1
    for cells in reader:
        yield begins, [cell.strip() for cell in cells]
        begins = reader.line_num + 1


def _check_headers(
    headers: list[str], columns: Sequence[str], required: Sequence[str], errors: Errors
) -> None:
    if not any(headers):
        detail = f"The first line has to name the columns: {', '.join(columns)}."
        note_fault(errors, 1, None, detail)
        return
    for header in headers:
        if header not in columns:
            known = ", ".join(columns)
            note_fault(errors, 1, header, f"Unknown column. Known are: {known}.")
    for column in columns:
        if headers.count(column) > 1:
            note_fault(errors, 1, column, "This column is there twice.")
    for column in required:
        if column not in headers:
            note_fault(errors, 1, column, "This column is missing.")


def _row(line: int, headers: list[str], cells: list[str], errors: Errors) -> Row:
    if len(cells) > len(headers):
        detail = (
            f"{len(cells)} cells under {len(headers)} columns. Put text with separators in quotes."
        )
        note_fault(errors, line, None, detail)
    return Row(line, {name: text_of(cell) for name, cell in zip(headers, cells, strict=False)})
