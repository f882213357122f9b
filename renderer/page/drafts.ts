// Text that was typed but not saved yet, kept on this machine through a reload or a crash.
import { saveFile } from './save-file.ts';

const key = (chart: string): string => `rungwise.draft.${chart}`;

/** The kept text; undefined where there is none. @param chart its id */
export const readDraft = (chart: string): string | undefined =>
  localStorage.getItem(key(chart)) ?? undefined;

/** Text equal to what is saved needs no draft. */
export function keepDraft(chart: string, text: string, saved: string): void {
  if (text === saved) localStorage.removeItem(key(chart));
  else localStorage.setItem(key(chart), text);
}

/** @param chart its id */
export const dropDraft = (chart: string): void => localStorage.removeItem(key(chart));

const names = (): string[] => Object.keys(localStorage).filter((name) => name.startsWith(key('')));

/** How many texts are kept that were not saved. */
export const draftsOnHand = (): number => names().length;

/** Hands them to the user as one file, and forgets them: a text that breaks a room must not break it again. */
export function setDraftsAside(): void {
  const texts = names().map((name) => localStorage.getItem(name) ?? '');
  saveFile('unsaved charts.txt', texts.join('\n\n'), 'text/plain;charset=utf-8');
  for (const name of names()) localStorage.removeItem(name);
}
