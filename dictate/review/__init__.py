"""The evening: what waits, what a person is shown, what a person does, and what is learnt from it.

- `acts/`: whatever changes an entry; nothing else does.
- The queue: `waiting` (riskiest first, as `order.toml` says; also what was left aside as talk), `measure` (how
  long, how much was wrong).
- The card: `showing` reads it from the store, `card` makes words and choices of it, `likely` the animals,
  `suggesting` the terms and readings that may have been meant.
- Fixes before they are acts: `changes` (slots by their paths, and which doubts a change answers),
  `written_changes` (as `slot=value` or a whole form).
- Words put right in place: `line` (the words and the place), `candidates` (what may belong there), `habits`, `in_place`.
- After it: `offers` and `learning` (mis-hearings), `follow_ups` (what is due).
"""
