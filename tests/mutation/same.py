"""Changes that make no other plan and no other message: no test could notice them, and why.

Each is named by its file, the line that it stands on and what is changed there; a line that is written anew
is none of them any more. A change that a better test could notice belongs to the tests, not here.
"""

from tests.mutation.sites import Mutant

EFFORT = "more is looked at, later found, and nothing worse chosen"
AT_ONCE = "how much is worked on together; every sum is the same"
KEPT = "a result kept for later or worked out anew is the same result"
STATE_NUMBER = "a random number tells two states apart, whatever its sign"

SAME: dict[tuple[str, str, str], str] = {
    (
        "food/counting.py",
        "mean_g = float(np.mean(bands.before[:, 1] - bands.before[:, 0])) if places else 1.0",
        "bands.before[:, 1] - bands.before[:, 0]",
    ): AT_ONCE,
    (
        "food/labels.py",
        "return np.asarray(key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64))",
        "key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64)",
    ): STATE_NUMBER,
    ("food/place.py", 'shared=care != "draft",', "care != 'draft'"): KEPT,
    ("food/solve.py", "BEAM = 200", "200"): EFFORT,
}


def reason_of(mutant: Mutant) -> str:
    """Return why a change makes no difference, "" where it does."""
    line = mutant.path.read_text(encoding="utf-8").splitlines()[mutant.line - 1].strip()
    return SAME.get((f"{mutant.path.parent.name}/{mutant.path.name}", line, mutant.before), "")
