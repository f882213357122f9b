// Text that was typed but not saved yet, kept on this machine through a reload or a crash.

const key = (chart: string): string => `rungwise.draft.${chart}`;

export const readDraft = (chart: string): string | undefined =>
  localStorage.getItem(key(chart)) ?? undefined;

/** Text equal to what is saved needs no draft. */
export function keepDraft(chart: string, text: string, saved: string): void {
  if (text === saved) localStorage.removeItem(key(chart));
  else localStorage.setItem(key(chart), text);
}

export const dropDraft = (chart: string): void => localStorage.removeItem(key(chart));
