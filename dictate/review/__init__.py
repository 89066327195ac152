"""The evening: what waits, what a person is shown, what a person does, and what is learnt from it.

- `acts/`: whatever changes an entry; nothing else does.
- The queue: `order` (riskiest first), `waiting` (also what was left aside as talk), `measure` (how long, how much was wrong).
- The card: `showing` reads it from the store, `card` makes words and choices of it, `likely` the animals,
  `suggesting` and `other_hearings` the terms and readings that may have been meant.
- Fixes before they are acts: `changes` (slots by their paths), `filled_form` (a whole form), `settling`
  (which doubts a change answers), `names` (what a slot may hold).
- Words put right in place: `line` (the words and the place), `in_place`, `offering`, `habits`.
- After it: `offers` and `learning` (mis-hearings), `follow_ups` (what is due).
"""
