"""The load of a panelboard by every method, with the lines of its calculation."""

from changeout.electrical.loads.calculate import calculated_load
from changeout.electrical.loads.existing import demand_record_permitted
from changeout.electrical.loads.result import LoadResult

__all__ = ["LoadResult", "calculated_load", "demand_record_permitted"]
