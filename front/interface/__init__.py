"""A read-only JSON interface for the bookkeeper's programs.

A resource declares its fields once (resources.py); the answers and the OpenAPI document are made
from the same declaration, so that neither can say what the other does not.
"""
