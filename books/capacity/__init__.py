"""How much warm working time a season has, how surely, and what fits into it. Pure.

Springs are drawn from the very warmth that the planner works with, so both speak of one weather.
"""
