// Reads the trained weights: a line of JSON that names them, then 16-bit whole numbers.
import { asciiText } from '../../base/ascii.ts';

/** One array of weights by its name in the training script. */
export type Weights = ReadonlyMap<string, Float64Array>;

interface Entry {
  readonly name: string;
  readonly shape: readonly number[];
  /** What one step of the whole numbers is worth. */
  readonly scale: number;
}

/**
 * The file that `tests/bench/ear-training/train.py` writes, little-endian.
 * @throws RangeError where the file is not whole.
 */
export function readWeights(bytes: Uint8Array): Weights {
  const end = bytes.indexOf(10);
  if (end < 0) throw new RangeError('readWeights: the file has no head');
  const { tensors } = JSON.parse(asciiText(bytes.subarray(0, end))) as {
    tensors: readonly Entry[];
  };
  const view = new DataView(bytes.buffer, bytes.byteOffset + end + 1, bytes.length - end - 1);
  const weights = new Map<string, Float64Array>();
  let at = 0;
  for (const { name, shape, scale } of tensors) {
    const count = shape.reduce((product, size) => product * size, 1);
    if (2 * (at + count) > view.byteLength) throw new RangeError(`readWeights: ${name} is cut off`);
    const from = at;
    weights.set(
      name,
      Float64Array.from({ length: count }, (_, i) => view.getInt16(2 * (from + i), true) * scale),
    );
    at += count;
  }
  return weights;
}
