"""The desk: an editor for a scenario folder, on this computer only, while the preview is served.

`toml_positions.py` finds keys in a text, `toml_edits.py` changes one key and nothing else.
`ledger_text.py` does the same for rows of a ledger. `disc.py` alone writes files, `access.py`
decides who may ask, `saving.py` takes forms. `fields.py` makes form fields of the model's
declarations, `places.py` has the addresses of forms. `first_run.py` begins a scenario,
`next_steps.py` names what is missing. The pages are a module each, listed in `routes.py`;
`server.py` connects them to the preview's web server.
"""
