"""Both sides of every limit: jobs that meet a limit exactly, worked out by hand, and one smallest step off it."""
