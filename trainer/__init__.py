"""Coupling Yard: practise coupling an implement to a tractor, setting its hydraulics and putting it away."""
