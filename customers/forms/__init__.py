from customers.forms.customer import CustomerForm
from customers.forms.home import HomeForm, SearchForm
from customers.forms.nameplate import NameplateForm
from customers.forms.system import FilterForm, SystemForm

__all__ = [
    "CustomerForm",
    "FilterForm",
    "HomeForm",
    "NameplateForm",
    "SearchForm",
    "SystemForm",
]
