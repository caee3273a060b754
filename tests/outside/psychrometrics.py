"""PsychroLib as a judge of moist air, as plain Python: with numba it compiles for 6.5 s."""

import sys
from unittest.mock import patch

with patch.dict(sys.modules, {"numba": None}):
    import psychrolib

psychrolib.SetUnitSystem(psychrolib.IP)
