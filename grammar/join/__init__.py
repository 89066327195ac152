"""Pieces to entries: corrections, denials, and what belongs to which foot, claw and lesion."""
