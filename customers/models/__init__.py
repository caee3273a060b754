from customers.models.customer import Customer
from customers.models.home import Home, Precision
from customers.models.nameplate import Nameplate
from customers.models.system import Filter, Metering, Refrigerant, System, SystemKind

__all__ = [
    "Customer",
    "Filter",
    "Home",
    "Metering",
    "Nameplate",
    "Precision",
    "Refrigerant",
    "System",
    "SystemKind",
]
