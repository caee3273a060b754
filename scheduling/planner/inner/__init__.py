"""The compiled inner loop of the planner: numbers in arrays, nothing of the trade but menus."""
