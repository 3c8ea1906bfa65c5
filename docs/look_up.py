"""`make audit`, last step: each installed part looked up among known vulnerabilities; told in one message."""

import json
import subprocess
import sys
from pathlib import Path

ADVISED = Path("out") / "advisories.json"
CLEAN, FOUND, NOT_LOOKED_UP = 0, 1, 3


def look_up(tool: Path, installed: Path, advised: Path = ADVISED) -> tuple[int, str]:
    """Return an exit code and what to say.

    Parameters
    ----------
    tool : pip-audit
    installed : the parts, as `pip freeze` lists them
    advised : where the tool's answer goes; none means that it could not look the parts up
    """
    advised.unlink(missing_ok=True)
    words = [str(tool), "--strict", "--no-deps", "--disable-pip", "--progress-spinner=off"]
    words += ["--requirement", str(installed), "--format=json", "--output", str(advised)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    parts = [line for line in installed.read_text(encoding="utf-8").splitlines() if "==" in line]
    try:
        answer = json.loads(advised.read_text(encoding="utf-8"))["dependencies"]
    except (OSError, ValueError, KeyError):
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        return NOT_LOOKED_UP, (
            f"audit: {len(parts)} parts are listed, none of them was looked up: no service of advisories"
            f" answered ({last}); run it where the package index tells of vulnerabilities"
        )
    found = [
        f"{part['name']} {part['version']}: {', '.join(each['id'] for each in part['vulns'])}"
        for part in answer
        if part.get("vulns")
    ]
    if found:
        return FOUND, f"audit: {len(found)} of {len(answer)} parts have known faults: {'; '.join(found)}"
    return CLEAN, f"audit: {len(answer)} parts looked up, no known faults"


if __name__ == "__main__":
    code, said = look_up(Path(sys.argv[1]), Path(sys.argv[2]))
    sys.stdout.write(said + "\n")
    sys.exit(code)
