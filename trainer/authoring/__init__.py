"""Content files: reading, shaping, compiling and proving machines, jobs, rules and texts."""
