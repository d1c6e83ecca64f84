def codes(result):
    """Codes of a result's doubts, in their order."""
    return [one.code for one in result.doubts]
