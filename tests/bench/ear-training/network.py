"""
The network: one token for each pitch MIDI 36–88. A token sees the harmonics of its pitch over time and who is due;
tokens share their weights and look at each other; heads say which pitches were struck and when the first began.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import torch
import torch.nn.functional as F
from torch import Tensor, nn

from features import BINS, FAST, FAST_FIRST, FAST_FRAMES, FIRST, FRAMES, LOWEST, PER_SEMITONE
from hands import GLOBALS, LOW, TOKENS

HARMONICS, BESIDE = 12, 3
SLICES = HARMONICS * BESIDE
"""Rows of the slow patch that a pitch sees: each harmonic with its neighbours a third of a semitone off."""
SCORE = 5
"""Due, due before, due next, due in another octave, height."""
FRAMES_2, FRAMES_3 = FRAMES // 3, (FRAMES // 3 - 3) // 2 + 1
REDUCED = 8


def harmonic_rows() -> np.ndarray:
    """[TOKENS, SLICES] row of the slow patch; BINS where the harmonic lies above it."""
    out = np.full((TOKENS, SLICES), BINS, np.int64)
    for p in range(TOKENS):
        for h in range(HARMONICS):
            middle = round((LOW + p - LOWEST + 12 * np.log2(h + 1)) * PER_SEMITONE)
            for j in range(BESIDE):
                row = middle + j - 1
                if 0 <= row < BINS:
                    out[p, BESIDE * h + j] = row
    return out


def stretch() -> np.ndarray:
    """[FRAMES, FAST_FRAMES]: slow frames read at the fast frames' times, between neighbours by share."""
    out = np.zeros((FRAMES, FAST_FRAMES), np.float32)
    for i in range(FAST_FRAMES):
        at = float(np.clip((FAST_FIRST + 0.004 * i - FIRST) / 0.02, 0, FRAMES - 1.001))
        out[int(at), i], out[int(at) + 1, i] = 1 - (at - int(at)), at - int(at)
    return out


@dataclass(frozen=True)
class Size:
    width: int = 64
    layers: int = 3
    heads: int = 4
    channels: tuple[int, int, int] = (32, 48, 64)
    onset: int = 32
    onset_layers: int = 3
    blind: bool = False
    """The score is not shown: an ablation."""


ROOM = 56
"""Tokens are filled up to so many while they look at each other: accelerators multiply whole eights far faster."""


class Layer(nn.Module):
    """Attention with a bias for each interval, then two linear maps."""

    def __init__(self, width: int, heads: int) -> None:
        super().__init__()
        self.heads = heads
        self.norm1, self.norm2 = nn.LayerNorm(width), nn.LayerNorm(width)
        self.qkv, self.out = nn.Linear(width, 3 * width), nn.Linear(width, width)
        self.up, self.down = nn.Linear(width, 2 * width), nn.Linear(2 * width, width)
        self.interval = nn.Parameter(torch.zeros(heads, 2 * TOKENS + 2))
        i = torch.arange(TOKENS)
        place = torch.full((TOKENS + 1, TOKENS + 1), 2 * TOKENS - 1)
        place[1:, 1:] = i[:, None] - i[None] + TOKENS - 1
        place[0, 1:], place[1:, 0] = 2 * TOKENS, 2 * TOKENS + 1
        self.register_buffer("place", place, persistent=False)

    def forward(self, x: Tensor) -> Tensor:
        """x [n, ROOM, width]; nobody looks at the tokens that only fill up."""
        n, tokens, width = x.shape
        filled = tokens - len(self.place)
        liking = F.pad(self.interval[:, self.place], (0, filled, 0, filled), value=-1e4)
        q, k, v = self.qkv(self.norm1(x)).reshape(n, tokens, 3, self.heads, -1).permute(2, 0, 3, 1, 4).unbind(0)
        weights = (q @ k.transpose(-1, -2) / (width / self.heads) ** 0.5 + liking).softmax(-1)
        x = x + self.out((weights.to(v.dtype) @ v).transpose(1, 2).reshape(n, tokens, width))
        return x + self.down(F.relu(self.up(self.norm2(x))))


def _along(convolution: nn.Conv1d, x: Tensor) -> Tensor:
    """A convolution over [n, time, channels] as one product: far faster than the library's for such narrow channels."""
    (taps,), (step,), (pad,) = convolution.kernel_size, convolution.dilation, convolution.padding
    length = x.shape[1]
    spare = -x.shape[2] % 8
    padded = F.pad(x, (0, spare, pad, pad))
    beside = torch.cat([padded[:, t * step : t * step + length] for t in range(taps)], 2)
    weight = F.pad(convolution.weight.permute(0, 2, 1), (0, spare))
    return F.linear(beside, weight.flatten(1), convolution.bias)


LINES = 256
"""Bins, then whether the frame belongs to the change, filled up with zeros."""


def _sight() -> Tensor:
    """[LINES, TOKENS, SLICES + 1]: 1 where a pitch's slice is that bin, its last one the mark of the frame."""
    out = torch.zeros(LINES, TOKENS, SLICES + 1)
    for p, rows in enumerate(harmonic_rows()):
        for s, row in enumerate(rows):
            if row < BINS:
                out[row, p, s] = 1
        out[BINS, p, SLICES] = 1
    return out


