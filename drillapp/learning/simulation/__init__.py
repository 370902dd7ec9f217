"""The simulated learners of the benchmark, and the plans that are compared on them."""
