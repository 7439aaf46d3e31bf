"""The desk's judgement: what a person at the desk may do to an entry, as acts for the log.

Pure like all of core. `typed_value` reads what is typed for one field, `answers` says how a doubt can be
answered, `acts` plans what the log must hold afterwards, `rows` tells an entry as plain JSON.
Nothing here erases: every plan adds operations, and the old values stay readable in the history.
"""
