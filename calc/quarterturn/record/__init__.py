"""The record: everything a reader enters about a bow, each field declared once.

An entry is what was typed and its unit. It is parsed, never rewritten. The form, the checks and their sentences, the
link, what the browser keeps, the JSON Schema and the drawn records of the tests all come from the declaration.

- A field's number is permanent, for links are written with it. Options of a choice, units of a number and columns of a
  list are only ever added at the end: their place is written too.
- Its role says what its absence means: without a reading the answer is a worked example, a setting has a default that
  the answer lists as assumed, an optional field has no value. Its scope: of the bow, of the reader, of the view.
- `when` says for which earlier answers it matters. What does not matter is kept and not checked.
- A field that changes no answer is inert; the declaration says why, and a test holds it to that, and all others to the
  contrary.
- A list is one field: its newest change is that of the whole list. A problem of a box is named by list, row and column,
  as in `scale_readings.2.weight`. A row of which a needed box is empty is kept, not used, and no problem: whoever types
  passes through it; an answer that uses the list says so (`Values.unfinished`). A list with linked=False grows: a link
  carries the whole of it while it fits, else one row (`newest`).
- A day is typed and kept as ISO 8601 writes it; its value is a count of days (`quarterturn.days`).
"""
