"""Train the ear: takes in, its weights out, beside the loss on takes that it was not trained on.

    python tests/bench/ear_training.py TAKES OTHERS WEIGHTS [--epochs 4]
        [--from FILE [--rise 1e-3] [--mean]]

``TAKES`` and ``OTHERS`` are folders that ``ear_takes.py`` made, with different seeds; ``WEIGHTS``
is the file that ``theorykit/show/listening/ear.py`` reads. It needs ``torch``, which is no part of
any extra: nobody but who trains needs it. Six hours of takes for four epochs take two cores an hour
and a half.

The weights in this repository were trained so: four epochs of 320 takes by the SoundFonts TimGM6mb,
sf_GMbank and OPL-3 FM 128M and by additive synthesis, then two epochs with 280 further ones, which
had scoops, glides, weak first partials, and patches of the freepats project. Then 138 takes of
``ear_takes.py --harder`` (TimGM6mb, sf_GMbank, freepats, additive synthesis) with 170 of the older
ones: two epochs in half precision, the layer ``see`` held, ``--rise 1e-3``, a running mean of the
weights. What is here is the mean of the weights before and after that (``--mean``): on takes like
the older ones its losses are those from before, on harder ones nearly those from after.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from theorykit.show.listening.ear import AROUND, PARTIALS
from theorykit.show.listening.ear_spectra import (
    BANDS,
    BINS,
    COUNT,
    FINER,
    LOWEST,
    RATE,
    STEP,
    ear_spectra,
)

SEES, PITCHES, MOMENT, BRIEF = 12, 16, 96, 3  # channels
LENGTH, BATCH = 256, 16  # steps of an example, examples at a time
RINGS, AFTER = 12, 0.1  # steps after a note in which it may ring on, and what they count
RESTS = 0.5  # what other steps of silence count
BEGINS, RARE = 2.0, 3.0  # what beginnings count beside pitches, and a step that is one
LOUDER = 0.06  # chance of the level
RISE = 3e-3  # the highest rate of learning


class Ear(nn.Module):
    """The network of ``theorykit/show/listening/ear.py``, layer by layer under the same names."""

    def __init__(self) -> None:
        super().__init__()
        self.see = nn.Conv2d(2, SEES, (3, 2 * FINER + 1), stride=(1, FINER), padding=(1, 2))
        self.stack = nn.Conv2d(SEES * len(PARTIALS), PITCHES, 1)
        self.near = nn.Conv2d(PITCHES, PITCHES, (5, 1), padding=(2, 0))
        self.far = nn.Conv2d(PITCHES, PITCHES, (7, 1), padding=(6, 0), dilation=(2, 1))
        self.brief = nn.Conv2d(PITCHES, BRIEF, 1)
        self.moment = nn.Conv1d(BRIEF * COUNT + BANDS, MOMENT, 5, padding=2)
        self.around = nn.ModuleList(
            nn.Conv1d(MOMENT, MOMENT, 3, padding=apart, dilation=apart) for apart in (1, 2, 4, 8)
        )
        self.ends = nn.Conv1d(MOMENT, 2, 1)
        self.context = nn.Conv1d(MOMENT, PITCHES, 1)
        self.pitch = nn.Conv2d(PITCHES, 1, 1)

    def forward(self, rows: Tensor) -> tuple[Tensor, Tensor]:
        """Logits of silence and each half step, and of beginnings, for examples of spectra."""
        count, steps, _ = rows.shape
        seen = rows[:, :, : 2 * BINS].reshape(count, steps, 2, BINS).transpose(1, 2)
        wide = functional.pad(functional.relu(self.see(seen)), AROUND)
        firsts = [AROUND[0] + away for away in PARTIALS]
        pitches = torch.cat([wide[..., first : first + COUNT] for first in firsts], 1)
        pitches = functional.relu(self.stack(pitches))
        pitches = pitches + functional.relu(self.near(pitches))
        pitches = pitches + functional.relu(self.far(pitches))
        brief = functional.relu(self.brief(pitches)).permute(0, 1, 3, 2).reshape(count, -1, steps)
        bands = rows[:, :, 2 * BINS :].transpose(1, 2)
        moment = functional.relu(self.moment(torch.cat([brief, bands], 1)))
        for layer in self.around:
            moment = moment + functional.relu(layer(moment))
        ends = self.ends(moment)
        pitches = functional.relu(pitches + self.context(moment)[..., None])
        logits = torch.cat([ends[:, 1:].transpose(1, 2), self.pitch(pitches)[:, 0]], 2)
        return logits, ends[:, 0]

    def weights(self) -> dict[str, np.ndarray]:
        """The weights as the library has them: rows in, columns out, steps first."""
        found = {}
        for name, layer in self.named_modules():
            if isinstance(layer, (nn.Conv1d, nn.Conv2d)):
                key, taps = name.replace(".", " "), layer.weight.detach().numpy()
                if name == "see":
                    taps = taps.reshape(SEES, -1).T
                else:
                    taps = taps.reshape(*taps.shape[:2], -1).transpose(2, 1, 0)
                    taps = taps[0] if len(taps) == 1 else taps
                found[key], found[f"{key} +"] = taps, layer.bias.detach().numpy()
        return {key: np.ascontiguousarray(row, np.float16) for key, row in found.items()}


def example(file: Path) -> tuple[np.ndarray, ...]:
    """Spectra, the number of the half step at each step, what it counts, and beginnings."""
    with np.load(file) as take:
        rows, notes = ear_spectra(take["wave"].astype(np.float32), 0.0), take["notes"]
    pitch, counts = np.zeros(len(rows), np.int64), np.full(len(rows), RESTS, np.float32)
    begins, sounding = np.zeros(len(rows), np.float32), np.zeros(len(rows), bool)
    ends = [min(row[1], after) for row, after in zip(notes, [*notes[1:, 0], 1e9], strict=True)]
    for (start, _, midi), over in zip(notes, ends, strict=True):
        first, end = (int(np.ceil(at * RATE / STEP)) for at in (start, over))
        counts[end : end + RINGS] = AFTER
        sounding[first:end] = True
        pitch[first:end] = int(midi) - LOWEST + 1 if 0 <= midi - LOWEST < COUNT else -100
        middle = start * RATE / STEP
        for step in range(max(int(middle) - 1, 0), min(int(middle) + 3, len(rows))):
            begins[step] = max(begins[step], 1 - abs(step - middle) / 2, 0)
    counts[sounding] = 1.0
    return rows.astype(np.float16), pitch, counts, begins


def losses(ear: Ear, rows: Tensor, pitch: Tensor, counts: Tensor, begins: Tensor) -> list[Tensor]:
    """How wrong the ear is of pitches and of beginnings."""
    logits, onsets = ear(rows)
    wrong = functional.cross_entropy(
        logits.reshape(-1, COUNT + 1), pitch.reshape(-1), reduction="none"
    )
    missed = functional.binary_cross_entropy_with_logits(
        onsets, begins, pos_weight=torch.tensor(RARE)
    )
    return [(wrong * counts.reshape(-1)).mean(), missed]


def batches(
    takes: list[tuple[np.ndarray, ...]], chance: np.random.Generator
) -> Iterator[list[Tensor]]:
    """All takes cut into examples, in an order by chance."""
    moved = int(chance.integers(LENGTH))
    cuts = [(n, k) for n, one in enumerate(takes) for k in range(0, len(one[0]) - LENGTH, LENGTH)]
    chance.shuffle(cuts)
    for at in range(0, len(cuts) - BATCH + 1, BATCH):
        rows = []
        for number, first in cuts[at : at + BATCH]:
            low = min(first + moved, len(takes[number][0]) - LENGTH)
            rows.append([part[low : low + LENGTH] for part in takes[number]])
        parts = [torch.from_numpy(np.stack(part)) for part in zip(*rows, strict=True)]
        louder = torch.from_numpy(chance.normal(0, LOUDER, (BATCH, 1, 1)).astype(np.float32))
        yield [parts[0].float() + louder, *parts[1:]]


def main() -> None:
    """Train, and write the weights after each epoch."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("takes", type=Path)
    parser.add_argument("others", type=Path)
    parser.add_argument("weights", type=Path)
    parser.add_argument("--epochs", type=int, default=4)
    parser.add_argument("--from", dest="begun", type=Path, help="go on from these (torch)")
    parser.add_argument("--rise", type=float, default=RISE, help="the highest rate of learning")
    parser.add_argument("--mean", action="store_true", help="write the mean with those before")
    wishes = parser.parse_args()
    takes, others = (
        [example(file) for file in sorted(folder.glob("*.npz"))]
        for folder in (wishes.takes, wishes.others)
    )
    ear, chance = Ear(), np.random.default_rng(0)
    if wishes.begun:
        ear.load_state_dict(torch.load(wishes.begun))
    before = {name: row.clone() for name, row in ear.state_dict().items()}
    steps = wishes.epochs * sum((len(one[0]) - 1) // LENGTH for one in takes) // BATCH + 2
    learner = torch.optim.AdamW(ear.parameters(), weight_decay=1e-3)
    pace = torch.optim.lr_scheduler.OneCycleLR(
        learner, wishes.rise, total_steps=steps, pct_start=0.1
    )
    for epoch in range(wishes.epochs):
        begun = time.time()
        for parts in batches(takes, chance):
            pitch, begins = losses(ear, *parts)
            learner.zero_grad()
            (pitch + BEGINS * begins).backward()
            nn.utils.clip_grad_norm_(ear.parameters(), 1.0)
            learner.step()
            pace.step()
        with torch.no_grad():
            found = [
                [
                    float(loss)
                    for loss in losses(ear, *(torch.from_numpy(part)[None] for part in whole))
                ]
                for whole in ([one[0].astype(np.float32), *one[1:]] for one in others)
            ]
        told = np.mean(found, axis=0).round(4).tolist()
        print(epoch + 1, told, f"{time.time() - begun:.0f} s", flush=True, file=sys.stderr)
        torch.save(ear.state_dict(), wishes.weights.with_suffix(".pt"))
        written = Ear()
        after = ear.state_dict()
        mean = {name: (before[name] + row) / 2 for name, row in after.items()}
        written.load_state_dict(mean if wishes.mean else after)
        np.savez_compressed(wishes.weights, **written.weights())


if __name__ == "__main__":
    main()
