// Reads a number as people type it (either decimal sign) and refuses it in words when it does not fit.

export type NumberRead =
  { readonly ok: true; readonly value: number } | { readonly ok: false; readonly problem: string };

/** @returns the number if `text` is one from `min` to `max`, else a sentence that says what would be. */
export function readNumber(text: string, min: number, max: number): NumberRead {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  const value = /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
  if (value === undefined || value < min || value > max) {
    return { ok: false, problem: `write a number from ${min} to ${max}.` };
  }
  return { ok: true, value };
}
