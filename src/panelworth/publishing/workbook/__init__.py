"""The workbook: every likely figure again as spreadsheet formulas that follow their inputs."""
