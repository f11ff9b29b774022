"""The desk: an editor for a scenario folder, on this computer only, while the preview is served.

`toml_positions.py` finds keys in a text, `toml_edits.py` changes one key and nothing else.
`disc.py` alone writes files, `access.py` decides who may ask, `saving.py` takes forms. `fields.py`
makes form fields of the model's declarations, `places.py` has the addresses of forms. The pages
are a module each, listed in `routes.py`; `server.py` connects them to the preview's web server.
"""
