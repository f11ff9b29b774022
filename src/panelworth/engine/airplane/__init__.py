"""The airplane itself: weight, power, failures, inspections, downtime, what members want.

`airplane_figures` calls the other modules for each option; `aircraft_configuration` has the
airplane's units after an option. An alternator provides the function `generator` too, or is
recognised by its name. A function that other units need and no flight rule requires, such as
vacuum, is a means and is not listed as lost. A sensor that two displays can show provides the
function itself and needs a `display`: so the loss of one display does not lose the function.
"""
