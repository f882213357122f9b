"""Makes changes, trains the network on them and writes its weights, a golden example and a validation file.

usage: python3 train.py FOLDER OUT [--examples N] [--seconds S] … ; FOLDER holds train.bank, other.bank, and the two noise files.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from multiprocessing import get_context
from multiprocessing.pool import Pool
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as F
from torch import Tensor

import banks
import features
import hands
import report
import rooms
import strings
from network import Ear, Size, multiply_adds

CHUNK = 2048
RIGHT = hands.GLOBALS.index("right")
BEGAN = time.time()


def say(*words: object) -> None:
    print(f"{time.time() - BEGAN:6.1f} s", *words, flush=True)


@dataclass
class Where:
    """The guitars of a part, and which of them are sampled ones, other plucked strings and string models."""

    studio: rooms.Studio
    sampled: int
    plucked: int

    def pick(self, r: np.random.Generator, share: float) -> np.ndarray:
        """One guitar for each change of a chunk: `share` on sampled guitars, a third of that on other plucked strings."""
        u = r.random(CHUNK)
        first = r.integers(0, max(1, self.sampled), CHUNK)
        other = r.integers(self.sampled, max(self.sampled + 1, self.sampled + self.plucked), CHUNK)
        model = r.integers(self.sampled + self.plucked, len(self.studio.guitars), CHUNK)
        extra = share / 3 if self.plucked else 0.0
        return np.where(u < share, first, np.where(u < share + extra, other, model))


def studio(folder: Path, part: str, models: int, seed: int, device: torch.device) -> Where:
    """Sampled guitars first, then other plucked strings (training only), then string models."""
    _, sampled = banks.read_bank(str(folder / f"{part}.bank"))
    plucked = banks.read_bank(str(folder / "plucked.bank"))[1] if part == "train" else sampled[:0]
    real = np.concatenate([sampled, plucked])
    guitars = torch.cat([torch.as_tensor(real.copy()).to(device), strings.string_guitars(models, seed, device)])
    guitars = strings.with_buzz(guitars, seed + 1)
    _, band = banks.read_bank(str(folder / f"noise-{part}.npz.band"))
    band_notes = torch.as_tensor(band.copy()).to(device)
    pool = torch.as_tensor(np.load(folder / f"noise-{part}.npz")["pool"].astype(np.float32) / 32_767).to(device)
    gen = torch.Generator(device=device)
    gen.manual_seed(seed + 2)
    made = rooms.Studio(guitars, strings.onsets(guitars), band_notes, strings.onsets(band_notes), pool, gen)
    return Where(made, len(sampled), len(plucked))


Data = dict[str, Tensor]
KEPT = ("struck", "score", "facts", "onset", "span", "seen", "kind", "lead")


class Supply:
    """Changes drawn in other processes, in the order of their seeds, and sounded here a chunk at a time."""

    def __init__(self, pool: Pool, seed: int, chunks: int, where: Where, share: float) -> None:
        self.where, self.share = where, share
        self.drawn = _ahead(pool, [(seed * 1_000_003 + i, CHUNK) for i in range(chunks)])
        self.r = np.random.default_rng(seed)
        self.sound: Tensor | None = None
        """Of the chunk that came last."""

    def next(self) -> Data:
        plan = next(self.drawn)
        device = self.where.studio.guitars.device
        guitar = self.where.pick(self.r, self.share)
        if device.type == "cuda":
            placed = {k: torch.from_numpy(v).pin_memory().to(device, non_blocking=True) for k, v in plan.items()}
        else:
            placed = {k: torch.from_numpy(v) for k, v in plan.items()}
        placed["guitar"] = torch.as_tensor(guitar).to(device)
        self.sound = rooms.sounded(placed, placed["guitar"], self.where.studio)
        slow, fast = features.features(self.sound, placed["seen"])
        part = {k: placed[k] for k in (*KEPT, "guitar")}
        part["slow"], part["fast"] = ((v * 255).round().to(torch.uint8) for v in (slow, fast))
        return part


def _ahead(pool: Pool, seeds: list[tuple[int, int]]) -> Iterator[dict[str, np.ndarray]]:
    """A few chunks more than there are processes are under way at any time."""
    waiting = [pool.apply_async(hands.examples, (s,)) for s in seeds[:40]]
    for i in range(len(seeds)):
        yield waiting[i].get()
        waiting[i] = None  # type: ignore[call-overload]
        if i + 40 < len(seeds):
            waiting.append(pool.apply_async(hands.examples, (seeds[i + 40],)))


class Store:
    """The newest `room` changes; the oldest give way. Features are kept as bytes."""

    def __init__(self, room: int) -> None:
        self.room = -(-room // CHUNK) * CHUNK
        self.data: Data = {}
        self.came = 0

    def add(self, part: Data) -> None:
        at = self.came % self.room
        for k, v in part.items():
            if k not in self.data:
                self.data[k] = torch.empty(self.room, *v.shape[1:], dtype=v.dtype, device=v.device)
            self.data[k][at : at + CHUNK] = v
        self.came += CHUNK

    @property
    def filled(self) -> int:
        return min(self.came, self.room)

    def whole(self) -> Data:
        return {k: v[: self.filled] for k, v in self.data.items()}


def inputs(data: Data, i: Tensor) -> tuple[Tensor, Tensor, Tensor, Tensor]:
    frames = torch.arange(features.FRAMES, device=i.device) * 0.02 + features.FIRST
    kind = torch.bfloat16 if i.device.type == "cuda" else torch.float32
    mask = (frames[None] < data["seen"][i, None]).to(kind)
    return data["slow"][i].to(kind) / 255, data["fast"][i].to(kind) / 255, data["score"][i].to(kind), mask


NEAR = 3
"""Fast frames to each side of the likeliest one that share in the moment, as in the program."""


def losses(data: Data, i: Tensor, out: tuple[Tensor, ...]) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
    """
    Pitches (those due weigh most), facts, the fact "right", the beginning (a bell of 3 ms around the truth), and how
    far the moment that the program would tell lies from the truth, in fast frames.
    """
    pitch, facts, when = (v.float() for v in out)
    score, struck = data["score"][i].float(), data["struck"][i].float().transpose(1, 2)
    weight = 1 + 6 * score[:, 0] + 2 * score[:, 1] + 4 * struck[:, :, 0]
    each = F.binary_cross_entropy_with_logits(pitch, struck, reduction="none")
    of_pitches = (each[:, :, 0] * weight).mean() + 0.2 * (each[:, :, 1] * weight).mean()
    of_each_fact = F.binary_cross_entropy_with_logits(facts, data["facts"][i].float(), reduction="none").mean(0)
    onset = data["onset"][i]
    k = torch.arange(features.FAST_FRAMES, device=i.device)
    at = k * 0.004 + features.FAST_FIRST
    bell = torch.exp(-(((at[None] - onset[:, None]) / 0.003) ** 2) / 2)
    never = (onset > 5).float()[:, None]
    target = torch.cat([bell / (bell.sum(1, keepdim=True) + 1e-6) * (1 - never), never], 1)
    of_moment = -(target * when.log_softmax(1)).sum(1).mean()
    frames = when[:, :-1]
    near = ((k[None] - frames.argmax(1, keepdim=True)).abs() <= NEAR).float()
    share = (frames - frames.amax(1, keepdim=True)).exp() * near
    told = (share * at).sum(1) / share.sum(1)
    off = (((told - onset) / 0.004).abs().clip(max=6) * (1 - never[:, 0])).mean()
    return of_pitches, of_each_fact.mean(), of_each_fact[RIGHT], of_moment, off


WORTH = (1.0, 0.5, 0.3, 0.2, 0.08)
"""Of each loss."""


@dataclass(frozen=True)
class Lesson:
    seconds: float
    rate: float
    batch: int
    compiled: bool
    steps_per_chunk: int
    """New changes come in after so many steps; 0: none come any more."""


def trained(store: Store, supply: Supply | None, size: Size, lesson: Lesson, begin: Path | None) -> Ear:
    """AdamW under a cosine over the given time; the average of the weights is what is kept."""
    data = store.data
    device = data["slow"].device
    net = Ear(size).to(device)
    if begin is not None:
        went_on(net, read_weights(begin))
    forward = torch.compile(net) if lesson.compiled else net
    say("weights", sum(p.numel() for p in net.parameters()), "multiply-adds", multiply_adds(size))
    wide = [p for p in net.parameters() if p.ndim > 1]
    thin = [p for p in net.parameters() if p.ndim <= 1]
    optimiser = torch.optim.AdamW([{"params": wide, "weight_decay": 0.02}, {"params": thin, "weight_decay": 0.0}],
                                  lr=lesson.rate, betas=(0.9, 0.98), **({"fused": True} if device.type == "cuda" else {}))  # fmt: skip
    weights = list(net.parameters())
    average = [p.detach().clone() for p in weights]
    step, start, came = 0, time.time(), store.came
    running: list[Tensor] = []
    while (share := (time.time() - start) / lesson.seconds) < 1 or step == 0:
        for group in optimiser.param_groups:
            group["lr"] = lesson.rate * min(1, (step + 1) / 300) * (0.502 + 0.498 * float(np.cos(np.pi * min(1, share))))
        if supply is not None and lesson.steps_per_chunk and step % lesson.steps_per_chunk == 0:
            with torch.no_grad():
                store.add(supply.next())
        i = torch.randint(store.filled, (lesson.batch,), device=device)
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            out = forward(*inputs(data, i))
        parts = losses(data, i, out)
        loss = sum(w * part for w, part in zip(WORTH, parts))
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        if device.type == "cuda" and step % 20 == 0:
            torch.cuda.synchronize()  # the clock must not run ahead of the work
        with torch.no_grad():
            keep = min(0.999, step / (step + 20))
            torch._foreach_mul_(average, keep)
            torch._foreach_add_(average, weights, alpha=1 - keep)
        if step % 25 == 0:
            running.append(torch.stack([part.detach() for part in parts]))
        if step % 1000 == 0 or step == 100:
            means = torch.stack(running).mean(0).tolist()
            say(f"step {step}, {step * lesson.batch / 1e6:.1f} M looked at, {store.came / 1e6:.1f} M made, loss", " ".join(f"{v:.4f}" for v in means))
            running = []
    with torch.no_grad():
        for p, kept in zip(weights, average):
            p.copy_(kept)
    say(f"trained {step} steps of {lesson.batch} on {store.came - came + min(came, store.room)} changes")
    return net.eval()


def went_on(net: Ear, before: dict[str, Tensor]) -> None:
    """Takes over all weights that have their place; new layers add nothing at first, and what has grown nearly nothing."""
    own = net.state_dict()
    for name, value in own.items():
        if name not in before and name.endswith(("out.weight", "out.bias", "down.weight", "down.bias")):
            value.zero_()
    for name, value in before.items():
        into = own[name]
        if into.shape != value.shape:
            into.mul_(0.1)
        into[tuple(slice(0, n) for n in value.shape)] = value.to(into.device)
    net.load_state_dict(own)


@torch.no_grad()
def judged(net: Ear, data: Data) -> dict[str, np.ndarray]:
    outs = []
    for i in torch.arange(len(data["onset"]), device=data["onset"].device).split(2048):
        outs.append([v.float().cpu().numpy() for v in net(*(v.float() for v in inputs(data, i)))])
    pitch, facts, when = (np.concatenate(v) for v in zip(*outs))
    return {"pitch": pitch.astype(np.float16), "facts_out": facts, "when": when.astype(np.float16)}


def write_weights(net: Ear, path: Path) -> None:
    """A line of JSON (names, shapes, scales), then 16-bit whole numbers, little-endian, in that order."""
    entries, data = [], b""
    for name, value in net.state_dict().items():
        v = value.cpu().numpy().astype(np.float64)
        scale = float(np.abs(v).max() / 32_767) or 1.0
        entries.append({"name": name, "shape": list(v.shape), "scale": scale})
        data += np.round(v / scale).astype("<i2").tobytes()
    size = {k: v for k, v in asdict(net.size).items() if k != "blind"}
    path.write_bytes(json.dumps({"size": size, "tensors": entries}).encode() + b"\n" + data)


def read_weights(path: Path) -> dict[str, Tensor]:
    """What `write_weights` wrote."""
    head, data = path.read_bytes().split(b"\n", 1)
    values = np.frombuffer(data, "<i2")
    out, at = {}, 0
    for entry in json.loads(head)["tensors"]:
        count = int(np.prod(entry["shape"]))
        out[entry["name"]] = torch.as_tensor(values[at : at + count].astype(np.float32) * entry["scale"]).reshape(entry["shape"])
        at += count
    return out


@torch.no_grad()
def write_golden(net: Ear, sound: np.ndarray, data: Data, path: Path) -> None:
    """A few changes with everything in between, so that another implementation can be held against this one."""
    cpu = Ear(net.size)
    cpu.load_state_dict({k: v.cpu() for k, v in net.state_dict().items()})
    whole = np.round(sound / np.abs(sound).max(1, keepdims=True) * 30_000).astype("<i2")
    n = len(sound)
    slow, fast = features.features(torch.as_tensor(whole.astype(np.float32) / 32_768), data["seen"][:n].cpu())
    mask = inputs({k: v[:n].cpu() for k, v in data.items()}, torch.arange(n))[3]
    pitch, facts, when = cpu.eval()(slow, fast, data["score"][:n].float().cpu(), mask)
    np.savez_compressed(path, sound=whole, slow=slow.numpy(), fast=fast.numpy(), score=data["score"][:n].cpu().numpy(),
                        seen=data["seen"][:n].cpu().numpy(), onset=data["onset"][:n].cpu().numpy(), pitch=pitch.numpy(),
                        facts=facts.numpy(), when=when.numpy())  # fmt: skip


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("folder", type=Path)
    ask.add_argument("out", type=Path)
    ask.add_argument("--room", type=int, default=2_500_000, help="changes kept at a time")
    ask.add_argument("--first", type=int, default=160_000, help="changes made before training begins")
    ask.add_argument("--validation", type=int, default=40_000)
    ask.add_argument("--until", type=float, default=1e9, help="seconds after the start at which all has to be over")
    ask.add_argument("--models", type=int, default=400, help="string models beside the sampled guitars")
    ask.add_argument("--share", type=float, default=0.36, help="of changes on sampled guitars")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--batch", type=int, default=2048)
    ask.add_argument("--rate", type=float, default=2.5e-3)
    ask.add_argument("--steps-per-chunk", type=int, default=3)
    ask.add_argument("--compile", action="store_true")
    ask.add_argument("--sizes", default="64x3=400", help="WIDTHxLAYERS[xoONSET][xblind][xfew]=SECONDS,… trained one after the other")
    ask.add_argument("--start", type=Path, help="weights from which the first size goes on")
    ask.add_argument("--workers", type=int, default=15)
    a = ask.parse_args()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(a.seed)
    if device.type == "cuda":
        torch.backends.cuda.matmul.allow_tf32 = True
        torch.backends.cudnn.allow_tf32 = True
    a.out.mkdir(parents=True, exist_ok=True)
    with get_context("spawn").Pool(a.workers) as pool, torch.no_grad():
        there = studio(a.folder, "other", max(2, a.models // 12), a.seed + 90_001, device)
        chunks = -(-a.validation // CHUNK)
        supply = Supply(pool, a.seed + 7_001, chunks, there, 0.5)
        kept = Store(a.validation)
        kept.add(supply.next())
        golden = supply.sound[:6].cpu().numpy()
        for _ in range(chunks - 1):
            kept.add(supply.next())
        validation = kept.whole()
        say("validation made")
        here = studio(a.folder, "train", a.models, a.seed + 11, device)
        say(f"{here.sampled} sampled guitars, {here.plucked} other plucked strings and {a.models} string models")
        supply = Supply(pool, a.seed, 20_000, here, a.share)
        store = Store(a.room)
        while store.came < a.first:
            store.add(supply.next())
        say("first changes made", {k: tuple(v.shape) for k, v in store.data.items() if k in ("slow", "fast")})
        with torch.enable_grad():
            for n, (text, length) in enumerate(entry.split("=") for entry in a.sizes.split(",")):
                lesson = Lesson(float(length), a.rate, a.batch, a.compile, a.steps_per_chunk)
                course(a, text, n == 0, lesson, store, supply, validation, golden, there)
        pool.terminate()
    say("done")


def course(a: argparse.Namespace, text: str, first: bool, lesson: Lesson, store: Store, supply: Supply,
           validation: Data, golden: np.ndarray, there: Where) -> None:  # fmt: skip
    """One size trained, written and judged. Every one after the first gets no new changes: `xfew` the eighth part of them."""
    if not first:
        lesson = replace(lesson, steps_per_chunk=0)
    lesson = replace(lesson, seconds=min(lesson.seconds, a.until - (time.time() - BEGAN)))
    width, layers, *rest = text.split("x")
    channels, onset = SHAPES[int(width)]
    onset = next((int(word[1:]) for word in rest if word[0] == "o"), onset)
    size = Size(int(width), int(layers), channels=channels, onset=onset, blind="blind" in rest)
    few = Store(store.room)
    few.data, few.came = store.data, store.filled // 8 if "few" in rest else store.filled
    net = trained(store if first else few, supply, size, lesson, a.start if first else None)
    out = judged(net, validation)
    facts = {k: validation[k].cpu().numpy() for k in (*KEPT, "guitar")}
    facts["sampled"] = (facts["guitar"] < there.sampled).astype(np.uint8)
    np.savez_compressed(a.out / f"validation-{text}.npz", **out, **facts)
    write_weights(net, a.out / f"weights-{text}.bin")
    write_golden(net, golden, validation, a.out / f"golden-{text}.npz")
    report.print_report(str(a.out / f"validation-{text}.npz"))


SHAPES = {32: ((16, 24, 32), 24), 48: ((24, 36, 48), 32), 64: ((32, 48, 64), 32), 80: ((32, 56, 80), 40), 96: ((40, 64, 96), 48)}
"""By width: channels of the convolutions over time, and of the part that finds the beginning."""


if __name__ == "__main__":
    main()
