"""Where a town's weather comes from: a table, what a coordinator typed, one open web forecast.

Every source gives `WeatherDay`s in the same units or says in words why it cannot; nothing here
knows the database, and only `web_forecast` touches the network.
"""

from potrounds.weather.csv_file import CsvFile
from potrounds.weather.source import (
    Fault,
    Trouble,
    Typed,
    WeatherDay,
    WeatherSource,
    faults_of,
)
from potrounds.weather.web_forecast import WebForecast

#: By the word that is stored beside each day.
SOURCES: dict[str, type[WeatherSource]] = {
    "csv": CsvFile,
    "typed": Typed,
    "web": WebForecast,
}

__all__ = [
    "SOURCES",
    "CsvFile",
    "Fault",
    "Trouble",
    "Typed",
    "WeatherDay",
    "WeatherSource",
    "WebForecast",
    "faults_of",
]
