"""A forecast in writing, a table or the lines of a bulletin, told apart by its first line."""

from readiness.feeds.forecast import ForecastFile
from readiness.feeds.forecast_csv import read_forecast
from readiness.feeds.forecast_text import is_bulletin, read_bulletin


def read_written(data: bytes, *, source: str = "") -> ForecastFile:
    """Whichever of the two it is. Raises BadInput naming line and column or word."""
    return read_bulletin(data, source=source) if is_bulletin(data) else read_forecast(data, source=source)
