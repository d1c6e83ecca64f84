"""How soon does the search show the answer to a smith's question? Prints the guide's table.

python -m tests.benchmarks.guide_questions
"""

from tests.guide.questions import JOBS, questions, shown_at

HALVES = {"odd, on which the search was made": True, "even": False}


def row(label, asked):
    """A row of the table: how many are answered, and how many of those are shown how soon."""
    shown = [shown_at(each) for each in asked if each.places]
    found = [sum(turn is not None and turn <= most for turn in shown) for most in (1, 3, 6)]
    return f"| {label} | {len(asked)} | {len(shown)} | {' | '.join(map(str, found))} |"


def main():
    """Print the table."""
    every = questions()
    print("| questions | asked | answered in the guide | shown first | of three | of six |")
    print("| --- | ---: | ---: | ---: | ---: | ---: |")
    for label, odd in HALVES.items():
        print(row(label, [each for each in every if each.is_odd == odd]))
    for job in JOBS:
        print(row(f"even, {job}", [e for e in every if e.job == job and not e.is_odd]))


if __name__ == "__main__":
    main()
