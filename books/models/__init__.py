from books.models.costs import CostRates, PartPrice
from books.models.digest import RecordDigest
from books.models.run import CapacityRun
from books.models.tally import SeasonTally

__all__ = ["CapacityRun", "CostRates", "PartPrice", "RecordDigest", "SeasonTally"]
