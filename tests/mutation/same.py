"""Changes that make no other plan and no other message: no test could notice them, and why.

Each is named by its file, the line that it stands on and what is changed there; a line that is written anew
is none of them any more. A change that a better test could notice belongs to the tests, not here, and so does
one that only makes a search look at more.
"""

from tests.mutation.sites import Mutant

SAME: dict[tuple[str, str, str], str] = {
    (
        "food/bound.py",
        "return 2 * int(np.ceil(problem.end_s / problem.longest_gap_s)) + 2",
        "np.ceil(problem.end_s / problem.longest_gap_s)",
    ): "with the fewest bites two gaps in a row pass the longest: twice the whole times are enough",
    (
        "food/counting.py",
        "mean_g = float(np.mean(bands.before[:, 1] - bands.before[:, 0])) if places else 1.0",
        "bands.before[:, 1] - bands.before[:, 0]",
    ): "how many places are worked on together; every sum is the same",
    (
        "food/label_columns.py",
        "return np.asarray(key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64))",
        "key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64)",
    ): "a random number tells two states apart, whatever its sign",
    (
        "food/label_columns.py",
        "return np.asarray(key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64))",
        "1000",
    ): "sums of milligrams are told apart to a thousandth, or to half of that",
    (
        "food/bands.py",
        "eaten = np.full((end - first, 2 * most + width), np.inf)",
        "2",
    ): "more room at the end of a row of which the first part is read",
    (
        "food/place.py",
        "shared=False,",
        "False",
    ): "a price kept for later or worked out anew is the same price",
    (
        "food/place.py",
        'shared=care != "draft",',
        "care != 'draft'",
    ): "a price kept for later or worked out anew is the same price",
    (
        "food/curve.py",
        "padded = np.append(drunk, np.zeros(ahead - 1))",
        "ahead - 1",
    ): "two noughts more behind the last hour are the largest of nothing",
    (
        "pace/momentum.py",
        "free = square[1:] - 2.0 * balance / yielding",
        "2.0",
    ): "a longer step towards the same speeds, and the rounds go on until they stand",
    (
        "pace/ridden.py",
        "mixed_sugars=True,",
        "True",
    ): "what says nothing of the pace is made alike on both sides: one value or the other",
    (
        "checker/no_ride.py",
        "WIND_CHILL_C, CHILL_TO_C, CHILL_FROM_KM_H, FELT_OVER_M = -27.0, 10.0, 4.8, 3000.0  # [EC01]",
        "10.0",
    ): "no wind makes ten or fourteen degrees feel like -27",
    (
        "checker/route.py",
        "parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)",
        "True",
    ): "with entities and declarations left alone nothing is asked of a network; a guard for other builds",
}


def reason_of(mutant: Mutant) -> str:
    """Return why a change makes no difference, "" where it does."""
    line = mutant.path.read_text(encoding="utf-8").splitlines()[mutant.line - 1].strip()
    return SAME.get((f"{mutant.path.parent.name}/{mutant.path.name}", line, mutant.before), "")
