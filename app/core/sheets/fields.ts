// Lines of a sheet that say something about the whole song: key, capo, tempo, meter, title, writer.

export interface FieldValues {
  title?: string;
  by?: string;
  key?: string;
  capo?: number;
  tempo?: number;
  meter?: string;
}

const ROMAN = ['', 'i', 'ii', 'iii', 'iv', 'v', 'vi', 'vii', 'viii', 'ix', 'x'];

/** A name of the song or of who made it, behind its word. */
const NAMED =
  /^\(?(title|song|titel|artist|author|by|writer|composer|interpret|(?:words|text|worte|lyrics)(?:\s*(?:and|und|&|\/|\+)\s*(?:music|musik|weise))?|(?:music|musik)(?:\s*(?:and|und|&|\/|\+)\s*(?:words|text|lyrics))?)\s*[:=]\s*([^()]+)\)?$/iu;

/** Undefined for a line that is none; several may stand on one line, e.g. "Key: G   Capo 2". */
export function fieldOf(line: string): FieldValues | undefined {
  const text = line.trim();
  const found: FieldValues = {};
  let rest = text;
  const take = (pattern: RegExp, keep: (match: RegExpExecArray) => void): void => {
    const match = pattern.exec(rest);
    if (!match) return;
    keep(match);
    rest = rest.replace(match[0], ' ');
  };
  take(
    /\b(?:capo|kapodaster|kapo)(?:\s*(?:on|at|:|=|\.|im|in|-|–))*\s*(?:fret|the|bund)?\s*(\d{1,2}|[ivx]{1,4}|none|no)(?:st|nd|rd|th|\.)?(?:\s*(?:fret|bund))?(?![\p{L}\d])/iu,
    ([, value]) => {
      found.capo = /^\d/u.test(value!)
        ? Number(value)
        : Math.max(0, ROMAN.indexOf(value!.toLowerCase()));
    },
  );
  take(
    /\b(?:key|tonart|original key)(?:\s+of)?\s*[-–:=]?\s*([A-H](?:is|es|[#b♯♭])?)\s*(m(?:in(?:or)?)?|moll|maj(?:or)?|dur)?(?![\p{L}\d#])/u,
    ([, root, mode]) => {
      found.key = `${keyRoot(root!)}${mode && /^m(?!aj)/iu.test(mode) ? ' minor' : ''}`;
    },
  );
  take(
    /\b(?:Key|KEY|Tonart|Original key)(?:\s+of)?\s*[-–:=]?\s*([A-H](?:is|es|[#b♯♭])?)\s*(m(?:in(?:or)?)?|moll|maj(?:or)?|dur)?(?![\p{L}\d#])/u,
    ([, root, mode]) => {
      found.key = `${keyRoot(root!)}${mode && /^m(?!aj)/iu.test(mode) ? ' minor' : ''}`;
    },
  );
  take(
    /(?:\b(?:tempo|bpm|speed)\s*[-:=]?\s*(?:ca\.?|about|approx\.?|~)?\s*(?:[♩q]\s*=\s*)?(?:ca\.?\s*)?(\d{2,3})(?:\s*bpm)?|[♩q]\s*=\s*(?:ca\.?\s*)?(\d{2,3})|(\d{2,3})\s*bpm)(?!\d)/iu,
    ([, a, b, c]) => {
      found.tempo = Number(a ?? b ?? c);
    },
  );
  take(
    /\b(?:time(?: signature)?|meter|takt)\s*[:=]?\s*(\d{1,2}\/\d{1,2})(?!\d)|^(\d{1,2}\/(?:2|4|8|16))$/iu,
    ([, a, b]) => {
      found.meter = a ?? b!;
    },
  );
  take(
    /\b(?:tuning|stimmung)\s*[:=].*$|\b(?:standard|normal)[- ](?:tuning|stimmung)\b/iu,
    () => undefined,
  );
  const named = NAMED.exec(rest.trim());
  if (named) {
    if (/^(?:title|song|titel)$/iu.test(named[1]!)) found.title = named[2]!.trim();
    else found.by = named[2]!.trim();
    rest = '';
  }
  if (Object.keys(found).length > 0) rest = rest.replace(/\([^()]*\)/gu, ' ');
  const said = Object.keys(found).length > 0 || rest.trim() === '';
  return said && /^[\s,;|•()/–-]*$/u.test(rest) ? found : undefined;
}

/** Fis and Es are F♯ and E♭; a key of H is B. */
const keyRoot = (root: string): string =>
  root
    .replace(/^H/u, 'B')
    .replace(/^([A-G])is$/u, '$1#')
    .replace(/^([AE])s$|^([A-G])es$/u, (_, a?: string, b?: string) => `${a ?? b}b`);
