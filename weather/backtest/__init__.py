"""Which way of promising cooling checks would have done best in springs that really were?

Real hourly temperatures, made-up forecasts with errors as large as real ones, a queue of
checks, and five policies. Definitions, the same for every policy:

- A slot starts at 8, 10, 13 or 15 h of local STANDARD time, Monday to Friday; each technician
  has one check in it. It is **testable** when the readings of its hour and the next two are all at
  or above the test temperature. A slot that lacks a reading is given to nobody.
- **Warm**: the check was tested in a testable slot. `warm_percent` is the share of ALL checks; one
  that is never reached counts against it. The worst spring is the worst after averaging over seeds.
- **Valid**: warm, and on a day before the first with an hour of 85 °F.
- A trip to a cold home is a **trip lost**. By default its check is not done again, but stays among
  the untested, so that a policy cannot repair its figures by driving twice and figures can be
  set beside simpler simulations. With `return_trips` the check goes back to the head of the
  queue and is driven to again: `warm_percent` then still counts first visits only, while valid,
  trips lost and the finish count the second trips too.
- A **promise broken** is one that was moved or taken back, also when it is moved within its day.

What is left out: travel, other work in the slots, customers who decline. Forecast errors shift a
whole day (`forecasts`). Every calendar day a forecast comes and promises can be made.

`reading` (file -> hours) -> `springs` -> `forecasts` -> `desk` moved by `strategies` -> `figures`;
`settings` and `frontier` ask what each setting costs.
"""

from weather.backtest.figures import Figures
from weather.backtest.policy import Policy
from weather.backtest.reading import Readings, ReadingsRefused, read_readings
from weather.backtest.running import Setup, cost_of_settings, run_policies

__all__ = [
    "Figures",
    "Policy",
    "Readings",
    "ReadingsRefused",
    "Setup",
    "cost_of_settings",
    "read_readings",
    "run_policies",
]
