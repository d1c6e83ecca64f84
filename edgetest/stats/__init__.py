"""Statistics that several rooms need; arrays in, frozen results out; knows no blade.

Open `least_squares` for the fits, `contrast` for the difference of two groups, `mixed` for
random effects, `censoring` for bounds, `rates` for counts, `propagate` for uncertainties.
"""
