"""Makes changes, trains the network on them and writes its weights, a golden example and a validation file.

usage: python3 train.py FOLDER OUT [--examples N] [--seconds S] … ; FOLDER holds train.bank, other.bank, and the two noise files.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import deque
from dataclasses import asdict, dataclass, replace
from multiprocessing import get_context
from multiprocessing.pool import AsyncResult, Pool
from pathlib import Path
from typing import Any

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
from company import Company
from network import FRAMES_3, Ear, Size, multiply_adds

CHUNK = 2048
RIGHT = hands.GLOBALS.index("right")
BEGAN = time.time()


COMPANY = Company()


def say(*words: object) -> None:
    who = [f"[{COMPANY.rank}]"] if COMPANY.count > 1 else []
    print(f"{time.time() - BEGAN:6.1f} s", *who, *words, flush=True)


@dataclass
class Where:
    """The guitars of a part: sampled ones (in training as they are and altered), other plucked strings, string models."""

    studio: rooms.Studio
    sampled: int
    plucked: int

    def pick(self, r: np.random.Generator, share: float) -> np.ndarray:
        """One guitar for each change of a chunk: `share` on sampled guitars, a fourth of that on other plucked strings."""
        u = r.random(CHUNK)
        first = r.integers(0, max(1, self.sampled), CHUNK)
        other = r.integers(self.sampled, max(self.sampled + 1, self.sampled + self.plucked), CHUNK)
        model = r.integers(self.sampled + self.plucked, len(self.studio.guitars), CHUNK)
        extra = share / 4 if self.plucked else 0.0
        return np.where(u < share, first, np.where(u < share + extra, other, model))


def studio(folder: Path, part: str, models: int, seed: int, device: torch.device) -> Where:
    """Sampled guitars first, then other plucked strings (training only), then string models."""
    _, sampled = banks.read_bank(str(folder / f"{part}.bank"))
    plucked = banks.read_bank(str(folder / "plucked.bank"))[1] if part == "train" else sampled[:0]
    real = torch.as_tensor(sampled.copy()).to(device)
    if part == "train":
        real = torch.cat([real, strings.altered(real, seed + 3), strings.altered(real, seed + 4)])
    others = torch.as_tensor(plucked.copy()).to(device)
    guitars = torch.cat([real, others, strings.string_guitars(models, seed, device)])
    guitars = strings.with_buzz(guitars, seed + 1)
    _, band = banks.read_bank(str(folder / f"noise-{part}.npz.band"))
    band_notes = torch.as_tensor(band.copy()).to(device)
    pool = torch.as_tensor(np.load(folder / f"noise-{part}.npz")["pool"].astype(np.float32) / 32_767).to(device)
    gen = torch.Generator(device=device)
    gen.manual_seed(seed + 2)
    made = rooms.Studio(guitars, strings.onsets(guitars), band_notes, strings.onsets(band_notes), pool, gen)
    return Where(made, len(real), len(plucked))


Data = dict[str, Tensor]
KEPT = ("struck", "score", "facts", "onset", "span", "seen", "kind", "lead")


class Supply:
    """Changes drawn in other processes, in the order of their seeds, and sounded here a chunk at a time."""

    def __init__(self, pool: Pool, seed: int, chunks: int, share: float) -> None:
        self.share = share
        self.where: Where | None = None
        """To be set before anything is sounded: drawing begins without it."""
        self.pool = pool
        self.seeds = [(seed * 1_000_003 + i, CHUNK) for i in range(chunks)]
        self.waiting: deque[AsyncResult[Data]] = deque()
        self._ask()
        self.r = np.random.default_rng(seed)
        self.sound: Tensor | None = None
        """Of the chunk that came last."""

    def _ask(self) -> None:
        while self.seeds and len(self.waiting) < AHEAD:
            self.waiting.append(self.pool.apply_async(hands.examples, (self.seeds.pop(0),)))

    def ready(self) -> bool:
        return bool(self.waiting) and self.waiting[0].ready()

    def next(self) -> Data:
        plan = self.waiting.popleft().get()
        self._ask()
        assert self.where is not None
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


AHEAD = 110
"""Chunks drawn or being drawn at any time."""


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


SHOWN = ("slow", "fast", "score", "seen")
ASKED = ("struck", "facts", "onset")


def inputs(data: Data) -> tuple[Tensor, Tensor, Tensor, Tensor]:
    device = data["slow"].device
    frames = torch.arange(features.FRAMES, device=device) * 0.02 + features.FIRST
    kind = torch.bfloat16 if device.type == "cuda" else torch.float32
    mask = (frames[None] < data["seen"][:, None]).to(kind)
    return data["slow"].to(kind) / 255, data["fast"].to(kind) / 255, data["score"].to(kind), mask


NEAR = 3
"""Fast frames to each side of the likeliest one that share in the moment, as in the program."""


def losses(data: Data, out: tuple[Tensor, ...]) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
    """
    Pitches (those due weigh most), facts, the fact "right", the beginning (a bell of 3 ms around the truth), and how
    far the moment that the program would tell lies from the truth, in fast frames.
    """
    pitch, facts, when = (v.float() for v in out)
    score, struck = data["score"].float(), data["struck"].float().transpose(1, 2)
    weight = 1 + 6 * score[:, 0] + 2 * score[:, 1] + 4 * struck[:, :, 0]
    each = F.binary_cross_entropy_with_logits(pitch, struck, reduction="none")
    of_pitches = (each[:, :, 0] * weight).mean() + 0.2 * (each[:, :, 1] * weight).mean()
    of_each_fact = F.binary_cross_entropy_with_logits(facts, data["facts"].float(), reduction="none").mean(0)
    onset = data["onset"]
    k = torch.arange(features.FAST_FRAMES, device=onset.device)
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


WORTH = (1.0, 0.5, 0.6, 0.2, 0.1)
"""Of each loss."""


@dataclass(frozen=True)
class Lesson:
    seconds: float
    until: float
    """Seconds after the start of the script at which the last step is made."""
    rate: float
    end: float
    """Share of the rate that is left at the end."""
    batch: int
    compiled: bool
    steps_per_chunk: int
    """New changes come in after so many steps, where they are drawn by then; 0: none come any more."""
    meet: int
    """Those who train together lay their weights together after so many steps."""


KEPT_OF_AVERAGE = 0.999


class Stepper:
    """
    One step of training: a batch drawn from the store, losses, AdamW, and the average of the weights, which is what is kept.
    On an accelerator a step is recorded once and played again: nothing of it waits for Python.
    """

    def __init__(self, net: Ear, store: Store, lesson: Lesson) -> None:
        self.net, self.store, self.batch = net, store, lesson.batch
        self.device = store.data["slow"].device
        self.cuda = self.device.type == "cuda"
        self.weights = list(net.parameters())
        self.rate = torch.tensor(0.0, device=self.device)
        self.optimiser = self._adam(self.cuda)
        self.filled = torch.tensor(float(store.filled), device=self.device)
        self.sums = torch.zeros(len(WORTH), device=self.device)
        self.average = [p.detach().clone() for p in self.weights]
        self.parts = torch.compile(self._parts) if lesson.compiled else self._parts
        self.recorded: torch.cuda.CUDAGraph | None = None

    def _adam(self, recordable: bool) -> torch.optim.AdamW:
        wide = [p for p in self.weights if p.ndim > 1]
        thin = [p for p in self.weights if p.ndim <= 1]
        groups = [{"params": wide, "weight_decay": 0.02}, {"params": thin, "weight_decay": 0.0}]
        more = {"fused": True, "capturable": True} if recordable else {"fused": True} if self.cuda else {}
        return torch.optim.AdamW(groups, lr=self.rate if recordable else 0.0, betas=(0.9, 0.98), **more)

    def _parts(self, batch: Data) -> tuple[Tensor, ...]:
        with torch.autocast(self.device.type, torch.bfloat16, enabled=self.cuda, cache_enabled=False):
            out = self.net(*inputs(batch))
        return losses(batch, out)

    def _some(self) -> Data:
        i = (torch.rand(self.batch, device=self.device) * self.filled).long().clamp(max=self.store.room - 1)
        return {k: self.store.data[k][i] for k in (*SHOWN, *ASKED)}

    def _step(self) -> None:
        parts = self.parts(self._some())
        sum(w * part for w, part in zip(WORTH, parts)).backward()
        torch.nn.utils.clip_grad_norm_(self.weights, 1.0)
        self.optimiser.step()
        self.optimiser.zero_grad(set_to_none=False)
        with torch.no_grad():
            self.sums += torch.stack([part.detach() for part in parts])
            torch._foreach_lerp_(self.average, self.weights, 1 - KEPT_OF_AVERAGE)

    def finite(self) -> bool:
        return bool(torch.isfinite(self.sums).all()) and all(bool(torch.isfinite(p).all()) for p in self.weights)

    def check(self, batch: Data) -> bool:
        """Are losses and gradients of a batch finite?"""
        parts = self.parts(batch)
        sum(w * part for w, part in zip(WORTH, parts)).backward()
        wrong = [k for k, p in self.net.named_parameters() if p.grad is None or not bool(torch.isfinite(p.grad).all())]
        say("losses", " ".join(f"{part.item():.4f}" for part in parts), "not finite:", wrong[:8])
        self.optimiser.zero_grad()
        return not wrong and all(bool(torch.isfinite(part)) for part in parts)

    def record(self) -> None:
        """At a rate of 0. Where what is played again is not what was recorded, every step is made anew."""
        before = [p.detach().clone() for p in self.weights]
        beside = torch.cuda.Stream()
        beside.wait_stream(torch.cuda.current_stream())
        with torch.cuda.stream(beside):
            for _ in range(4):
                self._step()
        torch.cuda.current_stream().wait_stream(beside)
        torch.cuda.synchronize()
        say("four steps", "are well" if self.finite() else "failed")
        try:
            self.optimiser.zero_grad(set_to_none=True)
            graph = torch.cuda.CUDAGraph()
            with torch.cuda.graph(graph):
                self._step()
            self.recorded = graph
            for _ in range(10):
                self.recorded.replay()
            torch.cuda.synchronize()
        except RuntimeError as error:
            say("not recorded:", str(error)[:300])
        if self.recorded is None or not self.finite():
            say("goes on unrecorded")
            self.recorded, self.optimiser = None, self._adam(False)
            with torch.no_grad():
                for p, average, value in zip(self.weights, self.average, before):
                    p.copy_(value)
                    average.copy_(value)
                    p.grad = None
        self.sums.zero_()

    def step(self, rate: float) -> None:
        self.rate.fill_(rate)
        for group in self.optimiser.param_groups:
            if not isinstance(group["lr"], Tensor):
                group["lr"] = rate
        if self.recorded is not None:
            self.recorded.replay()
        else:
            self._step()

    def means(self, steps: int) -> list[float]:
        out = (self.sums / steps).tolist()
        self.sums.zero_()
        return out

    def averaged(self) -> Ear:
        """The network with the average of its weights so far."""
        net = Ear(self.net.size).to(self.device)
        with torch.no_grad():
            for p, kept in zip(net.parameters(), self.average):
                p.copy_(kept)
        return net.eval()

    def kept(self) -> dict[str, object]:
        return {"net": self.net.state_dict(), "average": self.average, "optimiser": self.optimiser.state_dict()}

    def resume(self, kept: dict[str, Any]) -> None:
        """Goes on where another run of the same size ended."""
        with torch.no_grad():
            self.net.load_state_dict(kept["net"])
            for p, before in zip(self.average, kept["average"]):
                p.copy_(before)
        self.optimiser.load_state_dict(kept["optimiser"])
        for group in self.optimiser.param_groups:
            group["capturable"] = self.cuda
            group["lr"] = self.rate if self.cuda else 0.0


def trained(store: Store, supply: Supply | None, size: Size, lesson: Lesson, begin: Path | None, out: Path) -> Ear:
    """AdamW under a cosine over the given time; weights and what another run needs to go on are written now and then."""
    device = store.data["slow"].device
    net = Ear(size).to(device)
    if begin is not None and begin.suffix == ".bin":
        went_on(net, read_weights(begin))
    torch.manual_seed(torch.initial_seed() + 1 + COMPANY.rank)
    stepper = Stepper(net, store, lesson)
    if begin is not None and begin.suffix == ".pt":
        stepper.resume(torch.load(begin, map_location=device))
    say("weights", sum(p.numel() for p in net.parameters()), "multiply-adds", multiply_adds(size))
    if not stepper.check(stepper._some()):
        raise ArithmeticError("the first losses are not finite")
    if device.type == "cuda":
        stepper.record()
    steps, since, start, came, written = 0, 0, time.time(), store.came, time.time()
    chunk_at = 0
    length = min(lesson.seconds, lesson.until - (start - BEGAN))
    COMPANY.meet(stepper.weights, 0.0)  # nobody's time begins before all are there
    start, share = time.time(), 0.0
    while True:
        if steps % lesson.meet == 0:
            # Everybody ends at the same meeting.
            share = COMPANY.meet(stepper.weights, (time.time() - start) / length)
            if share >= 1 and steps > 0:
                break
        cosine = 0.5 + 0.5 * float(np.cos(np.pi * min(1, share)))
        if supply is not None and lesson.steps_per_chunk and steps - chunk_at >= lesson.steps_per_chunk and supply.ready():
            with torch.no_grad():
                store.add(supply.next())
                stepper.filled.fill_(store.filled)
            chunk_at = steps
        stepper.step(lesson.rate * min(1, (steps + 1) / 300) * (lesson.end + (1 - lesson.end) * cosine))
        steps, since = steps + 1, since + 1
        if device.type == "cuda" and steps % 10 == 0:
            torch.cuda.synchronize()  # the clock must not run ahead of the work
        if steps == 100 or steps % 2000 == 0:
            if not stepper.finite():
                raise ArithmeticError(f"not finite after {steps} steps")
            seen, made = steps * lesson.batch / 1e6, store.came / 1e6
            say(f"step {steps}, {seen:.1f} M looked at, {made:.2f} M made, loss", " ".join(f"{v:.4f}" for v in stepper.means(since)))
            since = 0
        if COMPANY.rank == 0 and time.time() - written > 45:
            written = time.time()
            write_weights(stepper.averaged(), out.with_suffix(".bin"))
            torch.save(stepper.kept(), out.with_suffix(".new"))
            out.with_suffix(".new").replace(out.with_suffix(".pt"))
    COMPANY.meet(stepper.average, share)
    if COMPANY.rank == 0:
        torch.save(stepper.kept(), out.with_suffix(".pt"))
    say(f"trained {steps} steps of {lesson.batch} on {store.came - came + min(came, store.room)} changes")
    return stepper.averaged()


STRETCHED = {"time2.weight": 3, "time3.weight": 3, "token.weight": FRAMES_3}
"""Maps that take the channels of so many places one after the other."""


def went_on(net: Ear, before: dict[str, Tensor]) -> None:
    """Takes over all weights that have their place; new layers add nothing at first, and what has grown nearly nothing."""
    own = net.state_dict()
    for name, value in own.items():
        if name not in before and name.endswith(("out.weight", "out.bias", "down.weight", "down.bias")):
            value.zero_()
        if name not in before and name.startswith("onset"):
            value.mul_(0.02)
    for name, value in before.items():
        into = own[name]
        if into.shape != value.shape:
            into.mul_(0.1)
        if places := STRETCHED.get(name):
            into, value = (v.unflatten(1, (places, -1)) for v in (into, value))
        into[tuple(slice(0, n) for n in value.shape)] = value.to(into.device)
    net.load_state_dict(own)


@torch.no_grad()
def judged(net: Ear, data: Data) -> dict[str, np.ndarray]:
    outs = []
    for i in torch.arange(len(data["onset"]), device=data["onset"].device).split(2048):
        batch = {k: data[k][i] for k in SHOWN}
        outs.append([v.float().cpu().numpy() for v in net(*(v.float() for v in inputs(batch)))])
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
    mask = inputs({k: data[k][:n].cpu() for k in SHOWN})[3]
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
    ask.add_argument("--start", type=Path, help="weights (.bin), or all that a run left (.pt), from which the first size goes on")
    ask.add_argument("--workers", type=int, default=15)
    ask.add_argument("--end", type=float, default=0.004, help="share of the rate that is left at the end")
    ask.add_argument("--judges", type=int, default=1, help="seed of the validation's string models")
    ask.add_argument("--meet", type=int, default=20, help="steps after which processes that train together lay their weights together")
    ask.add_argument("--beside", type=Path, nargs="*", default=[], help="weights judged on the same validation changes")
    a = ask.parse_args()
    COMPANY.gather()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    if device.type == "cuda":
        torch.cuda.set_device(COMPANY.rank)
        device = torch.device("cuda", COMPANY.rank)
    torch.manual_seed(a.seed)
    if device.type == "cuda":
        torch.backends.cuda.matmul.allow_tf32 = True
        torch.backends.cudnn.allow_tf32 = True
    a.out.mkdir(parents=True, exist_ok=True)
    with get_context("spawn").Pool(a.workers) as pool, torch.no_grad():
        # The first one judges; it begins to draw the validation changes before all else.
        judges = Judges(Supply(pool, a.seed + 7_001, -(-a.validation // CHUNK), 0.5)) if COMPANY.rank == 0 else None
        # Everybody draws other changes and other guitars.
        own = a.seed + 1_000 * COMPANY.rank
        supply = Supply(pool, own, 20_000, a.share)
        if judges is not None:
            make_validation(a, judges, device)
        here = supply.where = studio(a.folder, "train", a.models, own + 11, device)
        say(f"{here.sampled} sampled guitars, {here.plucked} other plucked strings and {a.models} string models")
        store = Store(a.room)
        while store.came < a.first:
            store.add(supply.next())
        say("first changes made", {k: tuple(v.shape) for k, v in store.data.items() if k in ("slow", "fast")})
        with torch.enable_grad():
            for n, (text, length) in enumerate(entry.split("=") for entry in a.sizes.split(",")):
                lesson = Lesson(float(length), a.until, a.rate, a.end, a.batch, a.compile, a.steps_per_chunk, a.meet)
                course(a, text, n == 0, lesson, store, supply, judges)
        pool.terminate()
    say("done")


@dataclass
class Judges:
    """The validation part: guitars, changes, and the sound of the first few."""

    other: Supply
    there: Where | None = None
    changes: Data | None = None
    golden: np.ndarray | None = None


def make_validation(a: argparse.Namespace, judges: Judges, device: torch.device) -> None:
    """Sounds the validation changes, and judges those weights on them that are to stand beside."""
    judges.there = judges.other.where = studio(a.folder, "other", max(2, a.models // 12), 97_000 + a.judges, device)
    kept = Store(a.validation)
    kept.add(judges.other.next())
    judges.golden = judges.other.sound[:6].cpu().numpy()
    while kept.came < kept.room:
        kept.add(judges.other.next())
    judges.changes = kept.whole()
    say("validation made")
    for path in a.beside:
        net = Ear(size_of(path)).to(device)
        net.load_state_dict(read_weights(path))
        say("beside", path)
        kept_figures(net.eval(), judges, a.out / f"validation-{path.stem}.npz")


def course(a: argparse.Namespace, text: str, first: bool, lesson: Lesson, store: Store, supply: Supply, judges: Judges | None) -> None:
    """One size trained, written and judged. Every one after the first gets no new changes: `xfew` the eighth part of them."""
    if not first:
        lesson = replace(lesson, steps_per_chunk=0)
    size = size_from(text)
    few = Store(store.room)
    few.data, few.came = store.data, store.filled // 8 if "few" in text.split("x") else store.filled
    net = trained(store if first else few, supply, size, lesson, a.start if first else None, a.out / f"weights-{text}")
    if judges is None:
        return
    write_weights(net, a.out / f"weights-{text}.bin")
    write_golden(net, judges.golden, judges.changes, a.out / f"golden-{text}.npz")
    kept_figures(net, judges, a.out / f"validation-{text}.npz")


def kept_figures(net: Ear, judges: Judges, path: Path) -> None:
    """Judges the validation changes, writes what was said of them and prints figures."""
    with torch.no_grad():
        out = judged(net, judges.changes)
    facts = {k: judges.changes[k].cpu().numpy() for k in (*KEPT, "guitar")}
    facts["sampled"] = (facts["guitar"] < judges.there.sampled).astype(np.uint8)
    np.savez(path, **out, **facts)
    report.print_report(str(path))


def size_from(text: str) -> Size:
    """`64x5xo48xn4xc40-56-72xblind`: width, layers, channels and layers of the beginning, channels over time."""
    width, layers, *rest = text.split("x")
    channels, onset = SHAPES[int(width)]
    told = {word[0]: word[1:] for word in rest if word[0] in "onc"}
    if "c" in told:
        c1, c2, c3 = (int(n) for n in told["c"].split("-"))
        channels = (c1, c2, c3)
    return Size(int(width), int(layers), channels=channels, onset=int(told.get("o", onset)),
                onset_layers=int(told.get("n", 3)), blind="blind" in rest)  # fmt: skip


def size_of(path: Path) -> Size:
    """Of a file of weights."""
    size = json.loads(path.read_bytes().split(b"\n", 1)[0])["size"]
    return Size(**{**size, "channels": tuple(size["channels"])})


SHAPES: dict[int, tuple[tuple[int, int, int], int]] = {32: ((16, 24, 32), 24), 48: ((24, 36, 48), 32), 64: ((32, 48, 64), 32), 80: ((32, 56, 80), 40), 96: ((40, 64, 96), 48)}
"""By width: channels of the convolutions over time, and of the part that finds the beginning."""


if __name__ == "__main__":
    main()
