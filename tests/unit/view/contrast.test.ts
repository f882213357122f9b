// The colours of the theme against WCAG 2.2: 4.5:1 for text (1.4.3), 3:1 for edges and marks (1.4.11), in both themes.
import fs from 'node:fs';
import { describe, expect, test } from 'vitest';

const css = fs.readFileSync(new URL('../../../renderer/theme/tokens.css', import.meta.url), 'utf8');

type Theme = 'light' | 'dark';

function colour(name: string, theme: Theme): string {
  const value = new RegExp(`--${name}: ([^;]+);`).exec(css)?.[1];
  const pair = /light-dark\((#\w{6}), (#\w{6})\)/.exec(value ?? '');
  const found = pair ? pair[theme === 'light' ? 1 : 2] : /^#\w{6}$/.exec(value ?? '')?.[0];
  if (!found) throw new Error(`tokens.css has no plain colour --${name}`);
  return found;
}

/** Relative luminance as WCAG 2.2 defines it. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

test('black on white is 21:1, as the definition says', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
});

describe.each(['light', 'dark'] as const)('%s', (theme) => {
  const papers = ['paper', 'sheet', 'well', 'brass-wash'];
  test.each(
    ['ink', 'ink-soft', 'brass', 'clean', 'missed'].flatMap((ink) =>
      papers.map((paper) => [ink, paper] as const),
    ),
  )('%s is legible on %s', (ink, paper) => {
    expect(contrast(colour(ink, theme), colour(paper, theme))).toBeGreaterThanOrEqual(4.5);
  });

  test.each([
    ['on-brass', 'brass-fill'],
    ['on-wood', 'wood'],
    ['on-wood', 'wood-raised'],
    ['on-wood-soft', 'wood'],
    ['on-wood-soft', 'wood-raised'],
    ['on-wood-brass', 'wood-raised'],
    ['ink', 'clean-wash'],
    ['ink', 'missed-wash'],
    ['clean', 'clean-wash'],
    ['missed', 'missed-wash'],
  ] as const)('%s is legible on %s', (ink, paper) => {
    expect(contrast(colour(ink, theme), colour(paper, theme))).toBeGreaterThanOrEqual(4.5);
  });

  test.each(
    ['edge', 'focus', 'brass', 'timber-shade'].flatMap((edge) =>
      ['paper', 'sheet'].map((paper) => [edge, paper] as const),
    ),
  )('%s can be told from %s', (edge, paper) => {
    const least = edge === 'timber-shade' ? 1.5 : 3;
    expect(contrast(colour(edge, theme), colour(paper, theme))).toBeGreaterThanOrEqual(least);
  });
});
