"""Processes that train together, one on each accelerator: each learns from its own changes, and now and then their weights become one mean."""

from __future__ import annotations

import os
from datetime import timedelta

import torch
import torch.distributed as together
from torch import Tensor

PATIENCE = timedelta(seconds=150)


class Company:
    """Who trains here and how many there are; alone until `gather` finds RANK and WORLD_SIZE, as PyTorch's own tools name them."""

    def __init__(self) -> None:
        self.rank, self.count = 0, 1

    def gather(self) -> None:
        self.rank = int(os.environ.get("RANK", "0"))
        self.count = int(os.environ.get("WORLD_SIZE", "1"))
        if self.count > 1:
            together.init_process_group("gloo", rank=self.rank, world_size=self.count, timeout=PATIENCE)

    @torch.no_grad()
    def meet(self, weights: list[Tensor], share: float) -> float:
        """
        Lays the mean of everybody's weights into `weights` → the mean of `share`. Who is left alone goes on alone.
        @raises ArithmeticError where a weight is not finite.
        """
        if self.count == 1:
            return share
        flat = torch.cat([w.reshape(-1) for w in weights] + [torch.tensor([share], device=weights[0].device)]).cpu()
        try:
            together.all_reduce(flat)
        except RuntimeError as error:
            print("goes on alone:", str(error)[:200], flush=True)
            self.count = 1
            return share
        flat /= self.count
        if not bool(torch.isfinite(flat).all()):
            raise ArithmeticError("weights are not finite")
        parts = flat[:-1].to(weights[0].device).split([w.numel() for w in weights])
        torch._foreach_copy_(weights, [part.view_as(w) for part, w in zip(parts, weights)])
        return float(flat[-1])
