from customers.forms.customer import CustomerForm
from customers.forms.home import HomeForm, SearchForm
from customers.forms.system import FilterForm, SystemForm

__all__ = ["CustomerForm", "FilterForm", "HomeForm", "SearchForm", "SystemForm"]
