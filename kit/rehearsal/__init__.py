"""The rehearsal: the quilt sewn virtually, from cut sizes and written steps alone.

It imports no planner, solver, design or output; it shares with them the types of `kit.model` and the plane geometry of
`kit.geometry`.
"""
