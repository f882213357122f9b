"""Notes of a bank added up where events ask for them: one kernel on an accelerator, plain tensors elsewhere."""

from __future__ import annotations

import torch
from torch import Tensor

from banks import KEEP, RATE
from hands import AT, COLUMNS, DAMP, END, FALL, GAIN, RATIO, RISE, ROW, SKIP, START, WHOLE

try:
    import triton
    import triton.language as tl
except ImportError:  # no accelerator, no kernel
    triton = None

BLOCK = 1024
TAIL = 1500
"""Samples over which a note's cut end fades."""


def mix(bank: Tensor, onsets: Tensor, instruments: Tensor, events: Tensor) -> Tensor:
    """Adds the events of each example (real ones first): events [n, k, COLUMNS], instruments [n, k] → [n, WHOLE]."""
    row = instruments.long() * bank.shape[1] + events[..., ROW].clip(min=0).long()
    begin = onsets.reshape(-1)[row].float()
    count = (events[..., ROW] >= 0).sum(1)
    if triton is not None and bank.device.type == "cuda":
        return fused(bank, row, begin, events, count)
    out = torch.zeros(len(events), WHOLE, device=bank.device)
    for k in range(int(count.max())):
        out = _with(out, bank.reshape(-1), row[:, k], begin[:, k], events[:, k])
    return out


def _with(out: Tensor, notes: Tensor, row: Tensor, begin: Tensor, event: Tensor) -> Tensor:
    """`out` [n, WHOLE] and one event of each example; `row` counts through the bank, `begin` is that note's onset."""
    since = torch.arange(WHOLE, device=out.device, dtype=torch.float32)[None] - ((event[:, AT] - START) * RATE)[:, None]
    place = since * event[:, RATIO, None] + (begin + event[:, SKIP] * RATE)[:, None]
    whole = place.floor()
    index = whole.long()
    inside = (index >= 0) & (index + 1 < KEEP) & (event[:, ROW] >= 0)[:, None]
    at = row[:, None] * KEEP + index.clip(0, KEEP - 2)
    low, high = notes[at].float(), notes[at + 1].float()
    after = (since - ((event[:, END] - event[:, AT]) * RATE)[:, None]).clip(min=0)
    fall = torch.exp(-after / (event[:, FALL].clip(min=1e-3) * RATE)[:, None])
    tail = ((KEEP - index) / TAIL).clip(0, 1)
    rise = event[:, RISE, None] * RATE
    attack = torch.where(rise > 0, (since / rise.clip(min=1)).clip(0, 1), torch.ones_like(since))
    damp = event[:, DAMP, None] * RATE
    fall = fall * torch.where(damp > 0, torch.exp(-since.clip(min=0) / damp.clip(min=1)), torch.ones_like(since))
    return out + event[:, GAIN, None] * fall * tail * attack * inside * (low + (place - whole) * (high - low)) / 32_767


def fused(bank: Tensor, row: Tensor, begin: Tensor, events: Tensor, count: Tensor) -> Tensor:
    """As `_with`, over all events at once: every sample is written once."""
    n, most = row.shape
    out = torch.empty(n, WHOLE, device=bank.device)
    _kernel[(n, -(-WHOLE // BLOCK))](
        out, bank, row.contiguous(), begin.contiguous(), events.contiguous(), count.to(torch.int32), most,
        SAMPLES=WHOLE, KEEP=KEEP, COLUMNS=COLUMNS, RATE=RATE, BEGIN=START, TAIL=TAIL, BLOCK=BLOCK,
        AT=AT, RATIO=RATIO, GAIN=GAIN, END=END, FALL=FALL, SKIP=SKIP, RISE=RISE, DAMP=DAMP,
    )  # fmt: skip
    return out


if triton is not None:

    @triton.jit
    def _kernel(
        out, bank, row, begin, events, count, most,
        SAMPLES: tl.constexpr, KEEP: tl.constexpr, COLUMNS: tl.constexpr, RATE: tl.constexpr, BEGIN: tl.constexpr,
        TAIL: tl.constexpr, BLOCK: tl.constexpr, AT: tl.constexpr, RATIO: tl.constexpr, GAIN: tl.constexpr,
        END: tl.constexpr, FALL: tl.constexpr, SKIP: tl.constexpr, RISE: tl.constexpr, DAMP: tl.constexpr,
    ):  # fmt: skip
        n = tl.program_id(0).to(tl.int64)
        t = tl.program_id(1) * BLOCK + tl.arange(0, BLOCK)
        total = tl.zeros((BLOCK,), tl.float32)
        for k in range(tl.load(count + n)):
            e = events + (n * most + k) * COLUMNS
            at = tl.load(e + AT)
            since = t.to(tl.float32) - (at - BEGIN) * RATE
            place = since * tl.load(e + RATIO) + tl.load(begin + n * most + k) + tl.load(e + SKIP) * RATE
            whole = tl.floor(place)
            index = whole.to(tl.int32)
            inside = (index >= 0) & (index + 1 < KEEP)
            note = bank + tl.load(row + n * most + k) * KEEP + index
            low = tl.load(note, mask=inside, other=0).to(tl.float32)
            high = tl.load(note + 1, mask=inside, other=0).to(tl.float32)
            after = tl.maximum(since - (tl.load(e + END) - at) * RATE, 0.0)
            gain = tl.exp(-after / (tl.maximum(tl.load(e + FALL), 1e-3) * RATE))
            gain *= tl.minimum(tl.maximum((KEEP - whole) / TAIL, 0.0), 1.0)
            rise = tl.load(e + RISE) * RATE
            gain *= tl.where(rise > 0, tl.minimum(tl.maximum(since / tl.maximum(rise, 1.0), 0.0), 1.0), 1.0)
            damp = tl.load(e + DAMP) * RATE
            gain *= tl.where(damp > 0, tl.exp(-tl.maximum(since, 0.0) / tl.maximum(damp, 1.0)), 1.0)
            total += tl.where(inside, tl.load(e + GAIN) * gain * (low + (place - whole) * (high - low)), 0.0)
        tl.store(out + n * SAMPLES + t, total / 32_767, mask=t < SAMPLES)
