"""Spoken notes at the chute to a reviewed herd record. The folders read as the stages in order."""
