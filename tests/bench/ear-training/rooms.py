"""From plucks to the sound in a microphone: notes mixed, amplifier, click, band, room, voices, microphone, noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor

from banks import RATE
from hands import AT, COLUMNS, EARLIER, END, FALL, GAIN, RATIO, ROW, START
from mixing import mix

FFT = 40_960
"""Holds all that sounds and a room's tail after it."""
REVERB = 12_000
"""Longest tail of a room in samples."""


@dataclass
class Studio:
    """Everything sounds are made of, on one device."""

    guitars: Tensor
    """int16 [guitar, row, KEEP]"""
    onsets: Tensor
    band: Tensor
    band_onsets: Tensor
    pool: Tensor
    """Speech and music, float [samples], RMS 0.1."""
    gen: torch.Generator


def _band_events(band: Tensor) -> tuple[Tensor, Tensor]:
    """[n, k, 6] as `hands._band` writes it → instruments and events as the mixer reads them."""
    n, k, _ = band.shape
    events = torch.zeros(n, k, COLUMNS, device=band.device)
    events[..., ROW] = torch.where(band[..., 0] < 0, -torch.ones_like(band[..., 0]), band[..., 1])
    events[..., AT], events[..., RATIO], events[..., GAIN], events[..., END] = band[..., 2], band[..., 3], band[..., 4], band[..., 5]
    events[..., FALL] = 0.04
    return band[..., 0].clip(min=0).long(), events


def _level(x: Tensor) -> Tensor:
    return (x.pow(2).mean(1, keepdim=True) + 1e-9).sqrt()


class Chance:
    """Random numbers, one for each example."""

    def __init__(self, n: int, gen: torch.Generator, device: torch.device) -> None:
        self.n, self.gen, self.device = n, gen, device

    def uniform(self, low: float = 0.0, high: float = 1.0) -> Tensor:
        return low + (high - low) * torch.rand(self.n, 1, generator=self.gen, device=self.device)

    def log(self, low: float, high: float) -> Tensor:
        return torch.exp(self.uniform(float(np.log(low)), float(np.log(high))))

    def normal(self, size: int = 1) -> Tensor:
        return torch.randn(self.n, size, generator=self.gen, device=self.device)

    def happens(self, share: float) -> Tensor:
        return (self.uniform() < share).float()

    def db(self, low: float, high: float) -> Tensor:
        return 10 ** (self.uniform(low, high) / 20)


def _clicks(c: Chance, eighth: Tensor, t: Tensor) -> Tensor:
    """The click from a loudspeaker at every beat around the due moment, near its loudest."""
    frequency, decay = c.log(500, 4500), c.log(0.004, 0.05)
    step = eighth[:, None] * torch.where(c.uniform() < 0.5, 2.0, 1.0)
    since = torch.remainder(t[None] - c.uniform(-0.012, 0.02), step)
    wooden = c.happens(0.5)
    tone = torch.sin(6.2832 * frequency * since) * wooden + (1 - wooden) * 0.7 * torch.sin(6.2832 * 1.51 * frequency * since)
    return torch.exp(-since / decay) * (since < 0.2) * (tone + 0.3 * c.uniform() * c.normal(len(t)))


def _slides(c: Chance, t: Tensor) -> Tensor:
    """Fingers on wound strings before the stroke."""
    at, length, pitch = c.uniform(-0.25, 0.1), c.uniform(0.03, 0.15), c.log(800, 3500)
    share = ((t[None] - at) / length).clip(0, 1)
    return torch.sin(3.1416 * share) * (0.5 * c.normal(len(t)) + torch.sin(6.2832 * pitch * (t[None] - at) * (1 + 0.3 * share)))


def _knocks(c: Chance, t: Tensor) -> Tensor:
    """Cups, a chair, a hand on the body: no strings. One to three of them."""
    out = torch.zeros(c.n, len(t), device=c.device)
    for share in (1.0, 0.4, 0.3):
        since = t[None] - c.uniform(-0.4, 0.7)
        body = torch.exp(-since.clip(min=0) / c.log(0.005, 0.08)) * (since >= 0)
        high = torch.where(c.uniform() < 0.7, 900.0, 5000.0)
        pitch = 70 * torch.exp(c.uniform() * torch.log(high / 70))
        out = out + c.happens(share) * body * (torch.sin(6.2832 * pitch * since) + c.uniform() * c.normal(len(t)))
    return out


def _room(c: Chance, f: Tensor) -> Tensor:
    """
    Spectrum of an impulse response with a decay of 0.1 to 1.1 s; a third of the rooms are nearly dry, a fourth are hard:
    bare walls, far from the microphone. Half of the tails are duller than what comes straight.
    """
    ti = torch.arange(REVERB, device=c.device) / RATE
    hard = c.happens(0.27)
    decay = torch.where(hard > 0, c.log(0.3, 1.1), c.log(0.1, 0.9))
    tail = c.normal(REVERB) * torch.exp(-6.9 * ti / decay) * (ti > c.uniform(0.001, 0.02))
    sparse = torch.where(c.uniform() < 0.5, 1.0, 0.06)
    tail = tail * (torch.rand(c.n, REVERB, generator=c.gen, device=c.device) < sparse)
    wet = torch.where(hard > 0, c.db(-12, -2), c.db(-20, -4)) * torch.maximum(hard, c.happens(0.55))
    tail = tail / (tail.pow(2).sum(1, keepdim=True).sqrt() + 1e-9) * wet
    # First reflections, single ones.
    at = (c.log(0.001, 0.03).expand(-1, 6) * torch.rand(c.n, 6, generator=c.gen, device=c.device) * RATE).long() + 16
    tail.scatter_add_(1, at, c.normal(6) * c.db(-26, -9) * c.happens(0.5))
    dull = 1 + torch.where(c.uniform() < 0.5, 1.0, 0.0) * f / c.log(800, 8000)
    return 1 + torch.fft.rfft(tail, FFT) / dull


