// Reads a grammar in the notation of ISO/IEC 14977 and tells whether a text is a sentence of it.

type Node =
  | { readonly kind: 'sequence' | 'choice'; readonly of: readonly Node[] }
  | { readonly kind: 'optional' | 'repeated'; readonly of: Node }
  | { readonly kind: 'except'; readonly of: Node; readonly not: Node }
  | { readonly kind: 'terminal' | 'rule' | 'special'; readonly text: string };

export interface Grammar {
  readonly rules: ReadonlyMap<string, Node>;
  /** Every word and sign in quotation marks. */
  readonly terminals: ReadonlySet<string>;
}

const TOKEN =
  /\s*(?:\(\*[\s\S]*?\*\)\s*)*(?:"([^"]+)"|'([^']+)'|\?\s*([^?]+?)\s*\?|([A-Za-z][A-Za-z ]*[A-Za-z]|[A-Za-z])|([=;,|[\]{}()-]))/uy;

interface Token {
  readonly kind: 'terminal' | 'special' | 'rule' | 'sign';
  readonly text: string;
}

function tokensOf(text: string): Token[] {
  const tokens: Token[] = [];
  TOKEN.lastIndex = 0;
  while (TOKEN.lastIndex < text.trimEnd().length) {
    const at = TOKEN.lastIndex;
    const match = TOKEN.exec(text);
    if (!match) throw new Error(`the grammar cannot be read at “${text.slice(at, at + 20)}”`);
    const [, double, single, special, rule, sign] = match;
    if (double ?? single) tokens.push({ kind: 'terminal', text: (double ?? single)! });
    else if (special) tokens.push({ kind: 'special', text: special });
    else if (rule) tokens.push({ kind: 'rule', text: rule });
    else tokens.push({ kind: 'sign', text: sign! });
  }
  return tokens;
}

export function readGrammar(text: string): Grammar {
  const tokens = tokensOf(text);
  const rules = new Map<string, Node>();
  let at = 0;
  const is = (sign: string): boolean => tokens[at]?.kind === 'sign' && tokens[at]!.text === sign;
  const eat = (sign: string): void => {
    if (!is(sign))
      throw new Error(`“${sign}” is missing before “${tokens[at]?.text ?? 'the end'}”`);
    at++;
  };
  const list = (sign: string, one: () => Node): Node[] => {
    const all = [one()];
    while (is(sign)) {
      at++;
      all.push(one());
    }
    return all;
  };
  const choice = (): Node => ({ kind: 'choice', of: list('|', sequence) });
  const sequence = (): Node => ({ kind: 'sequence', of: list(',', term) });
  const term = (): Node => {
    const of = factor();
    if (!is('-')) return of;
    at++;
    return { kind: 'except', of, not: factor() };
  };
  const enclosed = (close: string): Node => {
    at++;
    const of = choice();
    eat(close);
    return of;
  };
  const factor = (): Node => {
    if (is('[')) return { kind: 'optional', of: enclosed(']') };
    if (is('{')) return { kind: 'repeated', of: enclosed('}') };
    if (is('(')) return enclosed(')');
    const { kind, text: named } = tokens[at++]!;
    if (kind === 'sign') throw new Error(`“${named}” stands where a symbol should`);
    return { kind, text: named };
  };
  while (at < tokens.length) {
    const { text: name } = tokens[at++]!;
    eat('=');
    rules.set(name, choice());
    eat(';');
  }
  const terminals = new Set(tokens.filter((t) => t.kind === 'terminal').map((t) => t.text));
  return { rules, terminals };
}

/** Where a special sequence may end that begins at a place of the text. */
export type Specials = ReadonlyMap<string, (text: string, at: number) => readonly number[]>;

/** Is the whole text a sentence of the rule? Spaces may stand before every terminal. */
export function accepts(grammar: Grammar, rule: string, text: string, specials: Specials): boolean {
  const known = new Map<string, readonly number[]>();
  const ends = (node: Node, at: number): readonly number[] => {
    switch (node.kind) {
      case 'sequence':
        return node.of.reduce<readonly number[]>(
          (from, part) => unique(from.flatMap((start) => ends(part, start))),
          [at],
        );
      case 'choice':
        return unique(node.of.flatMap((part) => ends(part, at)));
      case 'optional':
        return unique([at, ...ends(node.of, at)]);
      case 'except': {
        const not = new Set(ends(node.not, at));
        return ends(node.of, at).filter((end) => !not.has(end));
      }
      case 'repeated':
        return repeated(node.of, at);
      case 'terminal': {
        const start = pastSpaces(text, at);
        const end = start + node.text.length;
        return text.slice(start, end).toLowerCase() === node.text.toLowerCase() ? [end] : [];
      }
      case 'special':
        return specials.get(node.text)?.(text, pastSpaces(text, at)) ?? [];
      case 'rule':
        return ofRule(node.text, at);
    }
  };
  const repeated = (node: Node, at: number): readonly number[] => {
    const all = new Set([at]);
    let fresh: readonly number[] = [at];
    while (fresh.length > 0) {
      fresh = unique(fresh.flatMap((start) => ends(node, start))).filter((end) => !all.has(end));
      for (const end of fresh) all.add(end);
    }
    return [...all];
  };
  const ofRule = (name: string, at: number): readonly number[] => {
    const key = `${name}@${at}`;
    const found = known.get(key);
    if (found) return found;
    const node = grammar.rules.get(name);
    if (!node) throw new Error(`the grammar has no rule “${name}”`);
    const result = ends(node, at);
    known.set(key, result);
    return result;
  };
  return ofRule(rule, 0).some((end) => text.slice(end).trim() === '');
}

const unique = (numbers: readonly number[]): readonly number[] => [...new Set(numbers)];

const pastSpaces = (text: string, at: number): number => {
  let end = at;
  while (text[end] === ' ' || text[end] === '\t') end++;
  return end;
};
