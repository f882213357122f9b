"""What the network is shown of the sound: the definition that the program's own code follows.

Slow: 252 thirds of a semitone from MIDI 35 up × 51 frames of 20 ms, power within 60 dB of the loudest.
Fast: 14 bands and 8 sub-millisecond energies × 166 frames of 4 ms.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from banks import RATE
from hands import BEGIN

LOWEST, PER_SEMITONE, BINS = 35.0, 3, 252
FRAMES, HOP, FIRST = 51, 320, -0.14
BANDS, FINE = 14, 8
FAST = BANDS + FINE
FAST_FRAMES, FAST_HOP, FAST_FIRST, FAST_WINDOW = 166, 64, -0.16, 256
RANGE_DB = 60.0
CENTRES = 440 * 2 ** ((LOWEST + np.arange(BINS) / PER_SEMITONE - 69) / 12)
"""Middle of each bin in Hz."""
WINDOWS = ((4096, 0.0, 330.0), (2048, 330.0, 1400.0), (1024, 1400.0, 1e9))
"""Samples of the Hann window and the frequencies it serves: long for low tones, short for high ones."""


@dataclass(frozen=True)
class Bank:
    """Triangles over the power spectrum of one window length."""

    width: int
    bins: NDArray[np.int64]
    first: int
    weights: NDArray[np.float32]
    """[spectrum lines from `first`, bins]"""


def _bank(width: int, low: float, high: float) -> Bank:
    line = RATE / (2 * width)
    bins = np.flatnonzero((CENTRES >= low) & (CENTRES < high))
    at = np.arange(width + 1) * line
    half = np.maximum(CENTRES[bins] * (2 ** (1 / 36) - 1), line)
    weights = np.maximum(0, 1 - np.abs(at[:, None] - CENTRES[bins]) / half)
    weights /= weights.sum(0)
    used = np.flatnonzero(weights.any(1))
    return Bank(width, bins, int(used[0]), weights[used[0] : used[-1] + 1].astype(np.float32))


BANKS = [_bank(*window) for window in WINDOWS]


def _fast_weights() -> NDArray[np.float32]:
    edges = 80 * (7600 / 80) ** (np.arange(BANDS + 1) / BANDS)
    at = np.arange(FAST_WINDOW // 2 + 1) * RATE / FAST_WINDOW
    middle = np.sqrt(edges[:-1] * edges[1:])
    width = np.maximum(np.log2(edges[1:] / edges[:-1]), 40 / edges[:-1])
    weights = np.maximum(0, 1 - np.abs(np.log2((at[:, None] + 20) / middle)) / width)
    return (weights / weights.sum(0)).astype(np.float32)


FAST_WEIGHTS = _fast_weights()


def hann(width: int) -> NDArray[np.float32]:
    """Periodic, scaled so that a sine of amplitude 1 has power 1/4 at its line."""
    return ((0.5 - 0.5 * np.cos(2 * np.pi * np.arange(width) / width)) / (width / 2)).astype(np.float32)


def slow_power(x: Tensor) -> Tensor:
    """[n, SAMPLES] → power [n, FRAMES, BINS]."""
    out = torch.zeros(len(x), FRAMES, BINS, device=x.device)
    for bank in BANKS:
        start = round((FIRST - BEGIN) * RATE) - bank.width // 2
        frames = x[:, start : start + (FRAMES - 1) * HOP + bank.width].unfold(1, bank.width, HOP)
        window = torch.as_tensor(hann(bank.width), device=x.device)
        spectrum = torch.fft.rfft(frames * window, 2 * bank.width)
        lines = spectrum[..., bank.first : bank.first + len(bank.weights)].abs() ** 2
        out[:, :, torch.as_tensor(bank.bins, device=x.device)] = lines @ torch.as_tensor(bank.weights, device=x.device)
    return out


def fast_power(x: Tensor) -> Tensor:
    """[n, SAMPLES] → power [n, FAST_FRAMES, FAST]: bands, then energies of the signal and of its difference."""
    middle = round((FAST_FIRST - BEGIN) * RATE)
    start = middle - FAST_WINDOW // 2
    frames = x[:, start : start + (FAST_FRAMES - 1) * FAST_HOP + FAST_WINDOW].unfold(1, FAST_WINDOW, FAST_HOP)
    window = torch.as_tensor(hann(FAST_WINDOW), device=x.device)
    bands = torch.fft.rfft(frames * window, FAST_WINDOW).abs() ** 2 @ torch.as_tensor(FAST_WEIGHTS, device=x.device)
    begin, length = middle - FAST_HOP // 2, FAST_FRAMES * FAST_HOP
    now, last = x[:, begin : begin + length], x[:, begin - 1 : begin - 1 + length]
    blocks = lambda y: y.pow(2).reshape(len(x), FAST_FRAMES, 4, FAST_HOP // 4).mean(3)  # noqa: E731
    return torch.cat([bands, blocks(now), blocks(now - last)], 2)


def scaled(power: Tensor) -> Tensor:
    """[n, frames, channels] → [n, channels, frames], 1 at the loudest place, 0 at −60 dB and below."""
    top = power.amax((1, 2), keepdim=True) + 1e-12
    return (torch.log10(power / top + 1e-9) / (RANGE_DB / 10) + 1).clip(0, 1).transpose(1, 2)


FAST_REACH = 0.12
"""Fast frames are shown so much longer than slow ones, whose windows are longer."""


def features(x: Tensor, seen: Tensor) -> tuple[Tensor, Tensor]:
    """
    [n, SAMPLES], [n] (slow frames are shown before this time) → slow [n, BINS, FRAMES], fast [n, FAST, FAST_FRAMES];
    what is not shown is 0 and does not count for the loudest; bands and energies are scaled apart.
    """
    at = torch.arange(FRAMES, device=x.device) * HOP / RATE + FIRST
    fast_at = torch.arange(FAST_FRAMES, device=x.device) * FAST_HOP / RATE + FAST_FIRST
    slow = slow_power(x) * (at[None] < seen[:, None])[:, :, None]
    fast = fast_power(x) * (fast_at[None] < seen[:, None] + FAST_REACH)[:, :, None]
    parts = (fast[..., :BANDS], fast[..., BANDS : BANDS + 4], fast[..., BANDS + 4 :])
    return scaled(slow), torch.cat([scaled(part) for part in parts], 1)
