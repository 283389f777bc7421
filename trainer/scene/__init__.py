"""What a trainee sees and touches: pygame-ce and pymunk live in this room and nowhere else."""
