// Folding by keys: the section that the cursor is in, from wherever in it.
import { codeFolding, foldedRanges } from '@codemirror/language';
import { EditorState } from '@codemirror/state';
import type { EditorView } from '@codemirror/view';
import { expect, test } from 'vitest';
import { foldSection, folding } from '../../../../renderer/parts/editor/folding.ts';

const TEXT = 'title: T\n\n[Verse]\n| G |\nwords: | la |\n\n[Chorus]\n| D |\n\nform: Verse';

/** What is hidden, and where the cursor is then, after folding with the cursor before a word. */
function folded(before: string): { hidden: string[]; cursor: number } | undefined {
  let state = EditorState.create({
    doc: TEXT,
    selection: { anchor: TEXT.indexOf(before) },
    extensions: [folding, codeFolding()],
  });
  const dispatch = (spec: Parameters<EditorState['update']>[0]): void => {
    state = state.update(spec).state;
  };
  if (!foldSection({ state, dispatch: dispatch as EditorView['dispatch'] })) return undefined;
  const hidden: string[] = [];
  foldedRanges(state).between(0, TEXT.length, (from, to) => void hidden.push(TEXT.slice(from, to)));
  return { hidden, cursor: state.selection.main.head };
}

test.each([
  ['its name', '[Verse]'],
  ['its bars', 'G |'],
  ['its last line', 'la |'],
])('a section folds from %s', (_, before) => {
  const cursor = TEXT.indexOf('[Verse]') + '[Verse]'.length;
  expect(folded(before)).toEqual({ hidden: ['\n| G |\nwords: | la |'], cursor });
});

test.each([
  ['the head', 'title'],
  ['the form', 'form:'],
])('nothing folds in %s', (_, before) => {
  expect(folded(before)).toBeUndefined();
});
