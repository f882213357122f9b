// Groups passes that mostly come in runs.
import type { PassRecord } from '../model/pass.ts';

/** Groups by key; neighbours that are alike need no key, which makes a long log several times quicker. */
export function groupRuns(
  passes: readonly PassRecord[],
  key: (pass: PassRecord) => string,
  alike: (a: PassRecord, b: PassRecord) => boolean,
): Map<string, PassRecord[]> {
  const groups = new Map<string, PassRecord[]>();
  let before: PassRecord | undefined;
  let group: PassRecord[] = [];
  for (const pass of passes) {
    if (!before || !alike(before, pass)) {
      const id = key(pass);
      group = groups.get(id) ?? [];
      groups.set(id, group);
    }
    group.push(pass);
    before = pass;
  }
  return groups;
}