def _microphone(c: Chance, f: Tensor) -> Tensor:
    """Tilt, four bumps, low and high cut, as a gain for each frequency."""
    octaves = torch.log2(f / 640)[None]
    db = (c.normal() * 1.2).clip(-3, 3) * octaves
    for _ in range(4):
        db = db + c.normal() * 3.5 * torch.exp(-(((octaves - c.uniform(-3, 3.4)) / c.uniform(0.25, 1.2)) ** 2) / 2)
    order = torch.where(c.uniform() < 0.5, 2.0, 4.0)
    low = (1 + (c.log(30, 260) / f) ** (2 * order)).sqrt()
    high = (1 + (f / c.log(2500, 12_000)) ** (2 * order)).sqrt()
    return 10 ** (db.clip(-20, 20) / 20) / low / high


def _levelled(c: Chance, x: Tensor) -> Tensor:
    """A recorder that sets its level by itself: what is louder than a threshold is held down, and comes back slowly."""
    ti = torch.arange(FFT, device=c.device) / RATE
    back = torch.fft.rfft(torch.exp(-ti / c.log(0.02, 0.4)) * (ti < 0.5), FFT)
    size = torch.fft.irfft(torch.fft.rfft(x.abs(), FFT) * back, FFT)[:, : x.shape[1]].clip(min=0)
    size = size / (size.amax(1, keepdim=True) + 1e-9)
    share = (size / c.log(0.05, 0.5)).clip(min=1)
    return torch.where(c.uniform() < 0.14, x * share ** -c.uniform(0.2, 0.8), x)


def microphone_sound(guitar: Tensor, band: Tensor, eighth: Tensor, studio: Studio) -> Tensor:
    """[n, WHOLE] of guitar and band → what is recorded of the patch [n, SAMPLES], peak about 1."""
    n, samples = guitar.shape
    device = guitar.device
    c = Chance(n, studio.gen, device)
    t = torch.arange(samples, device=device) / RATE + START
    x = guitar / (guitar.abs().amax(1, keepdim=True) + 1e-3)
    drive = c.log(1, 40)
    # A single valve bends one side more than the other.
    lean = c.uniform(0, 0.4) * c.happens(0.5)
    x = torch.where(c.uniform() < 0.2, (torch.tanh(x * drive + lean) - torch.tanh(lean)) / torch.tanh(drive), x)
    usual = _level(x).clip(min=0.03)
    beside = c.happens(0.22) * c.db(-34, -2) * _clicks(c, eighth, t)
    beside = beside + c.happens(0.12) * c.db(-38, -18) * _slides(c, t) + c.happens(0.1) * c.db(-30, -3) * _knocks(c, t)
    beside = beside + band * usual / 0.05
    f = torch.fft.rfftfreq(FFT, 1 / RATE, device=device).clip(min=20)
    spectrum = torch.fft.rfft(x + beside, FFT) * _room(c, f)

    pool = studio.pool

    def other() -> Tensor:
        at = (c.uniform()[:, 0] * (len(pool) - samples)).long()
        y = pool[at[:, None] + torch.arange(samples, device=device)]
        return y / (_level(y) + 1e-3)

    voices = other() + c.happens(0.4) * other()
    spectrum = spectrum + torch.fft.rfft(c.happens(0.2) * usual * c.db(-28, -6) * voices / (_level(voices) + 1e-3), FFT)
    sound = torch.fft.irfft(spectrum * _microphone(c, f), FFT)[:, :samples]
    hiss = torch.fft.irfft(torch.fft.rfft(c.normal(FFT)) / f ** c.uniform(0, 1), FFT)[:, :samples]
    loud = _level(sound).clip(min=1e-3)
    sound = sound + loud * c.db(-58, -16) * hiss / _level(hiss)
    mains = torch.where(c.uniform() < 0.5, 50.0, 60.0)
    hum = sum(torch.sin(6.2832 * mains * k * t[None] + 6.28 * c.uniform()) * c.uniform() for k in (1, 2, 3, 5))
    sound = sound + c.happens(0.1) * loud * c.db(-45, -18) * hum
    sound = _levelled(c, sound)[:, EARLIER:]
    t = t[EARLIER:]
    sound = sound / (sound.abs().amax(1, keepdim=True) + 1e-6)
    limit = c.uniform(0.35, 1.0)
    sound = torch.where(c.uniform() < 0.1, sound.clamp(-limit, limit), sound)
    swell = torch.exp(c.normal() * 0.5 * torch.tanh((t[None] - c.uniform(-0.05, 0.3)) * c.uniform(2, 15)))
    return torch.where(c.uniform() < 0.15, sound * swell, sound)


def sounded(plan: dict[str, Tensor], guitar: Tensor, studio: Studio) -> Tensor:
    """Plans with the number of each one's guitar → [n, SAMPLES]."""
    slots = plan["slots"]
    played = mix(studio.guitars, studio.onsets, guitar[:, None].expand(-1, slots.shape[1]), slots)
    instruments, events = _band_events(plan["band"])
    band = mix(studio.band, studio.band_onsets, instruments, events) * 0.25
    return microphone_sound(played, band, plan["eighth"], studio)
