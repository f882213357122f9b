// Facts in files of a bounded size, and a log's entries as facts and back.
import type { LogEntry } from '../../model/pass.ts';
import type { Fact } from './facts.ts';

/** Facts in one file, and characters of them: a log is never written anew, and no file grows. */
const MOST_FACTS = 1_000;
const MOST_CHARACTERS = 1_000_000;

/** Facts in groups that each fit a file; one that is too long alone is a group of its own. */
export function inFiles(facts: readonly Fact[]): readonly (readonly Fact[])[] {
  const groups: Fact[][] = [];
  let room = 0;
  for (const fact of facts) {
    const length = JSON.stringify(fact).length;
    if (groups.length === 0 || groups.at(-1)!.length >= MOST_FACTS || length > room) {
      groups.push([]);
      room = MOST_CHARACTERS;
    }
    groups.at(-1)!.push(fact);
    room -= length;
  }
  return groups;
}

/** Entries of a log as facts, the bars of each pass before it. */
export function factsOfEntries(entries: readonly LogEntry[]): readonly (readonly Fact[])[] {
  const groups: Fact[][] = [];
  let barsHere = new Set<string>();
  let room = 0;
  const put = (fact: Fact, length: number): void => {
    groups.at(-1)!.push(fact);
    room -= length;
  };
  for (const entry of entries) {
    const fact: Fact =
      entry.kind === 'pass'
        ? { kind: 'pass', pass: entry.pass }
        : { kind: 'word', word: entry.amendment };
    const length = JSON.stringify(fact).length;
    if (groups.length === 0 || groups.at(-1)!.length >= MOST_FACTS || length > room) {
      groups.push([]);
      barsHere = new Set();
      room = MOST_CHARACTERS;
    }
    if (entry.kind === 'pass' && !barsHere.has(entry.unit.fingerprint)) {
      barsHere.add(entry.unit.fingerprint);
      const bars: Fact = { kind: 'bars', unit: entry.unit };
      put(bars, JSON.stringify(bars).length);
    }
    put(fact, length);
  }
  return groups;
}

/**
 * Facts of several files in as few as can be, the bars of passes once. Every write is kept: one that was set over still
 * tells that the one before it was, to whoever knows only that.
 */
export function gathered(facts: readonly Fact[]): readonly (readonly Fact[])[] {
  const values = facts.filter((fact) => fact.kind === 'value');
  return [...factsOfEntries(entriesOfFacts(facts)), ...inFiles(values)];
}

/** The entries of a log that stand among facts; a pass without its bars is left out. */
export function entriesOfFacts(facts: readonly Fact[]): readonly LogEntry[] {
  const bars = new Map(
    facts.flatMap((fact) => (fact.kind === 'bars' ? [[fact.unit.fingerprint, fact.unit]] : [])),
  );
  return facts.flatMap((fact): readonly LogEntry[] => {
    if (fact.kind === 'word') return [{ kind: 'amendment', amendment: fact.word }];
    if (fact.kind !== 'pass') return [];
    const unit = bars.get(fact.pass.unit.fingerprint);
    return unit ? [{ kind: 'pass', pass: fact.pass, unit }] : [];
  });
}
