"""The sentences of pages: figures no finer than they are sure, and what is alike said once.

Options go by their short names, without quotation marks. A step of rounding is a fiftieth of the
middle 8 in 10, and a total beside a difference is what a reader adds up (`rounding`). No sentence
recommends, and none says what a figure could contradict.
"""
