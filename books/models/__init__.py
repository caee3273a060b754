from books.models.costs import CostRates, PartPrice
from books.models.digest import RecordDigest
from books.models.run import CapacityRun, CapacityState
from books.models.tally import SeasonTally

__all__ = ["CapacityRun", "CapacityState", "CostRates", "PartPrice", "RecordDigest", "SeasonTally"]
