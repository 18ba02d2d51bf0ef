"""Geometry without a CAD kernel: axes, convex voids, certified distances, openings, window profiles."""
