// Sections fold: everything from a section's name to the line before the next one.
import { foldEffect, foldService, unfoldCode } from '@codemirror/language';
import type { EditorState, Line } from '@codemirror/state';
import type { EditorView, KeyBinding } from '@codemirror/view';

const HEADING = /^\s*\[/u;
const NEXT = /^\s*\[|^\s*form\s*:/iu;

/** What folds behind a section's name, without the empty lines before the next one; null at other lines. */
function behind(state: EditorState, heading: Line): { from: number; to: number } | null {
  if (!HEADING.test(heading.text)) return null;
  let last = heading;
  for (let n = heading.number + 1; n <= state.doc.lines; n++) {
    const next = state.doc.line(n);
    if (NEXT.test(next.text)) break;
    if (next.text.trim() !== '') last = next;
  }
  return last.number > heading.number ? { from: heading.to, to: last.to } : null;
}

export const folding = foldService.of((state, from) => behind(state, state.doc.lineAt(from)));

/** Folds the section that the cursor is in, wherever in it; the cursor goes to its name. */
export function foldSection({ state, dispatch }: Pick<EditorView, 'state' | 'dispatch'>): boolean {
  const head = state.selection.main.head;
  let heading = state.doc.lineAt(head);
  while (!HEADING.test(heading.text) && heading.number > 1)
    heading = state.doc.line(heading.number - 1);
  const range = behind(state, heading);
  if (!range || head > range.to) return false;
  dispatch({ effects: foldEffect.of(range), selection: { anchor: heading.to } });
  return true;
}

export const foldKeys: readonly KeyBinding[] = [
  { key: 'Mod-Shift-[', run: foldSection },
  { key: 'Mod-Shift-]', run: unfoldCode },
];
