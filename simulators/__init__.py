"""A simulated workshop: wax, a maker, and instruments that speak real wire bytes.

`physics` is pure: state and `update(dt_s)`, time passed in. `wire` turns state into bytes.
`ports` offers the bytes on pseudo-terminals and in a 1-Wire folder. `bench_model` is the
physics of one bench, `workbench` puts it behind its ports, `maker` works at it as a person
would, and `day` runs a scenario from morning to evening. Nothing here knows the service but
by its wires and its HTTP calls.
"""
