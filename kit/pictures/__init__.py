"""Pictures as plain geometry: what is where, in picture units. Pure: no Django.

A drawing function takes facts and gives a frozen picture; a template writes it as SVG.
"""
