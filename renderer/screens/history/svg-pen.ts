// Writes down as SVG what is drawn on a canvas. It stands in for the canvas while a plot draws itself once
// more, so that the file shows what the screen shows.
import { escapeXml } from '../../../app/core/base/xml-text.ts';

/** Path data of what is drawn; plots draw lines, boxes and whole circles, and anything else would throw. */
export class WrittenPath {
  data: string;

  constructor(from?: WrittenPath) {
    this.data = from?.data ?? '';
  }
  moveTo = (x: number, y: number): void => this.#add(`M${at(x, y)}`);
  lineTo = (x: number, y: number): void => this.#add(`${this.data ? 'L' : 'M'}${at(x, y)}`);
  closePath = (): void => this.#add('Z');
  rect = (x: number, y: number, width: number, height: number): void =>
    this.#add(`M${at(x, y)}h${short(width)}v${short(height)}h${short(-width)}Z`);
  /** A whole circle, from its rightmost point. */
  arc = (x: number, y: number, r: number): void => {
    const half = `A${short(r)} ${short(r)} 0 1 1 `;
    this.#add(`M${at(x + r, y)}${half}${at(x - r, y)}${half}${at(x + r, y)}`);
  };

  #add(step: string): void {
    this.data += step;
  }
}

const short = (value: number): string => String(Math.round(value * 100) / 100);
const at = (x: number, y: number): string => `${short(x)} ${short(y)}`;

type Matrix = Pick<DOMMatrix, 'a' | 'b' | 'c' | 'd' | 'e' | 'f'>;

/** What of a canvas's state stays the canvas's own. */
type State = Pick<
  CanvasRenderingContext2D,
  'fillStyle' | 'strokeStyle' | 'lineWidth' | 'globalAlpha' | 'font' | 'textAlign' | 'textBaseline'
> & {
  save(): void;
  restore(): void;
  getTransform(): Matrix;
  getLineDash(): number[];
  measureText(text: string): Pick<TextMetrics, 'fontBoundingBoxAscent'>;
};

const ANCHORS: Readonly<Record<CanvasTextAlign, string>> = {
  left: 'start',
  start: 'start',
  center: 'middle',
  right: 'end',
  end: 'end',
};

export class SvgPen {
  readonly #canvas: State;
  readonly #save: () => void;
  readonly #restore: () => void;
  readonly #drawn: string[] = [];
  readonly #defined: string[] = [];
  #path = new WrittenPath();
  /** Ids of the clips in force, and those of the states saved. */
  #clips: readonly string[] = [];
  readonly #saved: (readonly string[])[] = [];

  constructor(canvas: State) {
    this.#canvas = canvas;
    this.#save = canvas.save.bind(canvas);
    this.#restore = canvas.restore.bind(canvas);
  }

  /** The elements, in the order in which they were drawn. */
  get content(): string {
    return `<defs>${this.#defined.join('')}</defs>${this.#drawn.join('\n')}`;
  }

  /** The canvas's methods that draw; its state and its transforms are used as they are. */
  readonly methods = {
    beginPath: (): void => void (this.#path = new WrittenPath()),
    moveTo: (x: number, y: number): void => this.#path.moveTo(x, y),
    lineTo: (x: number, y: number): void => this.#path.lineTo(x, y),
    rect: (x: number, y: number, w: number, h: number): void => this.#path.rect(x, y, w, h),
    arc: (x: number, y: number, r: number): void => this.#path.arc(x, y, r),
    closePath: (): void => this.#path.closePath(),
    clearRect: (): void => {},
    fill: (path = this.#path): void => this.#fill(path),
    stroke: (path = this.#path): void => this.#stroke(path),
    strokeRect: (x: number, y: number, w: number, h: number): void => {
      const box = new WrittenPath();
      box.rect(x, y, w, h);
      this.#stroke(box);
    },
    fillText: (text: string, x: number, y: number): void => this.#text(text, x, y),
    clip: (path = this.#path): void => this.#clip(path),
    save: (): void => {
      this.#save();
      this.#saved.push(this.#clips);
    },
    restore: (): void => {
      this.#restore();
      this.#clips = this.#saved.pop() ?? [];
    },
  };

  #fill({ data }: WrittenPath): void {
    this.#draw('path', { d: data, fill: String(this.#canvas.fillStyle) });
  }

  #stroke({ data }: WrittenPath): void {
    const { strokeStyle, lineWidth } = this.#canvas;
    const dashes = this.#canvas.getLineDash();
    this.#draw('path', {
      d: data,
      fill: 'none',
      stroke: String(strokeStyle),
      'stroke-width': short(lineWidth),
      ...(dashes.length > 0 ? { 'stroke-dasharray': dashes.map(short).join(' ') } : {}),
    });
  }

  #text(text: string, x: number, y: number): void {
    const { fillStyle, font, textAlign } = this.#canvas;
    const style = { style: `font: ${font}`, 'text-anchor': ANCHORS[textAlign] };
    const place = { x: short(x), y: short(y + this.#toBaseline(text)) };
    this.#draw('text', { ...place, ...style, fill: String(fillStyle) }, text);
  }

  /** From the line that the canvas sets text by down to the letters' own, which every reader of SVG knows. */
  #toBaseline(text: string): number {
    const canvas = this.#canvas;
    const { textBaseline } = canvas;
    const above = canvas.measureText(text).fontBoundingBoxAscent;
    canvas.textBaseline = 'alphabetic';
    const full = canvas.measureText(text).fontBoundingBoxAscent;
    canvas.textBaseline = textBaseline;
    return full - above;
  }

  #clip({ data }: WrittenPath): void {
    const id = `clip${this.#defined.length}`;
    const path = element('path', { d: data, ...this.#place() });
    this.#defined.push(element('clipPath', { id }, path));
    this.#clips = [...this.#clips, id];
  }

  #draw(name: string, attributes: Attributes, text = ''): void {
    const { globalAlpha } = this.#canvas;
    const faint: Attributes = globalAlpha < 1 ? { opacity: short(globalAlpha) } : {};
    const drawn = element(name, { ...attributes, ...faint, ...this.#place() }, escapeXml(text));
    const clipped = this.#clips.reduceRight(
      (inner, id) => element('g', { 'clip-path': `url(#${id})` }, inner),
      drawn,
    );
    this.#drawn.push(clipped);
  }

  #place(): Attributes {
    const { a, b, c, d, e, f } = this.#canvas.getTransform();
    const still = a === 1 && b === 0 && c === 0 && d === 1 && e === 0 && f === 0;
    return still ? {} : { transform: `matrix(${[a, b, c, d, e, f].map(fine).join(' ')})` };
  }
}

const fine = (value: number): string => String(Math.round(value * 1e6) / 1e6);

export type Attributes = Readonly<Record<string, string>>;

/** @param inner markup. */
export const element = (name: string, attributes: Attributes, inner = ''): string => {
  const all = Object.entries(attributes).map(([key, value]) => ` ${key}="${escapeXml(value)}"`);
  return `<${name}${all.join('')}>${inner}</${name}>`;
};
