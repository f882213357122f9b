"""Guitars that nobody built: a string model with random parameters, on the accelerator.

Every partial decays by itself and twice (two polarisations); the place of the pick and of a pickup comb the
spectrum; bodies are bumps; picks scratch and thump; some go through a driven amplifier.
"""

from __future__ import annotations

import numpy as np
import torch
from torch import Tensor

from banks import KEEP, PITCHES, RATE

PARTIALS = 40


def string_guitars(count: int, seed: int, device: torch.device) -> Tensor:
    """`count` guitars as int16 [count, rows, KEEP]: soft rows first, then hard ones."""
    r = np.random.default_rng(seed)
    gen = torch.Generator(device=device)
    gen.manual_seed(seed)
    return torch.stack([_guitar(r, gen, device) for _ in range(count)])


def _guitar(r: np.random.Generator, gen: torch.Generator, device: torch.device) -> Tensor:
    rows = 2 * len(PITCHES)
    rand = lambda *size: torch.rand(*size, generator=gen, device=device)  # noqa: E731
    normal = lambda *size: torch.randn(*size, generator=gen, device=device)  # noqa: E731
    log = lambda low, high: float(np.exp(r.uniform(np.log(low), np.log(high))))  # noqa: E731
    t = torch.arange(KEEP, device=device, dtype=torch.float32) / RATE
    m = torch.tensor(PITCHES, device=device, dtype=torch.float32).repeat(2)
    soft = (torch.arange(rows, device=device) < len(PITCHES)).float()
    f0 = 440 * 2 ** ((m - 69) / 12)

    pick = (r.uniform(0.07, 0.4) * torch.exp(0.25 * normal(rows))).clip(0.03, 0.5)
    pickup = r.uniform(0.05, 0.35) if r.random() < 0.45 else None
    stiffness = log(5e-6, 2.5e-4) * 2 ** ((m - 45) / 12 * r.uniform(0, 1))
    t60 = log(1.2, 8) * 2 ** (-(m - 52) / r.uniform(20, 44)) * torch.exp(0.15 * normal(rows))
    damping, exponent = log(0.01, 0.35), r.uniform(0.8, 2.0)
    slope = r.uniform(0.2, 1.5)
    cut = log(900, 8000) * torch.exp(-soft * r.uniform(0.1, 0.8) + 0.1 * normal(rows))
    rise = log(0.0003, 0.012) if r.random() < 0.85 else log(0.008, 0.04)
    beat, second = r.uniform(0, 1.6), r.uniform(0, 0.7)
    rough = r.uniform(0, 4)
    bumps = [(log(80, 5000), r.uniform(0.05, 0.5), r.normal(0, 5)) for _ in range(r.integers(0, 8))]

    y = torch.zeros(rows, KEEP, device=device)
    for h in range(1, PARTIALS + 1):
        f = f0 * h * torch.sqrt(1 + stiffness * h * h)
        audible = (f < 7700).float()
        if not bool(audible.any()):
            break
        a = h**-slope * torch.sin(np.pi * h * pick).abs().clip(0.02) / (1 + (f / cut) ** 2)
        if pickup is not None:
            a = a * max(0.03, abs(float(np.sin(np.pi * h * pickup))))
        decibels = rough * normal(rows)
        for centre, width, height in bumps:
            decibels = decibels + height * torch.exp(-((torch.log2(f / centre) / width) ** 2) / 2)
        a = a * 10 ** (decibels / 20) * audible
        decay = 6.908 / t60 * (1 + damping * (h - 1) ** exponent)
        phase = 6.2832 * rand(rows)
        for detune, share, faster in ((0.0, 1.0, 1.0), (beat, second, r.uniform(1.2, 3))):
            if share < 0.02:
                continue
            w = 6.2831853 * f * 2 ** (detune * (0.5 + rand(rows)) / 1200)
            y += (a * share)[:, None] * torch.exp(-(decay * faster)[:, None] * t) * torch.sin(w[:, None] * t + phase[:, None])
    y *= 1 - torch.exp(-t / (rise * torch.exp(0.25 * normal(rows, 1))))
    level = y[:, :4000].pow(2).mean(1, keepdim=True).sqrt() + 1e-6
    if r.random() < 0.6:
        thump = torch.exp(-t / r.uniform(0.015, 0.06)) * torch.sin(6.2832 * r.uniform(85, 240) * t)
        y += level * r.uniform(0, 0.6) * thump * (0.5 + rand(rows, 1))
    if r.random() < 0.8:
        noise = normal(rows, KEEP) if r.random() < 0.5 else torch.diff(normal(rows, KEEP + 1))
        y += level * r.uniform(0, 1.2) * noise * torch.exp(-t / log(0.0015, 0.012)) * (1 - torch.exp(-t / (rise * 0.3 + 1e-4)))
    if r.random() < 0.3:
        if r.random() < 0.35:
            # The pick scrapes the string a little before it lets it go; an amplifier makes that heard.
            scrape = normal(rows, KEEP) * torch.exp(-t / log(0.001, 0.006))
            y = scrape * level * r.uniform(0.05, 0.6) + torch.nn.functional.pad(y, (int(r.integers(24, 190)), 0))[:, :KEEP]
        if r.random() < 0.3:
            y = y * (1 - r.uniform(0.3, 0.9) * torch.exp(-t / log(0.004, 0.02)))
        y = torch.tanh(y / level * log(1, 40) * 0.5) * level
    y = torch.nn.functional.pad(y, (int(r.integers(0, 160)), 0))[:, :KEEP]
    evened = 0.10 * 2 ** (-(m - 52)[:, None] / r.uniform(24, 80)) * torch.exp(0.1 * normal(rows, 1)) * (1 - 0.3 * soft[:, None])
    y = y / (y[:, :8000].pow(2).mean(1, keepdim=True).sqrt() + 1e-6) * evened
    return (y.clip(-0.99, 0.99) * 32_767).to(torch.int16)


