"""Units as annotated types, and the only conversion factors in the house.

Inside, every quantity is SI or an accepted companion (litre, degree, ampere-hour); the unit stands in the type
or in the name. NaN means "not known".
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Floats = float | Array
Epoch = Annotated[Floats, "s since 1970-01-01T00:00Z"]
Seconds = Annotated[Floats, "s"]
Hours = Annotated[Floats, "h"]
Metres = Annotated[Floats, "m"]
MetresPerSecond = Annotated[Floats, "m/s"]
Degrees = Annotated[Floats, "deg"]
DegreesPerHour = Annotated[Floats, "deg/h"]
Litres = Annotated[Floats, "l"]
LitresPerHour = Annotated[Floats, "l/h"]
Volts = Annotated[Floats, "V"]
Amperes = Annotated[Floats, "A"]
AmpereHours = Annotated[Floats, "Ah"]
Hectopascals = Annotated[Floats, "hPa"]
Celsius = Annotated[Floats, "degC"]
Ratio = Annotated[Floats, "1"]
Flags = Annotated[NDArray[np.bool_], "1"]
Counts = Annotated[NDArray[np.int64], "1"]

NAUTICAL_MILE = 1852.0  # m, exact: International Hydrographic Conference, Monaco 1929
HOUR = 3600.0  # s
MINUTE = 60.0  # s
DAY = 86400.0  # s
KNOT = NAUTICAL_MILE / HOUR  # m/s
FOOT = 0.3048  # m, exact: international foot, 1959
GRAVITY = 9.80665  # m/s2, standard acceleration: 3rd CGPM, 1901
