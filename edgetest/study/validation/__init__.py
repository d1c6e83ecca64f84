"""Does the program hold what it claims, where somebody knows the truth from elsewhere?

Open `validate_set` first: photographs, hardness blocks and coupons against their references.
"""
