"""What the recogniser decodes with: language model, pronunciations, graphs, a herd's numbers, taught terms."""
