// Runs in a page: renders the band's sounds as the program does and hands them over as base64 of their floats.
import { bandKit } from '../../../renderer/audio/band-kit.ts';

export async function renderBandKit(rate: number) {
  const start = performance.now();
  const kit = await bandKit(rate);
  const took = performance.now() - start;
  const drums = Object.entries(kit.drums).map(([name, s]) => [name, textOf(s)] as const);
  return { took, drums: Object.fromEntries(drums), bass: kit.bass.map(textOf) };
}

function textOf(samples: Float32Array): string {
  const bytes = new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
  const letters = Array.from({ length: Math.ceil(bytes.length / 8192) }, (_, i) =>
    String.fromCharCode(...bytes.subarray(i * 8192, (i + 1) * 8192)),
  );
  return btoa(letters.join(''));
}

Object.assign(globalThis, { renderBandKit });
