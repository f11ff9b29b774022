"""Pictures that are drawn as marks within a page, without script."""
