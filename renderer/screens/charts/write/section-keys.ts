// Keys that copy and move the section in which the cursor stands.
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { copySection, moveSection } from '../../../../app/core/chart/edit/sections.ts';
import type { ChartPlaces } from '../../../../app/core/chart/notation/parse.ts';

export type SectionChange = 'up' | 'down' | 'copy';

/** Each with its keys as they are shown, and as `aria-keyshortcuts` names them. */
export const SECTION_KEYS: Readonly<
  Record<SectionChange, { readonly shown: readonly string[]; readonly aria: string }>
> = {
  up: { shown: ['Alt', 'Page Up'], aria: 'Alt+PageUp' },
  down: { shown: ['Alt', 'Page Down'], aria: 'Alt+PageDown' },
  copy: { shown: ['Alt', 'Shift', 'Page Down'], aria: 'Alt+Shift+PageDown' },
};

type Pressed = Pick<KeyboardEvent, 'altKey' | 'shiftKey' | 'ctrlKey' | 'metaKey' | 'key'>;

/** What Alt with Page Up or Page Down does to a section; undefined for any other key. */
export function sectionChange(event: Pressed): SectionChange | undefined {
  if (!event.altKey || event.ctrlKey || event.metaKey) return undefined;
  if (event.key === 'PageUp') return event.shiftKey ? undefined : 'up';
  if (event.key === 'PageDown') return event.shiftKey ? 'copy' : 'down';
  return undefined;
}

/** The section whose name stands in the line or nearest above it. */
export function sectionAt({ sections }: ChartPlaces, line: number): number | undefined {
  const index = sections.findLastIndex(({ name }) => name.line <= line);
  return index < 0 ? undefined : index;
}

/** The changed chart, and where the section stands in it; undefined where it cannot be done. */
export function changedBy(
  change: SectionChange,
  chart: ChartBody,
  index: number,
): { readonly chart: ChartBody; readonly index: number } | undefined {
  if (!chart.sections[index]) return undefined;
  if (change === 'copy') return { chart: copySection(chart, index), index: index + 1 };
  const by = change === 'up' ? -1 : 1;
  const moved = moveSection(chart, index, by);
  return moved && { chart: moved, index: index + by };
}
