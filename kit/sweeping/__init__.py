"""Sweeps: a study made repeatedly with other values of its keys, each point a full pattern."""

from kit.sweeping.front import FOUR, find_front
from kit.sweeping.running import sweep
from kit.sweeping.sweep_points import list_sweep_keys
from kit.sweeping.sweep_record import Sweep

__all__ = ["FOUR", "Sweep", "find_front", "list_sweep_keys", "sweep"]