class Ear(nn.Module):
    def __init__(self, size: Size) -> None:
        super().__init__()
        d, (c1, c2, c3) = size.width, size.channels
        self.size = size
        self.slices = nn.Linear(SLICES + 1, c1)
        self.score1 = nn.Linear(SCORE, c1, bias=False)
        self.time2, self.time3 = nn.Linear(3 * c1, c2), nn.Linear(3 * c2, c3)
        self.token = nn.Linear(FRAMES_3 * c3, d)
        self.score2 = nn.Linear(SCORE + 1, d)
        self.chord = nn.Parameter(torch.zeros(d))
        self.blocks = nn.ModuleList(Layer(d, size.heads) for _ in range(size.layers))
        self.norm = nn.LayerNorm(d)
        self.pitch, self.facts = nn.Linear(d, 2), nn.Linear(2 * d, len(GLOBALS))
        self.reduce = nn.Linear(c1, REDUCED)
        self.context = nn.Linear(d, size.onset)
        o = size.onset
        self.onset1 = nn.Conv1d(FAST + 2 * REDUCED + 1, o, 5, padding=2)
        for k in range(2, size.onset_layers + 1):
            self.add_module(f"onset{k}", nn.Conv1d(o, o, 5, padding=2**k, dilation=2 ** (k - 1)))
        self.when, self.never = nn.Linear(o, 1), nn.Linear(d, 1)
        self.register_buffer("sight", _sight(), persistent=False)
        self.register_buffer("stretch", torch.as_tensor(stretch()), persistent=False)

    def forward(self, slow: Tensor, fast: Tensor, score: Tensor, mask: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """
        slow [n, BINS, FRAMES] (zero outside the mask), fast [n, FAST, FAST_FRAMES], score [n, 3, TOKENS],
        mask [n, FRAMES] (1 while the change lasts) → log odds per pitch [n, TOKENS, 2] (struck, sounding), facts
        [n, 8], and log weights of the beginning over the fast frames and "never" [n, FAST_FRAMES + 1].
        """
        if self.size.blind:
            score = score * 0
        n, width = len(slow), self.size.width
        due = score[:, 0]
        octave = F.pad(due, (0, 60 - TOKENS)).reshape(n, 5, 12).amax(1).repeat(1, 5)[:, :TOKENS]
        height = (torch.arange(TOKENS, device=slow.device, dtype=slow.dtype) / 24 - 1).expand(n, TOKENS)
        told = torch.stack([due, score[:, 1], score[:, 2], octave, height], 2)
        # What all pitches see of a frame as one product: a pitch's slices are few of the bins, but gathering is slower.
        lines = F.pad(torch.cat([slow * mask[:, None], mask[:, None]], 1), (0, 0, 0, LINES - BINS - 1)).transpose(1, 2)
        seeing = (self.sight.reshape(-1, SLICES + 1) @ self.slices.weight.T).reshape(LINES, -1)
        seen = (lines.reshape(-1, LINES) @ seeing.to(lines.dtype)).reshape(n, FRAMES_2, 3, TOKENS, -1)
        a = F.relu(seen + (self.slices.bias + self.score1(told))[:, None, None])
        b = F.relu(self.time2(a.transpose(2, 3).reshape(n, FRAMES_2, TOKENS, -1)))
        last = 2 * FRAMES_3 - 1
        windows = torch.cat([b[:, k : k + last : 2] for k in range(3)], 3)
        y = self.token(F.relu(self.time3(windows)).transpose(1, 2).reshape(n, TOKENS, -1))
        y = y + self.score2(torch.cat([told, due.mean(1)[:, None, None].expand(n, TOKENS, 1)], 2))
        y = torch.cat([self.chord.expand(n, 1, -1), y, torch.zeros_like(y[:, :1]).expand(n, ROOM - TOKENS - 1, width)], 1)
        for block in self.blocks:
            y = block(y)
        y = self.norm(y)[:, : TOKENS + 1]
        facts = self.facts(torch.cat([y[:, 0], y[:, 1:].mean(1)], 1))
        return self.pitch(y[:, 1:]), facts, self._beginning(a, y[:, 0], due, fast, mask)

    def _beginning(self, a: Tensor, chord: Tensor, due: Tensor, fast: Tensor, mask: Tensor) -> Tensor:
        """a [n, FRAMES / 3, 3, TOKENS, channels]; its sums over pitches are reduced, which is the same and cheaper."""
        n, count = len(a), due.sum(1)[:, None, None]
        share = (due / (due.sum(1, keepdim=True) + 1e-3))[:, None, None, :, None]
        of_due, of_all = ((a * s).sum(3).reshape(n, FRAMES, -1) for s in (share, 1 / TOKENS))
        wanted = F.linear(of_due, self.reduce.weight) + self.reduce.bias * (count / (count + 1e-3))
        coarse = torch.cat([wanted, self.reduce(of_all), mask[:, :, None]], 2)
        fine = torch.cat([fast.transpose(1, 2), self.stretch.T.to(coarse.dtype) @ coarse], 2)
        o = F.relu(_along(self.onset1, fine) + self.context(chord)[:, None])
        for k in range(2, self.size.onset_layers + 1):
            o = o + F.relu(_along(self.get_submodule(f"onset{k}"), o))
        return torch.cat([self.when(o)[:, :, 0], self.never(chord)], 1)


def multiply_adds(size: Size) -> int:
    """Of one change as the program reckons it, the features apart."""
    d, (c1, c2, c3), o = size.width, size.channels, size.onset
    tokens = TOKENS * (FRAMES * (SLICES + 1) * c1 + FRAMES_2 * 3 * c1 * c2 + FRAMES_3 * 3 * c2 * c3 + FRAMES_3 * c3 * d)
    layers = size.layers * (TOKENS + 1) * (8 * d * d + 2 * (TOKENS + 1) * d)
    onset = FAST_FRAMES * 5 * o * (FAST + 2 * REDUCED + 1 + (size.onset_layers - 1) * o)
    return tokens + layers + onset
