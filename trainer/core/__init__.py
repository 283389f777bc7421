"""The scored core: pure, deterministic, standard library only."""
