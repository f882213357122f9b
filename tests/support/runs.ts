// How often a property is tried: with a fixed seed in `npm test`, many times more often in `npm run fuzz` (FUZZ=long).

export const LONG = process.env['FUZZ'] === 'long';
const share = Number(process.env['FUZZ_SCALE'] ?? 1);

/** @param short In `npm test`, where the cases are the same every time. */
export const runs = (short: number, long: number): number =>
  LONG ? Math.max(1, Math.round(long * share)) : short;