def altered(guitars: Tensor, seed: int) -> Tensor:
    """
    [n, 2·P, KEEP] int16 → as many guitars again that nobody sampled: each with another attack (up to twice as hard, or
    swelling), another decay and body, and some through a driven amplifier, string by string.
    """
    r = np.random.default_rng(seed)
    gen = torch.Generator(device=guitars.device)
    gen.manual_seed(seed)
    log = lambda low, high: float(np.exp(r.uniform(np.log(low), np.log(high))))  # noqa: E731
    begins = onsets(guitars)
    t = torch.arange(KEEP, device=guitars.device, dtype=torch.float32)
    f = torch.fft.rfftfreq(KEEP, 1 / RATE, device=guitars.device).clip(min=40)
    out = torch.empty_like(guitars)
    for n in range(len(guitars)):
        x = guitars[n].float() / 32_767
        peak = x.abs().amax(1, keepdim=True) + 1e-6
        since = (t[None] - begins[n][:, None].float()).clip(min=0) / RATE
        if r.random() < 0.4:
            drive = log(2, 30)
            x = torch.tanh(x / peak * drive) / np.tanh(drive)
        x = x * (1 + r.uniform(-0.7, 1.0) * torch.exp(-since / log(0.004, 0.05))) * torch.exp(-since / log(0.4, 8))
        db = sum(r.normal(0, 4) * torch.exp(-((torch.log2(f / log(80, 5000)) / r.uniform(0.4, 1.2)) ** 2) / 2) for _ in range(5))
        x = torch.fft.irfft(torch.fft.rfft(x) * 10 ** ((db + r.normal(0, 1.5) * torch.log2(f / 640)).clip(-18, 18) / 20), KEEP)
        x = x / (x.abs().amax(1, keepdim=True) + 1e-6) * peak * torch.exp(0.1 * torch.randn(peak.shape, generator=gen, device=x.device))
        out[n] = (x.clip(-0.99, 0.99) * 32_767).to(torch.int16)
    return out


def with_buzz(guitars: Tensor, seed: int) -> Tensor:
    """[n, 2·P, KEEP] int16 → [n, 3·P, KEEP]: the hard notes again, rattling against a fret as they swing out."""
    count, rows, _ = guitars.shape
    gen = torch.Generator(device=guitars.device)
    gen.manual_seed(seed)
    out = torch.empty(count, rows // 2, KEEP, dtype=torch.int16, device=guitars.device)
    for n in range(count):
        x = guitars[n, rows // 2 :].float() / 32_767
        peak = x.abs().amax(1, keepdim=True) + 1e-6
        limit = peak * (0.15 + 0.5 * torch.rand(1, generator=gen, device=x.device))
        over = (x - limit).clip(min=0)
        rattle = torch.nn.functional.pad(torch.diff(torch.diff(over)), (2, 0))
        noise = torch.randn(x.shape, generator=gen, device=x.device)
        loud = 0.5 + 2.5 * torch.rand(1, generator=gen, device=x.device)
        y = torch.minimum(x, limit) + loud * rattle * (1 + 0.5 * noise)
        out[n] = (y / (y.abs().amax(1, keepdim=True) + 1e-6) * peak * 32_000).to(torch.int16)
    return torch.cat([guitars, out], 1)


def onsets(guitars: Tensor) -> Tensor:
    """
    Samples before each note begins, int32 [n, rows]: the middle of the first 1 ms window that reaches −20 dB
    of the loudest one among the first 100 ms of sound. A lone note before silence needs no detector.
    """
    found = []
    for part in guitars.reshape(-1, guitars.shape[-1]).split(2048):
        head = (part[:, None, :4800].float() / 32_767) ** 2
        energy = torch.nn.functional.avg_pool1d(head, 16, 4)[:, 0]
        stirs = (energy > 6e-11).float().argmax(1)
        k = torch.arange(energy.shape[1], device=part.device)
        early = (k >= stirs[:, None]) & (k < stirs[:, None] + 400)
        top = torch.where(early, energy, torch.zeros_like(energy)).amax(1)
        found.append((energy >= 0.01 * top[:, None]).float().argmax(1) * 4 + 8)
    return torch.cat(found).reshape(guitars.shape[:2]).to(torch.int32)
