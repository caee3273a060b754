from customers.models.customer import Customer
from customers.models.home import Home, Precision
from customers.models.system import Filter, Metering, Refrigerant, System, SystemKind

__all__ = [
    "Customer",
    "Filter",
    "Home",
    "Metering",
    "Precision",
    "Refrigerant",
    "System",
    "SystemKind",
]
