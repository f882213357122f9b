// What a bar's strokes show: where they stand, and which one is sounding.
import type { ChartBody, Section, StrokeTouch } from '../../../app/core/model/chart.ts';
import { strokesInBar, type StrummedBar } from '../../../app/core/rhythm/strum.ts';
import { writtenBars } from '../../../app/core/chart/form/written-bars.ts';
import { toNumber } from '../../../app/core/base/rational.ts';
import type { Share } from '../../../app/core/base/units.ts';

export interface DrawnStroke {
  /** Where it is written, over its slash, and where it sounds when swung: shares of the bar. */
  readonly at: Share;
  readonly sounds: Share;
  readonly kind: 'down' | 'up' | 'rest';
  readonly accent: boolean;
  readonly muted: boolean;
  readonly touch?: StrokeTouch;
}

/** Places are shares of the bar, 0 to 1. */
export function drawnStrokes(bar: StrummedBar): readonly DrawnStroke[] {
  const length = toNumber(bar.length);
  return strokesInBar(bar).map(({ at, swungAt, cell }) => ({
    at: toNumber(at) / length,
    sounds: toNumber(swungAt) / length,
    kind: cell.kind === 'rest' ? 'rest' : cell.direction,
    accent: cell.kind === 'stroke' && cell.accent,
    muted: cell.kind === 'stroke' && cell.muted,
    ...(cell.kind === 'stroke' && cell.touch && { touch: cell.touch }),
  }));
}

/** Strokes of each written bar of a section, by index; bars without a pattern have none. */
export function sectionStrokes(
  chart: ChartBody,
  section: Section,
): readonly (readonly DrawnStroke[])[] {
  const feel = section.feel ?? chart.feel;
  return writtenBars(section.bars, section.meter ?? chart.meter).map((bar) => {
    const strum = bar.strum ?? section.strum;
    return strum ? drawnStrokes({ ...bar, feel, strum }) : [];
  });
}

/** Index of the stroke that sounds at a share of the bar; undefined before the first. */
export function strokeAt(strokes: readonly DrawnStroke[], share: Share): number | undefined {
  const index = strokes.findLastIndex((stroke) => stroke.sounds <= share + 1e-9);
  return index < 0 ? undefined : index;
}

/** "down, up accented, rest": the strokes in words. */
export const spokenStrokes = (strokes: readonly DrawnStroke[]): string =>
  strokes
    .map(({ kind, accent, muted, touch }) =>
      [kind, accent && 'accented', muted && 'muted', touch].filter(Boolean).join(' '),
    )
    .join(', ');
