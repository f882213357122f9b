"""Makes changes, trains the network on them and writes its weights, a golden example and a validation file.

usage: python3 train.py FOLDER OUT [--examples N] [--seconds S] … ; FOLDER holds train.bank, other.bank, and the two noise files.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Iterator
from dataclasses import asdict
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
BEGAN = time.time()


def say(*words: object) -> None:
    print(f"{time.time() - BEGAN:6.1f} s", *words, flush=True)


def studio(folder: Path, part: str, models: int, seed: int, device: torch.device) -> tuple[rooms.Studio, int]:
    """The guitars of a part, sampled ones first; and how many those are."""
    _, sampled = banks.read_bank(str(folder / f"{part}.bank"))
    guitars = torch.cat([torch.as_tensor(sampled.copy()).to(device), strings.string_guitars(models, seed, device)])
    guitars = strings.with_buzz(guitars, seed + 1)
    _, band = banks.read_bank(str(folder / f"noise-{part}.npz.band"))
    band_notes = torch.as_tensor(band.copy()).to(device)
    pool = torch.as_tensor(np.load(folder / f"noise-{part}.npz")["pool"].astype(np.float32) / 32_767).to(device)
    gen = torch.Generator(device=device)
    gen.manual_seed(seed + 2)
    return rooms.Studio(guitars, strings.onsets(guitars), band_notes, strings.onsets(band_notes), pool, gen), len(sampled)


Data = dict[str, Tensor]
KEPT = ("struck", "score", "facts", "onset", "span", "seen", "kind", "lead")


def plans(pool: Pool, count: int, seed: int) -> Iterator[dict[str, np.ndarray]]:
    """Drawn in other processes, in order, a chunk at a time."""
    return pool.imap(hands.examples, [(seed * 1_000_003 + i, CHUNK) for i in range(-(-count // CHUNK))], chunksize=1)


def made(pool: Pool, count: int, seed: int, where: rooms.Studio, sampled: int, share: float, golden: int = 0,
         limit: float = 1e9) -> tuple[Data, np.ndarray | None]:  # fmt: skip
    """
    Sounds the plans and keeps their features as bytes; `share` of the changes is played on sampled guitars.
    After `limit` seconds it makes do with what there is.
    """
    began, done = time.time(), 0
    device = where.guitars.device
    whole: Data = {}
    first: np.ndarray | None = None
    r = np.random.default_rng(seed)
    total = -(-count // CHUNK) * CHUNK
    for i, plan in enumerate(plans(pool, count, seed)):
        placed = {k: torch.as_tensor(v).to(device) for k, v in plan.items()}
        guitar = np.where(r.random(CHUNK) < share, r.integers(0, max(1, sampled), CHUNK), r.integers(sampled, len(where.guitars), CHUNK))
        placed["guitar"] = torch.as_tensor(guitar).to(device)
        sound = rooms.sounded(placed, placed["guitar"], where)
        if golden and first is None:
            first = sound[:golden].cpu().numpy()
        slow, fast = features.features(sound, placed["seen"])
        part = {k: placed[k] for k in (*KEPT, "guitar")}
        part["slow"], part["fast"] = ((v * 255).round().to(torch.uint8) for v in (slow, fast))
        for k, v in part.items():
            if k not in whole:
                whole[k] = torch.empty(total, *v.shape[1:], dtype=v.dtype, device=device)
            whole[k][i * CHUNK : (i + 1) * CHUNK] = v
        done = i + 1
        if time.time() - began > limit:
            break
    return {k: v[: done * CHUNK] for k, v in whole.items()}, first


def inputs(data: Data, i: Tensor) -> tuple[Tensor, Tensor, Tensor, Tensor]:
    frames = torch.arange(features.FRAMES, device=i.device) * 0.02 + features.FIRST
    kind = torch.bfloat16 if i.device.type == "cuda" else torch.float32
    mask = (frames[None] < data["seen"][i, None]).to(kind)
    return data["slow"][i].to(kind) / 255, data["fast"][i].to(kind) / 255, data["score"][i].to(kind), mask


def losses(data: Data, i: Tensor, out: tuple[Tensor, ...]) -> tuple[Tensor, Tensor, Tensor]:
    """Pitches (those due weigh most), facts, and the beginning (a bell of 3 ms around the truth)."""
    pitch, facts, when = (v.float() for v in out)
    score, struck = data["score"][i].float(), data["struck"][i].float().transpose(1, 2)
    weight = 1 + 6 * score[:, 0] + 2 * score[:, 1] + 4 * struck[:, :, 0]
    each = F.binary_cross_entropy_with_logits(pitch, struck, reduction="none")
    of_pitches = (each[:, :, 0] * weight).mean() + 0.2 * (each[:, :, 1] * weight).mean()
    of_facts = F.binary_cross_entropy_with_logits(facts, data["facts"][i].float())
    onset = data["onset"][i]
    at = torch.arange(features.FAST_FRAMES, device=i.device) * 0.004 + features.FAST_FIRST
    bell = torch.exp(-(((at[None] - onset[:, None]) / 0.003) ** 2) / 2)
    never = (onset > 5).float()[:, None]
    target = torch.cat([bell / (bell.sum(1, keepdim=True) + 1e-6) * (1 - never), never], 1)
    of_moment = -(target * when.log_softmax(1)).sum(1).mean()
    return of_pitches, of_facts, of_moment


def trained(data: Data, size: Size, seconds: float, rate: float, batch: int, compiled: bool, begin: Path | None) -> Ear:
    """AdamW under a cosine over the given time; the average of the weights is what is kept."""
    device = data["slow"].device
    net = Ear(size).to(device)
    if begin is not None:
        net.load_state_dict({k: v.to(device) for k, v in read_weights(begin).items()})
    forward = torch.compile(net) if compiled else net
    say("weights", sum(p.numel() for p in net.parameters()), "multiply-adds", multiply_adds(size))
    wide = [p for p in net.parameters() if p.ndim > 1]
    thin = [p for p in net.parameters() if p.ndim <= 1]
    optimiser = torch.optim.AdamW([{"params": wide, "weight_decay": 0.02}, {"params": thin, "weight_decay": 0.0}], lr=rate, betas=(0.9, 0.98))
    weights = list(net.parameters())
    average = [p.detach().clone() for p in weights]
    count = len(data["onset"])
    order, at, step, start = torch.randperm(count, device=device), 0, 0, time.time()
    running: list[Tensor] = []
    while (share := (time.time() - start) / seconds) < 1 or step == 0:
        for group in optimiser.param_groups:
            group["lr"] = rate * min(1, (step + 1) / 300) * (0.505 + 0.495 * float(np.cos(np.pi * min(1, share))))
        if at + batch > count:
            order, at = torch.randperm(count, device=device), 0
        i, at = order[at : at + batch], at + batch
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            out = forward(*inputs(data, i))
        parts = losses(data, i, out)
        loss = parts[0] + 0.5 * parts[1] + 0.2 * parts[2]
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        with torch.no_grad():
            keep = min(0.9985, step / (step + 20))
            torch._foreach_mul_(average, keep)
            torch._foreach_add_(average, weights, alpha=1 - keep)
        if step % 50 == 0:
            running.append(torch.stack(parts).detach())
        if step % 1000 == 0 or step == 100:
            means = torch.stack(running).mean(0).tolist()
            say(f"step {step} epoch {step * batch / count:.1f} loss", " ".join(f"{v:.4f}" for v in means))
            running = []
    with torch.no_grad():
        for p, kept in zip(weights, average):
            p.copy_(kept)
    say(f"trained {step} steps, {step * batch / count:.1f} times each")
    return net.eval()


@torch.no_grad()
def judged(net: Ear, data: Data) -> dict[str, np.ndarray]:
    outs = []
    for i in torch.arange(len(data["onset"]), device=data["onset"].device).split(1024):
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
    ask.add_argument("--examples", type=int, default=1_000_000)
    ask.add_argument("--validation", type=int, default=20_000)
    ask.add_argument("--until", type=float, default=1e9, help="seconds after the start at which training has to be over")
    ask.add_argument("--making", type=float, default=1e9, help="seconds for making the training set at most")
    ask.add_argument("--models", type=int, default=400, help="string models beside the sampled guitars")
    ask.add_argument("--share", type=float, default=0.42, help="of changes on sampled guitars")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--batch", type=int, default=1024)
    ask.add_argument("--rate", type=float, default=2.5e-3)
    ask.add_argument("--compile", action="store_true")
    ask.add_argument("--sizes", default="64x3=400", help="WIDTHxLAYERS[xblind]=SECONDS,… trained one after the other")
    ask.add_argument("--start", type=Path, help="weights from which the first size goes on")
    ask.add_argument("--workers", type=int, default=15)
    a = ask.parse_args()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(a.seed)
    if device.type == "cuda":
        torch.backends.cuda.matmul.allow_tf32 = True
        torch.backends.cudnn.allow_tf32 = True
    a.out.mkdir(parents=True, exist_ok=True)
    with get_context("spawn").Pool(a.workers) as pool:
        there, sampled_there = studio(a.folder, "other", max(2, a.models // 12), a.seed + 90_001, device)
        validation, golden = made(pool, a.validation, a.seed + 7_001, there, sampled_there, 0.5, golden=6)
        say("validation made")
        here, sampled = studio(a.folder, "train", a.models, a.seed + 11, device)
        say(f"{sampled} sampled guitars and {a.models} string models")
        data, _ = made(pool, a.examples, a.seed, here, sampled, a.share, limit=a.making)
        say("training set made", {k: tuple(v.shape) for k, v in data.items() if k in ("slow", "fast")})
    sizes = a.sizes.split(",")
    for n, (text, length) in enumerate(entry.split("=") for entry in sizes):
        seconds = min(float(length), a.until - (time.time() - BEGAN))
        width, layers, *rest = text.split("x")
        thin = int(width) < 48
        size = Size(int(width), int(layers), channels=(16, 24, 32) if thin else (32, 48, 64), blind="blind" in rest)
        first = n == 0
        start = a.start if first else None
        net = trained(data, size, seconds, a.rate, a.batch, a.compile and first, start)
        out = judged(net, validation)
        facts = {k: validation[k].cpu().numpy() for k in (*KEPT, "guitar")}
        facts["sampled"] = (facts["guitar"] < sampled_there).astype(np.uint8)
        np.savez_compressed(a.out / f"validation-{text}.npz", **out, **facts)
        write_weights(net, a.out / f"weights-{text}.bin")
        if golden is not None:
            write_golden(net, golden, validation, a.out / f"golden-{text}.npz")
        report.print_report(str(a.out / f"validation-{text}.npz"))
    say("done")


if __name__ == "__main__":
    main()
