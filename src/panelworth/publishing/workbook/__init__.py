"""The workbook: every likely figure as a spreadsheet formula that follows its inputs."""
