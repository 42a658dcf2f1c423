"""The settings that every search shares."""

from typing import Any


def fixed_solver(*, effort: float) -> Any:
    """A solver that finds the same day for the same regimen, however busy the machine is.

    Args:
        effort: How long it may search, in the solver's own deterministic time.
    Source:
        our own choice: one worker and a fixed seed; probing and symmetry cost more here than they find
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 7
    solver.parameters.max_deterministic_time = effort
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    return solver
