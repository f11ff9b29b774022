"""The sentences of pages: figures no finer than they are sure, and what is alike said once."""
