"""The airplane itself: weight, power, failures, inspections, downtime, what members want.

`airplane_figures` gathers what the other modules find of each option; `aircraft_configuration`
says which units an option leaves. An alternator provides the function `generator` too, or is
known by its name. A function that other units need and no flight rule asks for, such as vacuum,
is a means: it is not listed as lost. A sensor that either of two displays shows provides the
function itself and needs a `display`, so that one dark display takes nothing with it.
"""
