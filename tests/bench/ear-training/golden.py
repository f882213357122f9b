"""Two of the changes that `train.py` wrote with everything in between, as the test of the program's network reads them.

usage: python3 golden.py OUT/golden-SIZE.npz > golden.json
"""

from __future__ import annotations

import base64
import json
import sys

import numpy as np

CHOSEN = (0, 1)
SLOW_FRAMES, FAST_FRAMES = (3, 10, 20), (20, 45, 80)


def main(path: str) -> None:
    z = np.load(path)
    out = []
    for n in CHOSEN:
        when = np.exp(z["when"][n] - z["when"][n].max())
        out.append({
            "sound": base64.b64encode(z["sound"][n].astype("<i2").tobytes()).decode(),
            "score": ["".join(str(int(mark)) for mark in marks) for marks in z["score"][n]],
            "seen": round(float(z["seen"][n]), 6),
            "slow": [np.round(z["slow"][n, :, frame].astype(float), 4).tolist() for frame in SLOW_FRAMES],
            "fast": [np.round(z["fast"][n, :, frame].astype(float), 4).tolist() for frame in FAST_FRAMES],
            "struck": np.round(z["pitch"][n, :, 0].astype(float), 4).tolist(),
            "facts": np.round(z["facts"][n].astype(float), 4).tolist(),
            "when": np.round(when / when.sum(), 6).tolist(),
        })  # fmt: skip
    print(json.dumps(out))


if __name__ == "__main__":
    main(sys.argv[1])
