// Reads the signs that lead elsewhere: D.C., D.S., segno, coda and Fine (W3C MusicXML 4.0, sound and direction).
import { own } from '../../base/own.ts';
import { MAX_REPEATS } from '../../model/limits.ts';
import { type XmlNode, childrenOf } from './xml-read.ts';

/** A jump back, and what ends the second time through: the Fine, the way to the coda, or whichever comes. */
export interface BackJump {
  readonly to: 'start' | 'segno';
  /** Tells several segnos apart; mostly empty. */
  readonly label: string;
  readonly goal?: 'fine' | 'coda';
  /** Which times the bar is played the jump is taken; without it, the last. */
  readonly only?: readonly number[];
}

/** Jumps at the end of a bar, and the marks at its start that they lead to. */
export interface BarJumps {
  readonly segno?: string;
  readonly coda?: string;
  readonly toCoda?: string;
  readonly fine?: 'at the end' | 'inside';
  readonly back?: BackJump;
  /** A coda sign that does not say which of its two meanings it has. */
  readonly codaSign?: true;
}

/** What a direction, a sound or a bar line says; `inside` tells that the bar goes on after it. */
export function jumpsIn(node: XmlNode, inside: boolean): BarJumps {
  const sounds = node.name === 'sound' ? [node] : childrenOf(node, 'sound');
  const types = childrenOf(node, 'direction-type');
  const words = types.flatMap((type) => childrenOf(type, 'words').map(({ text }) => text));
  const said = wordJumps(words.join(' '));
  const heard = soundJumps([...sounds, ...(node.name === 'barline' ? [node] : [])]);
  const back = heard.back ? { ...said.back, ...heard.back } : said.back;
  const jumps = { ...said, ...heard, ...(back && { back }) };
  const signs = node.name === 'barline' ? [node] : types;
  const drawn = drawnSigns(signs, jumps);
  return { ...drawn, ...jumps, ...(jumps.fine && inside && { fine: 'inside' }) };
}

function soundJumps(nodes: readonly XmlNode[]): BarJumps {
  const value = (name: string): string | undefined =>
    nodes.map(({ attributes }) => own(attributes, name)).find((text) => text !== undefined);
  const [segno, coda, toCoda, dalSegno] = ['segno', 'coda', 'tocoda', 'dalsegno'].map(value);
  const to = value('dacapo') === 'yes' ? 'start' : dalSegno !== undefined ? 'segno' : undefined;
  const only = timesOf(value('time-only'));
  return {
    ...(segno !== undefined && { segno }),
    ...(coda !== undefined && { coda }),
    ...(toCoda !== undefined && { toCoda }),
    ...(value('fine') !== undefined && { fine: 'at the end' }),
    ...(to && { back: { to, label: dalSegno ?? '', ...(only && { only }) } }),
  };
}

/** "2" or "1, 3"; anything else says nothing. */
function timesOf(text: string | undefined): readonly number[] | undefined {
  const times = (text ?? '').split(/[\s,]+/).map(Number);
  const fit = times.every((time) => Number.isInteger(time) && time >= 1 && time <= MAX_REPEATS);
  return fit ? times : undefined;
}

/** The words of the trade, for files that draw signs and say nothing of their sound. */
function wordJumps(text: string): BarJumps {
  const words = text.replace(/\s+/g, ' ').trim();
  const back = /^(?:(d\.? ?c\.?|da capo)|(d\.? ?s\.?|dal segno))(?: |$)(.*)$/i.exec(words);
  if (back) {
    const goal = /fine/i.test(back[3]!) ? 'fine' : /coda/i.test(back[3]!) ? 'coda' : undefined;
    return { back: { to: back[1] ? 'start' : 'segno', label: '', ...(goal && { goal }) } };
  }
  if (/^(?:to|al) coda\b/i.test(words)) return { toCoda: '' };
  if (/^fine\.?$/i.test(words)) return { fine: 'at the end' };
  return /^coda$/i.test(words) ? { coda: '' } : {};
}

/** A sign beside a jump is part of its words; alone it is a mark. */
function drawnSigns(nodes: readonly XmlNode[], said: BarJumps): BarJumps {
  const drawn = (name: string): boolean =>
    nodes.some((node) => node.children.some((child) => child.name === name));
  if (said.back || said.toCoda !== undefined) return {};
  return {
    ...(drawn('segno') && { segno: '' }),
    ...(drawn('coda') && said.coda === undefined && { codaSign: true }),
  };
}

interface MarkedBar {
  readonly heading?: string;
  readonly jumps?: BarJumps;
}

/**
 * The last of several unclear coda signs is the coda, unless ways to it are marked; the others lead to it.
 * Without any sign, a heading that says so is the coda.
 */
export function withCodas<T extends MarkedBar>(bars: readonly T[]): readonly T[] {
  const marked = bars.some(({ jumps }) => jumps?.toCoda !== undefined);
  const last = bars.findLastIndex(({ jumps }) => jumps?.codaSign || jumps?.coda !== undefined);
  return bars.map((bar, i) => {
    if (last < 0 && /^coda\b/i.test(bar.heading ?? ''))
      return { ...bar, jumps: { ...bar.jumps, coda: '' } };
    if (!bar.jumps?.codaSign) return bar;
    const mark = marked || i === last ? { coda: '' } : { toCoda: '' };
    return { ...bar, jumps: { ...mark, ...bar.jumps } };
  });
}
