from customers.models.customer import Customer
from customers.models.home import Home, Precision
from customers.models.look import HomeLook, Screen
from customers.models.nameplate import Nameplate
from customers.models.system import Filter, Metering, Refrigerant, System, SystemKind

__all__ = [
    "Customer",
    "Filter",
    "Home",
    "HomeLook",
    "Metering",
    "Nameplate",
    "Precision",
    "Refrigerant",
    "Screen",
    "System",
    "SystemKind",
]
