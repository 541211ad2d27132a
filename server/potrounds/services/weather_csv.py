"""The weather on record as a table that can be read in again."""

from __future__ import annotations

from potrounds.services.context import Context
from potrounds.services.table_file import write_table
from potrounds.store import weather

#: Wind is the mean at 2 m. The last column is told and not read.
COLUMNS = ("date", "tmin_c", "tmax_c", "rain_mm", "wind_ms", "source")


def export_days(ctx: Context) -> str:
    """Every day as it was, by date; forecasts are in the archive of the town only."""
    rows = weather.observed()
    return write_table(COLUMNS, ([getattr(row, name) for name in COLUMNS] for row in rows))
