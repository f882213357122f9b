// Says how a relative cost adds up, its largest part first.

/** { fingers: 3.3, barre: 1.53, stretch: 0 } → "4.8 = 3.3 fingers + 1.5 barre". Parts that print as 0.0 are left out. */
export function costWords(parts: object): string {
  const all = Object.entries(parts).filter((entry): entry is [string, number] => entry[1] >= 0.05);
  const total = Object.values(parts).reduce((sum: number, part: number) => sum + part, 0);
  const words = all
    .sort(([, a], [, b]) => b - a)
    .map(([name, cost]) => `${cost.toFixed(1)} ${name}`);
  return words.length > 0 ? `${total.toFixed(1)} = ${words.join(' + ')}` : '0.0';
}
