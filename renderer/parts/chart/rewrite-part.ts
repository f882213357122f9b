// A chart with one part of one lead line written anew.
import type { ChartBody } from '../../../app/core/model/chart.ts';
import type { PhraseBar } from '../../../app/core/model/lead.ts';

interface PartPlace {
  readonly section: string;
  readonly phrase: string;
  readonly part: string;
}

export function rewritePart(
  chart: ChartBody,
  { section, phrase, part }: PartPlace,
  bars: readonly PhraseBar[],
): ChartBody {
  const sections = chart.sections.map((s) => {
    if (s.name !== section) return s;
    const phrases = s.phrases?.map((p) => {
      if (p.name !== phrase) return p;
      const parts = p.parts.map((old) =>
        old.name === part ? { kind: 'written' as const, name: part, bars } : old,
      );
      return { ...p, parts };
    });
    return { ...s, ...(phrases && { phrases }) };
  });
  return { ...chart, sections };
}
