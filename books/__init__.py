"""What a season came to, what fits into the next, and what an agreement earns.

Reads the rooms below and changes nothing there; its own rows are cost rates, digests of records
(so that counting findings needs no judgement to be read again) and runs of the capacity question.
"""
