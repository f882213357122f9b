// Turns log entries into the passes that all figures are computed from: each once, in time order, latest verdict applied.
import { textOrder } from '../base/text-order.ts';
import type { IsoTime } from '../base/units.ts';
import type {
  Amendment,
  Judgement,
  LogEntry,
  PassRecord,
  PlayersWord,
  WordOnPass,
} from '../model/pass.ts';

/** The moment as milliseconds since 1970-01-01T00:00Z. NaN never leaves the border: times were checked when logged. */
export const instantOf = (at: IsoTime): number => Date.parse(at);

/**
 * Passes in the order they ended. The first record of an id counts (a merged report may bring it
 * again); of the player's words the one with the greatest turn wins, of those without turns the latest, and
 * where times are equal the later one.
 * A teacher's word stands above the player's, until the teacher takes it back.
 */
export function settlePasses(
  all: readonly PassRecord[],
  amendments: readonly Amendment[],
): PassRecord[] {
  const passes = new Map<string, PassRecord>();
  for (const pass of all) if (!passes.has(pass.id)) passes.set(pass.id, pass);
  const players = new Map<string, PlayersWord>();
  const teachers = new Map<string, WordOnPass>();
  for (const amendment of amendments) {
    if (amendment.source === 'teacher') keepLatest(teachers, amendment);
    else keepLatest(players, amendment);
  }
  for (const [id, word] of players) change(passes, id, (pass) => judged(pass, word));
  for (const [id, word] of teachers) change(passes, id, (pass) => withWord(pass, word));
  return inTimeOrder([...passes.values()]);
}

/** Sorted by the moment, whatever the offsets, and those of one moment by their ids: alike on every machine. */
export function inTimeOrder(passes: readonly PassRecord[]): PassRecord[] {
  if (passes.every((pass, i) => i === 0 || !isBefore(pass, passes[i - 1]!))) {
    return [...passes];
  }
  const instants = Float64Array.from(passes, (pass) => instantOf(pass.at));
  const order = Uint32Array.from(passes, (_, i) => i).sort(
    (a, b) => instants[a]! - instants[b]! || byId(passes[a]!, passes[b]!),
  );
  return Array.from(order, (i) => passes[i]!);
}

/** Texts of one form and one offset compare as they stand, which spares reading 200,000 dates. */
function isBefore(one: PassRecord, other: PassRecord): boolean {
  const [a, b] = [one.at, other.at];
  const sameForm = a.length === b.length && a.endsWith(b.slice(-OFFSET_LENGTH));
  if (sameForm && a !== b) return a < b;
  return byMoment(one, other) < 0;
}

type Dated = { readonly id: string; readonly at: IsoTime };

/** Machines that hold the same agree on the order of what nothing else parts. */
export const byId = (a: Pick<Dated, 'id'>, b: Pick<Dated, 'id'>): number => textOrder(a.id, b.id);

/** By the moment, then by the id: machines whose clocks stand still agree, too. */
export const byMoment = (a: Dated, b: Dated): number =>
  instantOf(a.at) - instantOf(b.at) || byId(a, b);

/** As in "+02:00"; a time that ends in Z has the same end as another one only where its seconds agree. */
const OFFSET_LENGTH = 6;

function keepLatest<A extends Amendment>(amendments: Map<string, A>, next: A): void {
  const known = amendments.get(next.amends);
  if (!known || isLater(next, known)) amendments.set(next.amends, next);
}

const turnOf = (amendment: Amendment): number =>
  amendment.source === 'teacher' ? 0 : (amendment.turn ?? 0);

/** By turns, where they are told: machines whose clocks differ then agree. By time in old logs, and among a teacher's words. */
function isLater(next: Amendment, known: Amendment): boolean {
  const turns = turnOf(next) - turnOf(known);
  if (turns !== 0) return turns > 0;
  if (turnOf(next) > 0) return JSON.stringify(next) > JSON.stringify(known);
  const moments = instantOf(next.at) - instantOf(known.at);
  // Two machines of a teacher at one moment; of one machine's words the later one.
  const isTeachers = next.source === 'teacher' && moments === 0;
  return isTeachers ? JSON.stringify(next) >= JSON.stringify(known) : moments >= 0;
}

/**
 * Entries as they go into the player's log: each of the player's words with its turn, one more than that of all words
 * on its pass that are known; a word that stands there already is left out.
 * @param wordsOn the words on a pass that the log holds
 */
export function withTurns(
  entries: readonly LogEntry[],
  wordsOn: (pass: string) => readonly Amendment[],
): readonly LogEntry[] {
  const known = new Map<string, readonly Amendment[]>();
  return entries.flatMap((entry): readonly LogEntry[] => {
    if (entry.kind === 'pass' || entry.amendment.source === 'teacher') return [entry];
    const { amendment } = entry;
    const words = known.get(amendment.amends) ?? wordsOn(amendment.amends);
    if (words.some((one) => sameButTurn(one, amendment))) return [];
    const turn = amendment.turn ?? 1 + Math.max(0, ...words.map(turnOf));
    const told = { ...amendment, turn };
    known.set(amendment.amends, [...words, told]);
    return [{ kind: 'amendment', amendment: told }];
  });
}

const sameButTurn = (a: Amendment, b: Amendment): boolean =>
  JSON.stringify({ ...a, turn: undefined }) === JSON.stringify({ ...b, turn: undefined });

function change(
  passes: Map<string, PassRecord>,
  id: string,
  by: (pass: PassRecord) => PassRecord,
): void {
  const pass = passes.get(id);
  if (pass) passes.set(id, by(pass));
}

function withWord(
  pass: PassRecord,
  { amends: _, before: __, ...said }: WordOnPass & { readonly before?: unknown },
): PassRecord {
  const word = { ...said, before: { verdict: pass.verdict, source: pass.source } };
  const { verdict, source } = said;
  return verdict === 'as-before'
    ? { ...pass, word }
    : { ...judged(pass, { verdict, source, ...pick(pass) }), word };
}

type SaidOfChanges = Pick<PassRecord, 'broke' | 'played'>;

/** A teacher's word leaves what the player said of single changes. */
const pick = ({ broke, played }: SaidOfChanges): SaidOfChanges => ({
  ...(broke ? { broke } : {}),
  ...(played ? { played } : {}),
});

function judged(
  { broke: _, played: __, ...pass }: PassRecord,
  { verdict, source, ...said }: Judgement & SaidOfChanges,
): PassRecord {
  const earSaid =
    pass.earVerdict ??
    (pass.source === 'ear' && pass.verdict !== 'unjudged' ? pass.verdict : undefined);
  const overruled = source !== 'ear' && earSaid !== undefined && earSaid !== verdict;
  return {
    ...pass,
    ...{ verdict, source },
    ...(overruled ? { earVerdict: earSaid } : {}),
    ...pick(said),
  };
}
