"""A season planned on this machine without a worker: its areas in processes of their own."""

from __future__ import annotations

import multiprocessing
from concurrent.futures import ProcessPoolExecutor

import django

from scheduling.planning import carry_out


def carry_out_here(run_id: int, processes: int) -> None:
    """Plan a run that wakes nobody; with more than one process its areas at the same time.

    What a killed process leaves is handed on like a lost worker's: by the sweep, to a worker.
    """
    areas = carry_out(run_id)
    if not areas:
        return
    # A fresh interpreter each: no database connection is shared with a child.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, mp_context=fresh, initializer=django.setup) as pool:
        list(pool.map(carry_out, areas))
    carry_out(run_id)
