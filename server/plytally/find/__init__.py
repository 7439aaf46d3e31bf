"""Finding any entry of any year: an index over the log, thrown away and rebuilt whenever in doubt.

DATA/find.sqlite is a read model and no truth: it holds what the log says, for SQLite's full-text search.
`rows` says what of an entry can be found, `index` keeps that up to date, `query` asks it.
"""
