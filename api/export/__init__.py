"""A lot as a file for other programs: a table in CSV or Parquet, or a JSON object a line.

`lot_export` says what is exported, `rows` makes the rows that the three formats share, one module
for each format turns them into bytes, and `formats` is their table. Everything is given piece by
piece, so that a lot of any length needs little memory.

The names of columns, kinds and words are a promise: other people's notebooks rest on them. What
is added later comes at the end or under a new name; anything else raises `VERSION`.
"""
