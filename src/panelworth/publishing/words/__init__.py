"""The sentences of pages. Figures are no finer than they are sure; equal facts share a sentence.

Options go by their short names, without quotation marks. A step of rounding is a fiftieth of the
middle 8 in 10, and a total beside a difference is what a reader adds up (`rounding`). No sentence
recommends, and none says what a figure could contradict.
"""
